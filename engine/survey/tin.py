"""Triangles between readings: Delaunay, with ties settled toward the higher floor, and the ring round them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from engine.distinct import groups

if TYPE_CHECKING:
    from engine.types import Array, Index, Mask

_NEXT = [1, 2, 0]  # each corner's next in a triangle
_FLAT = 1e-9  # a triangle this thin for its extent is noise on the hull, not a triangle
_ON_CIRCLE = 1e-6  # [mm] a fourth point this near a triangle's circle is on it
_HIGHER = 1e-9  # [mm] a split must be higher by more than noise
_MOST_SWEEPS = 1000


def triangulate(stations: Array, heights: Array) -> Index:
    """The triangles (t, 3) between stations (n, 2), counter-clockwise; none where all stand on one line.

    Where four or more stations lie on one circle the split is the one that gives the higher floor.
    """
    if len(stations) < 3:
        return np.empty((0, 3), dtype=np.intp)
    triangles = _without_slivers(stations, _delaunay(stations))
    return _settle_ties(stations, heights, triangles)


def _delaunay(stations: Array) -> Index:
    parts = shapely.get_parts(shapely.delaunay_triangles(shapely.multipoints(stations)))
    if not len(parts):
        return np.empty((0, 3), dtype=np.intp)
    corners = shapely.get_coordinates(parts).reshape(-1, 4, 2)[:, :3]
    # The library gives coordinates back, bit by bit the stations' own: sorted together they find each other.
    _, owner = groups(*np.vstack([stations, corners.reshape(-1, 2)]).T)
    station = np.empty(len(stations), dtype=np.intp)
    station[owner[: len(stations)]] = np.arange(len(stations))
    found = station[owner[len(stations) :]].reshape(-1, 3)
    clockwise = doubled_areas(stations, found) < 0
    found[clockwise] = found[clockwise][:, ::-1]
    return np.asarray(found)


def doubled_areas(stations: Array, triangles: Index) -> Array:
    """Twice the signed area of each triangle [mm2]."""
    return doubled(*(stations[triangles[:, k]] for k in range(3)))


def doubled(a: Array, b: Array, c: Array) -> Array:
    """Twice the signed areas (k,) of triangles with corners a, b, c, (k, 2) each [mm2]."""
    return np.asarray((b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0]))


def _without_slivers(stations: Array, triangles: Index) -> Index:
    corners = stations[triangles]
    longest = np.hypot(*(corners - corners[:, _NEXT]).transpose(2, 0, 1)).max(axis=1)
    extent = np.ptp(stations, axis=0).max()
    keep = doubled_areas(stations, triangles) > _FLAT * extent * longest
    return np.asarray(triangles[keep])


def _inner_edges(triangles: Index) -> tuple[Index, Index]:
    """Pairs of triangles that share an edge, (e, 2), and at which of its corners each lies opposite, (e, 2)."""
    starts, ends = triangles, triangles[:, _NEXT]
    low, high = np.minimum(starts, ends).ravel(), np.maximum(starts, ends).ravel()
    keys = low * (triangles.max() + 1) + high
    order = np.argsort(keys, kind="stable")
    twin = np.flatnonzero(keys[order][1:] == keys[order][:-1])
    halves = np.column_stack([order[twin], order[twin + 1]])
    return halves // 3, (halves % 3 + 2) % 3


def _settle_ties(stations: Array, heights: Array, triangles: Index) -> Index:
    """Flips shared edges of four stations on one circle until no flip makes the floor higher."""
    triangles = triangles.copy()
    for _ in range(_MOST_SWEEPS):
        if len(triangles) < 2:
            break
        pairs, opposite = _inner_edges(triangles)
        quads = _quads(triangles, pairs, opposite)
        flips = _independent(pairs, _worth_flipping(stations, heights, quads))
        if not flips.size:
            break
        a, p, b, q = quads[flips].T
        triangles[pairs[flips, 0]] = np.column_stack([p, a, q])
        triangles[pairs[flips, 1]] = np.column_stack([p, q, b])
    return triangles


def _quads(triangles: Index, pairs: Index, opposite: Index) -> Index:
    """Each pair of triangles as a ring a, p, b, q whose present diagonal is a-b, walked clockwise."""
    first, k = triangles[pairs[:, 0]], opposite[:, 0]
    rows = np.arange(len(pairs))
    a, b = first[rows, (k + 1) % 3], first[rows, (k + 2) % 3]
    return np.column_stack([a, first[rows, k], b, triangles[pairs[:, 1], opposite[:, 1]]])


def _worth_flipping(stations: Array, heights: Array, quads: Index) -> Mask:
    a, p, b, q = (stations[quads[:, k]] for k in range(4))
    centre = _circle_centres(a, b, p)
    radius = np.hypot(*(a - centre).T)
    tied = np.abs(np.hypot(*(q - centre).T) - radius) < _ON_CIRCLE + _FLAT * radius
    along, across = b - a, q - p
    cross = along[:, 0] * across[:, 1] - along[:, 1] * across[:, 0]
    gap = p - a
    with np.errstate(divide="ignore", invalid="ignore"):
        s = (gap[:, 0] * across[:, 1] - gap[:, 1] * across[:, 0]) / cross
        t = (gap[:, 0] * along[:, 1] - gap[:, 1] * along[:, 0]) / cross
    convex = (s > _FLAT) & (s < 1 - _FLAT) & (t > _FLAT) & (t < 1 - _FLAT)
    za, zp, zb, zq = (heights[quads[:, k]] for k in range(4))
    return np.asarray(tied & convex & (zp + t * (zq - zp) > za + s * (zb - za) + _HIGHER))


def _circle_centres(a: Array, b: Array, c: Array) -> Array:
    """The centres (n, 2) of the circles through three points each (perpendicular bisectors' meet)."""
    u, v = b - a, c - a
    doubled = 2 * (u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0])
    uu, vv = (u * u).sum(axis=1), (v * v).sum(axis=1)
    x = (v[:, 1] * uu - u[:, 1] * vv) / doubled
    y = (u[:, 0] * vv - v[:, 0] * uu) / doubled
    return np.asarray(a + np.column_stack([x, y]))


