"""Catchments: the floor that each of several drains takes the water of, and the ridges between."""

from collections.abc import Iterator
from functools import lru_cache

import numpy as np
import shapely

from ..arrays import groups
from ..boxes import box_round
from ..types import Array, Index, Shape
from .parted_walls import PartedWalls
from .parts import Ridge
from .planes import Planes
from .quadrature import areas, quarters, triangles_of
from .reach import SharedReach
from .surfaces import Bed

_FINE = 1 / 64  # of the floor's extent: the sides of triangles that a ridge is followed through
_TINY = 1.0  # [mm] the same where three parts meet
_FAR = 2 / np.sqrt(3.0)  # of a triangle's longest side: two ways differ by no more than this less than at a corner
_HALVINGS = 10  # of a side, before the ridge is taken as straight across it
_FINE_RIDGES = 1 / 48  # of the floor's extent: the longest side of triangles that ridges are sought in
_MOST_TRIANGLES = 20_000
_OFF = 2.0  # [mm] a ridge's points are left out where the line keeps this near without them; shorter ones too
_JOINED = 1.37e-3  # [mm] ends of ridge pieces this near are one; no round figure


@lru_cache(maxsize=8)
def catchments(bed: Bed) -> tuple[float, ...]:
    """The floor from which water runs to each drain of this very bed (d,) [mm2]; none with one drain.

    Exact for level walls and planes; even fall's curved ridges are parabolas across small triangles: to a millionth of
    the floor.
    """
    if isinstance(bed, PartedWalls):
        return tuple(shapely.area([part.shape for part in bed.parts]).tolist())
    if isinstance(bed, Planes):
        numbers, pieces = zip(*bed.shares, strict=True)
        return tuple(np.bincount(numbers, shapely.area(pieces), len(bed.reach.flanges)).tolist())
    return tuple(_nearest(bed.reach).tolist()) if isinstance(bed.reach, SharedReach) else ()


def drained_to(bed: Bed, points: Array) -> Index:
    """The number of the drain that water runs to (k,) from points (k, 2) of the planned bed."""
    if isinstance(bed, PartedWalls | Planes):
        return bed.owners(points)
    if isinstance(bed.reach, SharedReach):
        return np.asarray(np.argmin(bed.reach.each(points), axis=0))
    return np.zeros(len(points), dtype=np.intp)


def _nearest(reach: SharedReach) -> Array:
    """The area (d,) [mm2] nearest to each drain, by triangles halved until each is one drain's or small.

    A way changes by no more than one goes: a triangle whose corners are one drain's by more is all that drain's.
    """
    found = np.zeros(len(reach.reaches))
    triangles = triangles_of(reach.floor.polygon)
    fine = _FINE * float(np.ptp(reach.floor.ring, axis=0).max())
    while len(triangles):
        ways = reach.each(triangles.reshape(-1, 2)).reshape(len(found), -1, 3)
        owners = np.sort(np.argmin(ways, axis=0), axis=1)
        first, second = np.partition(ways, 1, axis=0)[:2]
        long = np.hypot(*np.moveaxis(triangles - np.roll(triangles, 1, axis=1), 2, 0)).max(axis=1)
        kinds = 1 + (np.diff(owners, axis=1) > 0).sum(axis=1)
        sure = (kinds == 1) & ((second - first).min(axis=1) > _FAR * long)
        done = sure | (long < np.where(kinds == 3, _TINY, fine))
        split = done & (kinds == 2)
        np.add.at(found, owners[done & ~split], areas(triangles[done & ~split])[:, None] / 3)
        found += _parted(reach, triangles[split])
        triangles = quarters(triangles[~done])
    return found


def _parted(reach: SharedReach, triangles: Array) -> Array:
    """The areas (d,) [mm2] on both sides of ridges through triangles (t, 3, 2), each with one corner on one side."""
    found = np.zeros(len(reach.reaches))
    owners = np.argmin(reach.each(triangles.reshape(-1, 2)), axis=0).reshape(-1, 3)
    alone = np.argmax((owners != np.roll(owners, 1, axis=1)) & (owners != np.roll(owners, -1, axis=1)), axis=1)
    rows = np.arange(len(triangles))
    corner, one, other = (triangles[rows, (alone + k) % 3] for k in range(3))
    pair = owners[rows, alone], owners[rows, (alone + 1) % 3]
    to_one, to_other = (crossed_at(reach, pair, corner, end)[:, None] for end in (one, other))
    chord = to_other * (other - corner) - to_one * (one - corner)
    across = (to_one * (one - corner) + to_other * (other - corner)) / np.maximum(to_one + to_other, 1e-12)
    part = crossed_at(reach, pair, corner, corner + across)
    half = (to_one + to_other)[:, 0] / 2
    # Half the chord's triangle, and two thirds of what the arc's middle stands over the chord's.
    cut = np.abs(np.linalg.det(np.stack([chord, across], axis=1))) * (half / 2 + (part - half) * 2 / 3)
    np.add.at(found, pair[0], cut)
    np.add.at(found, pair[1], areas(triangles) - cut)
    return found


def crossed_at(reach: SharedReach, pair: tuple[Index, Index], starts: Array, ends: Array) -> Array:
    """At which part (t,) of the way from starts to ends (t, 2) the ways to a pair of drains count alike."""
    rows = np.arange(len(starts))

    def longer(part: Array) -> Array:
        ways = reach.each(starts + part[:, None] * (ends - starts))
        return ways[pair[0], rows] - ways[pair[1], rows]

    low, high = np.zeros(len(starts)), np.ones(len(starts))
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        is_beyond = longer(middle) > 0
        low, high = np.where(is_beyond, low, middle), np.where(is_beyond, middle, high)
    under, over = longer(low), longer(high)
    rise = np.where(over > under, over - under, 1.0)
    return low + np.clip(-under / rise, 0.0, 1.0) * (high - low)


@lru_cache(maxsize=8)
def ridge_lines(bed: Bed) -> tuple[Ridge, ...]:
    """The ridges of 2 mm or more between the drains of this very bed, by their drains' numbers.

    Straight with level walls and planes. Even fall: where the ways to two drains count alike, exact on triangles'
    sides, thinned to 2 mm; parts narrower than a triangle may be missed; where three meet, lines end within one.
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
    fine = _FINE_RIDGES * float((high - low).max())
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
