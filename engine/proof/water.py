"""Where water stands on a surface, how deep and how wide.

Height is straight in a triangle, so its part under any level is convex and holds its lowest nodes, and water that can
leave does so along edges. A node's level is the least, over all ways along edges to an outlet, of the way's highest
node: a flood from the outlets, lowest node first, finds it (priority flood; Barnes, Lehman and Mulla, Computers &
Geosciences 62, 2014).
"""

import heapq
from functools import lru_cache

import numpy as np
import shapely

from ..records import Same, record, result
from ..types import Array, Index, Mask
from .mesh import Mesh

_WET = 1e-6  # [mm] of floats


@result
class Flood:
    """Water filled to where it runs over: the level (n,) [mm] and outlet (n,), -1 for none, of nodes."""

    level: Array
    outlet: Index


def flood(heights: Array, edges: Index, outlets: Index) -> Flood:
    """The level at which water stands at nodes with heights (n,) [mm], walls closed round them.

    edges (e, 2): pairs of neighbours; outlets (n,): the outlet a node lies on, -1 for none. With no way to one a level
    is infinite.
    """
    firsts, others = _neighbours(len(heights), edges)
    tops, found, owner = heights.tolist(), np.where(outlets >= 0, heights, np.inf).tolist(), outlets.tolist()
    queue = [(tops[node], node) for node in np.flatnonzero(outlets >= 0).tolist()]
    heapq.heapify(queue)
    while queue:
        water, node = heapq.heappop(queue)
        for other in others[firsts[node] : firsts[node + 1]]:
            if found[other] == np.inf:
                found[other] = stands = max(water, tops[other])
                owner[other] = owner[node]
                heapq.heappush(queue, (stands, other))
    return Flood(np.array(found), np.array(owner, dtype=np.intp))


def filled(heights: Array, edges: Index, outlets: Index) -> Array:
    """The level of `flood` alone (n,) [mm], by rounds over all edges.

    None stands where water runs downhill to an outlet. Elsewhere each round takes in ways one edge longer; a node at
    its own height is done.
    """
    others, nodes = _beside(Same(edges))
    level = np.where(_runs_off(heights, (others, nodes), outlets), heights, np.inf)
    while True:
        waits = level[nodes] > heights[nodes]
        others, nodes = others[waits], nodes[waits]
        firsts = _firsts(nodes)
        ends = nodes[firsts]
        if not len(ends):
            return level
        stands = np.maximum(heights[ends], np.minimum.reduceat(level[others], firsts))
        if (stands >= level[ends]).all():
            return level
        level[ends] = stands


@lru_cache(maxsize=2)
def _beside(edges: Same[Index]) -> tuple[Index, Index]:
    both = np.concatenate([edges.it, edges.it[:, ::-1]])
    both = both[np.argsort(both[:, 1], kind="stable")]
    return np.ascontiguousarray(both[:, 0]), np.ascontiguousarray(both[:, 1])


def _runs_off(heights: Array, beside: tuple[Index, Index], outlets: Index) -> Mask:
    """From which nodes (n,) water reaches an outlet, always going on to the lowest neighbour."""
    others, nodes = beside
    firsts = _firsts(nodes)
    lowest_first = np.argsort(heights, kind="stable")
    rank = np.empty_like(lowest_first)
    rank[lowest_first] = np.arange(len(heights))
    below, ends = lowest_first[np.minimum.reduceat(rank[others], firsts)], nodes[firsts]
    falls = (heights[below] < heights[ends]) & (outlets[ends] < 0)
    last = np.arange(len(heights))
    last[ends[falls]] = below[falls]
    while (last[last] != last).any():
        last = last[last]
    return outlets[last] >= 0


def _firsts(numbers: Index) -> Index:
    return np.flatnonzero(numbers != np.concatenate([[-1], numbers[:-1]]))


def has_pits(heights: Array, edges: Index, outlets: Index) -> bool:
    """Whether any node off the outlets has no lower neighbour: else no water stands."""
    lowest = np.full(len(heights), np.inf)
    both = np.concatenate([edges, edges[:, ::-1]])
    np.minimum.at(lowest, both[:, 0], heights[both[:, 1]])
    return bool(((outlets < 0) & (lowest >= heights)).any())


def _neighbours(count: int, edges: Index) -> tuple[list[int], list[int]]:
    both = np.concatenate([edges, edges[:, ::-1]])
    order = np.argsort(both[:, 0], kind="stable")
    return np.searchsorted(both[order, 0], np.arange(count + 1)).tolist(), both[order, 1].tolist()


