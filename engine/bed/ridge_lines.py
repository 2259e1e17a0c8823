"""Ridge lines: the ridges of a bed with several drains."""

from collections.abc import Iterator
from functools import lru_cache

import numpy as np
import shapely

from ..boxes import box_round
from ..distinct import groups
from ..types import Array, Index, Shape
from .catchments import crossed_at
from .parted_walls import PartedWalls
from .parts import Ridge
from .planes import Planes
from .quadrature import quarters, triangles_of
from .reach import SharedReach
from .surfaces import Bed

_FINE = 1 / 48  # of the floor's extent: the longest side of the triangles that ridges are sought in
_MOST_TRIANGLES = 20_000
_OFF = 2.0  # [mm] a ridge's points are left out where the line keeps this near without them; shorter ones too
_JOINED = 1.37e-3  # [mm] ends of ridge pieces this near are one; no round figure


@lru_cache(maxsize=8)
def ridge_lines(bed: Bed) -> tuple[Ridge, ...]:
    """The ridges of 2 mm or more between the drains of this very bed, by their drains' numbers.

    Level walls and planes: straight. Even fall: where the ways to two drains count alike, exact on triangles' sides,
    thinned to 2 mm; parts narrower than those may be missed, and where three meet lines end within a triangle.
    """
    found = bed.ridges if isinstance(bed, PartedWalls | Planes) else _traced(bed)
    return tuple(ridge for ridge in found if shapely.length(shapely.linestrings(ridge.points)) >= _OFF)


def _traced(bed: Bed) -> Iterator[Ridge]:
    reach = bed.reach
    if not isinstance(reach, SharedReach):
        return
    triangles = _triangles(reach.floor.polygon)
    flat = triangles.reshape(-1, 2)
    found, numbers = groups(flat[:, 0], flat[:, 1])
    points, corners = flat[found], numbers.reshape(-1, 3)
    ways = reach.each(points)
    owners = np.argmin(ways, axis=0)[corners]
    for first in range(len(ways)):
        for second in range(first + 1, len(ways)):
            segments = _crossed(reach, (first, second), points, corners, owners)
            for line in _lines(segments):
                yield Ridge((first, second), line, bed.height(line))


def _triangles(polygon: Shape) -> Array:
    triangles = triangles_of(polygon)
    low, high = box_round(polygon)
    fine = _FINE * float((high - low).max())
    while (
        np.hypot(*(triangles - np.roll(triangles, 1, axis=1)).T).max() > fine and len(triangles) * 4 <= _MOST_TRIANGLES
    ):
        triangles = quarters(triangles).reshape(-1, 4, 3, 2).swapaxes(0, 1).reshape(-1, 3, 2)
    return triangles


def _crossed(reach: SharedReach, pair: tuple[int, int], points: Array, corners: Index, owners: Index) -> Array:
    next_corners, next_owners = np.roll(corners, -1, axis=1), np.roll(owners, -1, axis=1)
    crossed = (np.sort(np.stack([owners, next_owners], axis=2)) == pair).all(axis=2)
    crossed[crossed.sum(axis=1) != 2] = False
    ends = np.stack([points[corners[crossed]], points[next_corners[crossed]]])
    starts, ends = np.where((owners[crossed] == pair[0])[:, None], ends, ends[::-1])  # of both triangles' sides alike
    first, second = (np.full(len(ends), number) for number in pair)
    at = crossed_at(reach, (first, second), starts, ends)
    return np.asarray(starts + at[:, None] * (ends - starts)).reshape(-1, 2, 2)


def _lines(segments: Array) -> Iterator[Array]:
    if not len(segments):
        return
    rounded = np.round(segments / _JOINED) * _JOINED
    own = dict(zip(map(tuple, rounded.reshape(-1, 2).tolist()), segments.reshape(-1, 2).tolist(), strict=True))
    snapped = shapely.linestrings(rounded)
    merged = shapely.line_merge(shapely.multilinestrings(snapped[shapely.length(snapped) > 0]))
    for line in shapely.get_parts(merged):
        thinned = shapely.get_coordinates(shapely.simplify(line, _OFF)).tolist()
        yield np.array([own[x, y] for x, y in thinned])
