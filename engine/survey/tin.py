"""Triangles between readings, and the ring round them."""

import numpy as np
import shapely

from ..arrays import cross, distinct, numbers_of
from ..records import result
from ..types import Array, Index, Mask

_NEXT = [1, 2, 0]  # each corner's next in a triangle
_FLAT = 1e-9  # a triangle this thin for its extent is noise on the hull, not a triangle
_ON_CIRCLE = 1e-6  # [mm] a fourth point this near a triangle's circle is on it
_HIGHER = 1e-9  # [mm] a split must be higher by more than noise
_MOST_SWEEPS = 1000
_MANY = 1 << 31  # more than there are stations: two indices make one key
_ASKEW = np.array([0.7548776662466927, 0.5698402909980532])  # tells stations apart by one number each


def delaunay(stations: Array) -> Index:
    """The triangles (t, 3) between stations (n, 2), counter-clockwise; none where all stand on one line.

    Of four or more stations on one circle any split may come out: see `settled` and `steady`.
    """
    if len(stations) < 3:
        return np.empty((0, 3), dtype=np.intp)
    found = _triangulated(stations)
    areas = doubled_areas(stations, found)
    found[areas < 0] = found[areas < 0, ::-1]
    room = np.abs(areas) / (_FLAT * np.ptp(stations, axis=0).max())
    thin = (room <= np.hypot(*np.ptp(stations, axis=0))).nonzero()[0]  # no side is longer than that
    if not thin.size:
        return found
    x, y = stations.T[:, found[thin]]
    longest = np.hypot(x - x[:, _NEXT], y - y[:, _NEXT]).max(axis=1)
    return np.delete(found, thin[room[thin] <= longest], axis=0)


def _triangulated(stations: Array, turns: int = 3) -> Index:
    try:
        rings = shapely.get_coordinates(shapely.delaunay_triangles(shapely.linestrings(stations)))
    except shapely.GEOSException:  # very rarely the library loses its way among nodes, not when turned
        if not turns:
            raise
        return _triangulated(stations[:, ::-1] * [1.0, -1.0], turns - 1)
    return _numbers(stations, rings.reshape(-1, 4, 2)[:, :3].reshape(-1, 2)).reshape(-1, 3)


def _numbers(stations: Array, corners: Array) -> Index:
    """Which station each corner is: the library gives their coordinates back bit by bit."""
    keys = _key(stations)
    order = np.argsort(keys)
    found = order[np.searchsorted(keys[order], _key(corners))] if len(corners) else order[:0]
    if (stations[found] == corners).all():
        return found
    return numbers_of(corners, stations)  # two stations share a key


def _key(points: Array) -> Array:
    return np.asarray(points[:, 0] * _ASKEW[0] + points[:, 1] * _ASKEW[1])


def doubled_areas(stations: Array, triangles: Index) -> Array:
    """Twice each triangle's signed area [mm2]."""
    a, b, c = (stations[triangles[:, k]] for k in range(3))
    return cross(b - a, c - a)