def _independent(pairs: Index, wanted: Mask) -> Index:
    """Of the wanted edges, some that share no triangle: each the first wanted one of both its triangles."""
    edges = np.flatnonzero(wanted)
    if edges.size < 2:
        return edges
    first = np.full(pairs.max() + 1, len(pairs))
    np.minimum.at(first, pairs[edges].ravel(), np.repeat(edges, 2))
    return np.asarray(edges[(first[pairs[edges]] == edges[:, None]).all(axis=1)])


def boundary(stations: Array, triangles: Index) -> Index:
    """The ring (k,) of stations round the triangles, counter-clockwise.

    Stations on one line give the line walked there and back; one station gives itself.
    """
    if not len(triangles):
        return _there_and_back(stations)
    starts, ends = triangles.ravel(), triangles[:, _NEXT].ravel()
    keys = np.minimum(starts, ends) * len(stations) + np.maximum(starts, ends)
    first, owner = groups(keys)
    outer = first[np.bincount(owner) == 1]
    following = dict(zip(starts[outer].tolist(), ends[outer].tolist(), strict=True))
    ring = [min(following)]
    while following[ring[-1]] != ring[0]:
        ring.append(following[ring[-1]])
    return np.array(ring)


def _there_and_back(stations: Array) -> Index:
    middle = stations - stations.mean(axis=0)
    direction = np.linalg.svd(middle, full_matrices=False)[2][0]
    order = np.argsort(middle @ direction, kind="stable")
    return np.asarray(np.concatenate([order, order[-2:0:-1]]))
