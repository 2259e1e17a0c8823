"""The loop round an island: two valleys run past it on both sides and meet behind it at a summit."""

import numpy as np
import shapely

from engine.types import Array

from .net import Net
from .sightlines import apart, is_blocked
from .tree import Tree

_INNER = 0.02  # [-] a summit stands at least this part of its valley away from both ends


def looped(tree: Tree, island: Array) -> Net | None:
    """The tree's net with the shortest further valley that closes a loop round an island (k, 2); None without one.

    Between places i and j, L apart, with ways d to the flange, the summit lies t L from i, t = (d_j - d_i + L) / 2 L:
    from there both ways are equally long.
    """
    within = shapely.points(island[0])
    for i, j in _pairs(tree):
        span = float(np.hypot(*(tree.places[j] - tree.places[i])))
        part = (float(tree.ways[j] - tree.ways[i]) + span) / (2 * span)
        if not _INNER < part < 1 - _INNER or not _encloses(tree, (i, j), within):
            continue
        net, (low, high) = tree.net({i, j}, (i, j))
        if _crosses(net, low, high):
            continue
        summit = tree.places[i] + part * (tree.places[j] - tree.places[i])
        count = len(net.ways)
        return Net(
            np.vstack([net.places, summit]),
            np.append(net.ways, tree.ways[i] + part * span),
            (*net.edges, (low, count), (high, count)),
        )
    return None


def _pairs(tree: Tree) -> list[tuple[int, int]]:
    """Places that see each other and are not joined yet, those with the lowest summit first."""
    climbs = (tree.ways[:, None] + tree.ways[None] + apart(tree.places, tree.places)) / 2
    free = np.triu(tree.sight & np.isfinite(climbs), 1)
    free[0] = False
    for child, parent in enumerate(tree.parents):
        if parent >= 0:
            free[min(child, parent), max(child, parent)] = False
    rows, columns = np.nonzero(free)
    order = np.argsort(climbs[rows, columns], kind="stable")
    return list(zip(rows[order].tolist(), columns[order].tolist(), strict=True))


def _encloses(tree: Tree, pair: tuple[int, int], within: object) -> bool:
    first, second = (tree.line(end) for end in pair)
    shared = set(first) & set(second)
    up = [place for place in first if place not in shared]
    down = [place for place in second if place not in shared]
    meeting = next(place for place in first if place in shared)
    ring = tree.places[[*up, meeting, *down[::-1]]]
    return len(ring) > 2 and bool(shapely.contains(shapely.polygons(ring), within))


def _crosses(net: Net, low: int, high: int) -> bool:
    edges = np.array(net.edges, dtype=np.intp).reshape(-1, 2)
    sides = (net.places[edges[:, 0]], net.places[edges[:, 1]])
    return bool(is_blocked(net.places[low], net.places[high], sides))