def edges_of(triangles: Index) -> Index:
    """The sides of triangles (t, 3) as pairs of corners (e, 2), each once, lower number first."""
    keys = distinct(_side_keys(triangles))
    return np.array([keys // _MANY, keys % _MANY]).T


def _side_keys(triangles: Index) -> Index:
    starts, ends = triangles.ravel(), triangles[:, _NEXT].ravel()
    return np.minimum(starts, ends) * _MANY + np.maximum(starts, ends)


@result
class Sides:
    """The triangles' sides, each as 3 * triangle + the corner it leaves: pairs (e, 2) of shared ones, outer (b,)."""

    pairs: Index
    outer: Index


def sides(triangles: Index) -> Sides:
    """Which sides two triangles share, and which bound them all."""
    keys = _side_keys(triangles)
    order = np.argsort(keys, kind="stable")
    ordered = keys[order]
    twin = (ordered[1:] == ordered[:-1]).nonzero()[0]
    pairs = np.array([order[twin], order[twin + 1]]).T
    alone = np.ones(len(keys), dtype=bool)
    alone[pairs] = False
    return Sides(pairs, alone.nonzero()[0])


@result
class Ties:
    """Pairs (e, 2) of triangles whose four stations lie on one circle: either diagonal will do.

    quads (e, 4): the stations as rings a, p, b, q, walked clockwise, with the present diagonal a-b. The diagonals meet
    at the parts (e,) `along` of a-b and `across` of p-q.
    """

    pairs: Index
    quads: Index
    along: Array
    across: Array


def ties(stations: Array, triangles: Index, shared: Index) -> Ties:
    """The ties among triangles over their shared sides (see `Sides`)."""
    pairs = shared // 3
    quads = _quads(triangles, pairs, (shared + 2) % 3)
    tied = _on_one_circle(*stations[quads].transpose(1, 2, 0)).nonzero()[0]
    pairs, quads = pairs[tied], quads[tied]
    along, across = _meeting(*stations[quads].transpose(1, 2, 0))
    low, high = np.minimum(along, across), np.maximum(along, across)
    convex = (low > _FLAT) & (high < 1 - _FLAT)
    return Ties(pairs[convex], quads[convex], along[convex], across[convex])


def _quads(triangles: Index, pairs: Index, corners: Index) -> Index:
    first, k = triangles[pairs[:, 0]], corners[:, 0]
    rows = np.arange(len(pairs))
    a, b = first[rows, (k + 1) % 3], first[rows, (k + 2) % 3]
    return np.array([a, first[rows, k], b, triangles[pairs[:, 1], corners[:, 1]]]).T


def _on_one_circle(a: Array, p: Array, b: Array, q: Array) -> Mask:
    x, y = circle_centre(b - a, p - a)
    radius = np.hypot(x, y)
    wx, wy = q - a
    return np.asarray(np.abs(np.hypot(wx - x, wy - y) - radius) < _ON_CIRCLE + _FLAT * radius)


def circle_centre(u: Array, v: Array) -> Array:
    """The centre (2, e) of the circle through the origin, u and v, (2, e) each: where the bisectors meet.

    The origin where all lie on one line: nothing else is on that circle.
    """
    (ux, uy), (vx, vy) = u, v
    twice, uu, vv = 2 * (ux * vy - uy * vx), ux * ux + uy * uy, vx * vx + vy * vy
    twice = np.where(twice, twice, np.inf)
    return np.array([(vy * uu - uy * vv) / twice, (ux * vv - vx * uu) / twice])


def _meeting(a: Array, p: Array, b: Array, q: Array) -> tuple[Array, Array]:
    (ux, uy), (vx, vy), (wx, wy) = b - a, q - p, p - a
    with np.errstate(divide="ignore", invalid="ignore"):
        cross = ux * vy - uy * vx
        cross = np.where(np.abs(cross) > _FLAT * np.hypot(ux, uy) * np.hypot(vx, vy), cross, np.nan)  # on one line
        return (wx * vy - wy * vx) / cross, (wx * uy - wy * ux) / cross


def settled(stations: Array, heights: Array, triangles: Index, first: Ties) -> Index:
    """The triangles with tied sides flipped until none makes the floor higher; first: their ties."""
    found, tied = triangles, first
    for _ in range(_MOST_SWEEPS):
        flips = _independent(tied.pairs, _worth_flipping(heights, tied))
        if not flips.size:
            break
        found = found.copy()
        a, p, b, q = tied.quads[flips].T
        found[tied.pairs[flips, 0]] = np.array([p, a, q]).T
        found[tied.pairs[flips, 1]] = np.array([p, q, b]).T
        tied = ties(stations, found, sides(found).pairs)
    return found


def steady(stations: Array, triangles: Index) -> Index:
    """The triangles with ties settled by the stations' places alone: every build of the library gives the same.

    The stations are lifted by a square growing along a line askew to everything built: the higher diagonal stays.
    """
    lift = _key(stations - stations.mean(axis=0)) ** 2
    return settled(stations, lift, triangles, ties(stations, triangles, sides(triangles).pairs))


def _worth_flipping(heights: Array, tied: Ties) -> Mask:
    a, p, b, q = heights[tied.quads].T
    return np.asarray(p + tied.across * (q - p) > a + tied.along * (b - a) + _HIGHER)


def _independent(pairs: Index, wanted: Mask) -> Index:
    """Of the wanted edges, some that share no triangle: each the first wanted one of both its triangles."""
    edges = wanted.nonzero()[0]
    if edges.size < 2:
        return edges
    first = np.full(pairs.max() + 1, len(pairs))
    np.minimum.at(first, pairs[edges].ravel(), np.repeat(edges, 2))
    return np.asarray(edges[(first[pairs[edges]] == edges[:, None]).all(axis=1)])


def boundary(stations: Array, triangles: Index, outer: Index) -> Index:
    """The ring (k,) of stations round the triangles, counter-clockwise, from their outer sides (see `Sides`).

    A station in which alone triangles touch comes twice. Stations on one line give it there and back, one itself.
    """
    if not len(triangles):
        return _there_and_back(stations)
    starts, ends = triangles.ravel()[outer], triangles[:, _NEXT].ravel()[outer]
    onward: dict[int, list[int]] = {}
    for start, end in zip(starts.tolist(), ends.tolist(), strict=True):
        onward.setdefault(start, []).append(end)
    return np.array(_round_trip(onward, min(onward))[:-1])


def _round_trip(onward: dict[int, list[int]], start: int) -> list[int]:
    """Each side once, from a station back to it (Hierholzer): twice by one in which alone triangles meet."""
    trip, ahead = [], [start]
    while ahead:
        if onward[ahead[-1]]:
            ahead.append(onward[ahead[-1]].pop())
        else:
            trip.append(ahead.pop())
    return trip[::-1]


def _there_and_back(stations: Array) -> Index:
    middle = stations - stations.mean(axis=0)
    direction = np.linalg.svd(middle, full_matrices=False)[2][0]
    order = np.argsort(middle @ direction, kind="stable")
    return np.concatenate([order, order[-2:0:-1]])