@record
class Pond:
    """Standing water: its depth at its deepest place x, y, area [mm2], volume [mm3] and level; lengths [mm].

    long, wide: the sides of the narrowest box round it.
    """

    depth: float
    area: float
    x: float
    y: float
    level: float
    volume: float
    long: float
    wide: float


def ponds(mesh: Mesh, heights: Array, level: Array, least: float) -> tuple[Pond, ...]:
    """The ponds at least so deep [mm], deepest first.

    heights, level (n,) [mm]: the surface and its water, from `flood`, at the mesh's nodes.
    """
    depth = level - heights
    found = [_pond(mesh, depth, level, nodes) for nodes in _ponded(mesh, depth, least)]
    return tuple(sorted(found, key=lambda pond: (-round(pond.depth, 6), pond.x, pond.y)))


def deepest_places(mesh: Mesh, heights: Array, level: Array, least: float) -> list[tuple[float, float]]:
    """Where those are deepest: x, y [mm], in no order."""
    depth = level - heights
    return [tuple(mesh.nodes[_deepest(depth, nodes)].tolist()) for nodes in _ponded(mesh, depth, least)]


def _ponded(mesh: Mesh, depth: Array, least: float) -> list[Index]:
    parts = _parts(mesh.edges, depth > _WET) if depth.max() >= least else []
    return [nodes for nodes in parts if depth[nodes].max() >= least]


def _deepest(depth: Array, nodes: Index) -> int:
    return int(nodes[np.argmax(np.round(depth[nodes], 9))])


def _parts(edges: Index, wet: Mask) -> list[Index]:
    firsts, others = _neighbours(len(wet), edges[wet[edges].all(axis=1)])
    waiting, parts = set(np.flatnonzero(wet).tolist()), []
    while waiting:
        start = min(waiting)
        waiting.discard(start)
        part = [start]
        for node in part:
            for other in others[firsts[node] : firsts[node + 1]]:
                if other in waiting:
                    waiting.discard(other)
                    part.append(other)
        parts.append(np.array(part))
    return parts


def _pond(mesh: Mesh, depth: Array, level: Array, nodes: Index) -> Pond:
    deepest = _deepest(depth, nodes)
    stands = float(level[deepest])
    is_in = np.zeros(len(depth), dtype=bool)
    is_in[nodes] = True
    touched = is_in[mesh.triangles].any(axis=1)
    corners = mesh.triangles[touched]
    under = stands - (level - depth)[corners]
    shares, means = _wet_part(under)
    areas = mesh.areas[touched]
    long, wide = _box(_shore(mesh.nodes, corners, under))
    x, y = mesh.nodes[deepest].tolist()
    return Pond(float(depth[deepest]), float(areas @ shares), x, y, stands, float(areas @ means), long, wide)


def _wet_part(under: Array) -> tuple[Array, Array]:
    """The wet share (t,) of triangles with corners so far under a level (t, 3) [mm], and mean depth (t,) [mm].

    The sides of a corner cut off are in proportion to the heights.
    """
    low, middle, high = np.sort(under, axis=1).T
    total = under.sum(axis=1) / 3
    with np.errstate(divide="ignore", invalid="ignore"):
        cut_high = high * high / ((high - low) * (high - middle))
        cut_low = low * low / ((low - high) * (low - middle))
    wet = [low >= 0, middle > 0, high > 0]
    shares = np.select(wet, [np.ones_like(low), 1.0 - cut_low, cut_high], 0.0)
    return shares, np.select(wet, [total, total - cut_low * low / 3, cut_high * high / 3], 0.0)


def _shore(nodes: Array, corners: Index, under: Array) -> Array:
    """What bounds triangles' wet part: their wet nodes, and where their sides meet the level."""
    found = [nodes[corners[under >= 0]]]
    for first, second in ((0, 1), (1, 2), (2, 0)):
        a, b = under[:, first], under[:, second]
        cut = (a > 0) != (b > 0)
        part = (a[cut] / (a[cut] - b[cut]))[:, None]
        start, end = nodes[corners[cut, first]], nodes[corners[cut, second]]
        found.append(start + part * (end - start))
    return np.vstack(found)


def _box(points: Array) -> tuple[float, float]:
    ring = shapely.get_coordinates(shapely.oriented_envelope(shapely.multipoints(points)))
    if len(ring) < 4:
        return float(np.hypot(*np.ptp(points, axis=0))), 0.0
    sides = np.hypot(*np.diff(ring[:3], axis=0).T)
    return float(sides.max()), float(sides.min())
