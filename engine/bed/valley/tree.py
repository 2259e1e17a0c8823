"""The tree of valleys: strings pulled from the drain round the fences' tips, and the loop round an island."""

import heapq
import math

import numpy as np
import shapely

from ...records import result
from ...types import Array, Mask
from .net import Net
from .room import Room
from .sightlines import apart, is_blocked

_OFF_FLANGE = 10.0  # [mm] a relay nearer the flange than this is none
_POINT = 1e-9  # [mm] a fence no longer blocks nothing
_BEHIND = 0.1  # [mm] fences block sight so far behind their feet: no line slips by the corner
_DETOUR = (0.02, 10.0)  # [-], [mm] valleys that part for less run together
_INNER = 0.02  # [-] a summit stands so far along its valley from both ends


@result
class Tree:
    """All places that valleys may run by, the drain's centre first: where (n, 2), how far along the tree (n,) [mm].

    parents: where each valley leads, -1 for none; sight: which see each other (n, n); serving: the best for some place
    along walls.
    """

    places: Array
    ways: Array
    parents: list[int]
    sight: Mask
    serving: frozenset[int]

    def line(self, place: int) -> list[int]:
        """The places on the way from one to the drain, with both."""
        found = [place]
        while found[-1] > 0:
            found.append(self.parents[found[-1]])
        return found

    def net(self, further: set[int], named: tuple[int, ...] = ()) -> tuple[Net, tuple[int, ...]]:
        """The net of the places that serve the walls and further ones, with `named` places' numbers in it."""
        order = sorted({at for place in (*self.serving, *further, 0) for at in self.line(place)})
        edges = tuple((self.parents[i], i) for i in order if i)
        net = Net(self.places, self.ways, edges).only(order)
        return net, tuple(order.index(place) for place in named)


def grow(room: Room, feet: Array, tips: Array) -> Tree | None:
    """The valleys round fences from feet to tips (k, 2); None where none sees some wall."""
    doubled = np.tril(apart(tips, tips) < 1.0, -1).any(axis=1)
    free = (room.flange.runs(tips) > _OFF_FLANGE) & ~doubled
    places = np.vstack([room.centre[None], tips[free]])
    blocks = _blocks(room, feet, tips)
    count = len(places)
    pairs = np.triu_indices(count, 1)
    sight = np.zeros((count, count), dtype=bool)
    sight[pairs] = ~is_blocked(places[pairs[0]], places[pairs[1]], blocks)
    sight |= sight.T
    steps = apart(places, places)
    steps[0, 1:] = steps[1:, 0] = room.flange.runs(places[1:])
    straight, parents = _shortest(np.where(sight, steps, np.inf))
    parents = _joined(places, straight, parents, sight)
    ways = _along(steps, parents)
    serving = _serving(room, places, ways, blocks)
    return None if serving is None else Tree(places, ways, parents, sight, serving)


def _blocks(room: Room, feet: Array, tips: Array) -> tuple[Array, Array]:
    along = tips - feet
    behind = feet - _BEHIND * along / np.maximum(np.hypot(*along.T), _POINT)[:, None]
    starts, ends = room.blocks
    return np.vstack([starts, behind]), np.vstack([ends, tips])


def _shortest(steps: Array) -> tuple[list[float], list[int]]:
    table = steps.tolist()
    ways, parents = [math.inf] * len(table), [-1] * len(table)
    ways[0] = 0.0
    queue = [(0.0, 0)]
    while queue:
        way, i = heapq.heappop(queue)
        if way > ways[i]:
            continue
        for j, step in enumerate(table[i]):
            if way + step < ways[j]:
                ways[j], parents[j] = way + step, i
                heapq.heappush(queue, (ways[j], j))
    return ways, parents


def _joined(places: Array, ways: list[float], parents: list[int], sight: Mask) -> list[int]:
    steps = apart(places, places).tolist()
    joined = list(parents)
    for far, parent in enumerate(parents):
        if parent < 0 or not math.isfinite(ways[far]):
            continue
        straight = steps[parent][far]
        allowed = max(_DETOUR[0] * straight, _DETOUR[1])
        detours = [
            (steps[parent][near] + steps[near][far] - straight, near)
            for near, other in enumerate(parents)
            if other == parent and near != far and steps[parent][near] < straight and sight[near, far]
        ]
        detour, near = min(detours, default=(math.inf, -1))
        if detour < allowed:
            joined[far] = near
    return joined


def _along(steps: Array, parents: list[int]) -> Array:
    ways = np.full(len(parents), np.inf)
    ways[0] = 0.0

    def way(i: int) -> float:
        if i and parents[i] >= 0 and not np.isfinite(ways[i]):
            ways[i] = way(parents[i]) + steps[parents[i], i]
        return float(ways[i])

    for i in range(len(parents)):
        way(i)
    return ways


def _serving(room: Room, places: Array, ways: Array, blocks: tuple[Array, Array]) -> frozenset[int] | None:
    samples = room.before_walls
    reached = np.flatnonzero(np.isfinite(ways))
    blocked = is_blocked(samples[:, None], places[reached][None], blocks)
    far = apart(samples, places[reached])
    far[:, 0] = room.runs_before_walls
    ways_on = np.where(blocked, np.inf, far + ways[reached])
    best = ways_on.argmin(axis=1)
    if not np.isfinite(ways_on[np.arange(len(best)), best]).all():
        return None
    return frozenset(reached[best].tolist())


def looped(tree: Tree, island: Array) -> Net | None:
    """The tree's net with the shortest further valley that loops round an island (k, 2); None without one.

    Between places i and j, L apart, with ways d to the flange, the summit lies t L from i, t = (d_j - d_i + L) / 2 L:
    both ways from there are equally long.
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
