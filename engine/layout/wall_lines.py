"""Wall lines: the bed and the rough floor along each wall."""

from collections.abc import Iterator
from functools import lru_cache
from itertools import islice

import numpy as np

from ..bed.even_fall import EvenFall
from ..bed.planes import PlaneBed, Planes
from ..bed.surfaces import Bed
from ..records import record
from ..survey.border import Border
from ..survey.mesh import Mesh
from ..survey.outline import FloorOutline
from ..survey.rough_floor import RoughFloor
from ..survey.sides import Sides
from ..types import Array, Index
from .marks import AT_CORNER
from .seen import Side, all_ways, best_parts, sides

_ON_WALL = 1e-5  # [mm] the rough floor's corners this near a wall lie on it
_SAME = 1e-6  # [mm] along a wall


@record
class WallLine:
    """Places along a wall from its first corner, rising, with the bed and the rough floor there, all [mm].

    Between two the rough floor is straight. is_mark: which are corners or marks.
    """

    alongs: list[float]
    bed: list[float]
    rough: list[float]
    is_mark: list[bool]


@record
class _Kinks:
    """Where the rough floor may bend along a wall, with both ends, and its heights there [mm]."""

    alongs: list[float]
    heights: list[float]

    def at(self, alongs: list[float]) -> list[float]:
        return np.interp(alongs, self.alongs, self.heights).tolist()


def wall_lines(floor: FloorOutline, bed: Bed, rough: RoughFloor, spacing: float) -> tuple[tuple[WallLine, ...], ...]:
    """For each border the line along each wall, with the corners and every `spacing` [mm] among its places.

    Least and most depth are at places: between the corners of the floor's pieces it is straight (level walls, one
    plane), or the bed is a cone's cut, lowest over the floor where both slope alike, highest where ways part.
    """
    ridges = _ridges(floor, bed)
    return tuple(_round(border, bed, rough, spacing, ridges) for border in floor.borders)


def _round(
    border: Border, bed: Bed, rough: RoughFloor, spacing: float, ridges: dict[int, list[float]]
) -> tuple[WallLine, ...]:
    by_side = _kinks(border.sides, rough)
    edge_of = dict(zip(border.edge_sides.tolist(), range(len(by_side)), strict=True))
    turns = [
        kink.alongs[1:-1] + _turns(border.sides, bed, side, kink) + ridges.get(border.first_edge + edge_of[side], [])
        for side, kink in enumerate(by_side)
    ]
    kinks, turns = _joined(border.sides, by_side, turns)
    marks = [
        [*np.arange(0.0, max(length - AT_CORNER, spacing), spacing).tolist(), length]
        for length in border.lengths.tolist()
    ]
    alongs = [mark + turn for mark, turn in zip(marks, turns, strict=True)]
    beds = _bed_along(border, bed, alongs)
    return tuple(
        _line(along, height, kink, len(mark))
        for along, height, kink, mark in zip(alongs, beds, kinks, marks, strict=True)
    )


def _joined(sides: Sides, kinks: list[_Kinks], turns: list[list[float]]) -> tuple[list[_Kinks], list[list[float]]]:
    whole: list[_Kinks] = [_Kinks([], []) for _ in sides.first]
    found: list[list[float]] = [[] for _ in sides.first]
    rows = zip(sides.walls.tolist(), sides.before.tolist(), sides.stretch.tolist(), kinks, turns, strict=True)
    for wall, before, stretch, kink, turn in rows:
        if whole[wall].alongs:  # the chord before has ended where this one starts
            found[wall].append(before)
            whole[wall].alongs.pop()
            whole[wall].heights.pop()
        whole[wall].alongs.extend(before + along * stretch for along in kink.alongs)
        whole[wall].heights.extend(kink.heights)
        found[wall].extend(before + along * stretch for along in turn)
    return whole, found


def _line(alongs: list[float], bed: list[float], kinks: _Kinks, marks: int) -> WallLine:
    order = sorted(range(len(alongs)), key=alongs.__getitem__)
    alongs = [alongs[i] for i in order]
    return WallLine(alongs, [bed[i] for i in order], kinks.at(alongs), [i < marks for i in order])


def _bed_along(border: Border, bed: Bed, alongs: list[list[float]]) -> list[list[float]]:
    if bed.has_level_walls:
        return [[bed.wall_height] * len(along) for along in alongs]
    counts = [len(along) for along in alongs]
    walls = np.repeat(np.arange(len(counts)), counts)
    heights = iter(bed.height(border.on_walls(walls, np.concatenate(alongs))).tolist())
    return [list(islice(heights, count)) for count in counts]


@lru_cache(maxsize=8)
def _bends(sides: Sides, mesh: Mesh) -> tuple[tuple[list[float], ...], Index]:
    """By side, the places along it [mm], rising, of pieces' corners; and those corners, by side."""
    points = mesh.corners[mesh.used]
    off = points @ sides.inward.T - (sides.starts * sides.inward).sum(axis=1)
    along = points @ sides.directions.T - (sides.starts * sides.directions).sum(axis=1)
    on = (np.abs(off) < _ON_WALL) & (along > -_ON_WALL) & (along < sides.lengths + _ON_WALL)
    walls, rows = np.nonzero(on.T)
    at = along[rows, walls]
    order = np.lexsort([at, walls])
    found: tuple[list[float], ...] = tuple([] for _ in sides.starts)
    corners = []
    for wall, place, row in zip(*(column[order].tolist() for column in (walls, at, rows)), strict=True):
        if not found[wall] or place - found[wall][-1] > _SAME:
            found[wall].append(place)
            corners.append(row)
    return found, mesh.used[np.array(corners, dtype=np.intp)]


def _kinks(sides: Sides, rough: RoughFloor) -> list[_Kinks]:
    found, corners = _bends(sides, rough.mesh)
    heights = iter(rough.frame.heights[corners].tolist())
    return [
        _to_the_ends(sides, rough, side, list(zip(places, heights, strict=False)))  # the next side's are left
        for side, places in enumerate(found)
    ]


def _to_the_ends(sides: Sides, rough: RoughFloor, side: int, found: list[tuple[float, float]]) -> _Kinks:
    length = float(sides.lengths[side])
    if len(found) < 2 or found[0][0] > _ON_WALL or found[-1][0] < length - _ON_WALL:
        first, last = rough.height(np.array([sides.starts[side], sides.ends[side]])).tolist()
        inner = [pair for pair in found if _ON_WALL < pair[0] < length - _ON_WALL]
        found = [(0.0, first), *inner, (length, last)]
    first, *inner, last = found
    between = [(place, height) for place, height in inner if 0.0 < place < length]
    return _Kinks([0.0, *(place for place, _ in between), length], [first[1], *(high for _, high in between), last[1]])


def _turns(sides: Sides, bed: Bed, side: int, kinks: _Kinks) -> list[float]:
    if isinstance(bed, PlaneBed):
        return _channel_crossings(sides, bed, side)
    if isinstance(bed, Planes):
        found = bed.crossings(sides.starts[side], sides.directions[side])
        inside = (found > _SAME) & (found < sides.lengths[side] - _SAME)
        return [*found[inside].tolist()]
    return _stationary(sides, bed, side, kinks) if isinstance(bed, EvenFall) else []


def _channel_crossings(sides: Sides, bed: PlaneBed, side: int) -> list[float]:
    flange = bed.reach.flange
    away = float((sides.starts[side] - flange.centre) @ flange.frame[1])
    slope = float(sides.directions[side] @ flange.frame[1])
    length = float(sides.lengths[side])
    if abs(slope) * length < _SAME:
        return []
    found = [(edge - away) / slope for edge in (-flange.half, flange.half)]
    return [place for place in found if 0 < place < length]


def way_sources(bed: EvenFall) -> Array:
    """The places (q, 2) that straight ways run to: round drains' centres, others' corners, bends."""
    places = [
        place
        for reach in bed.reach.reaches
        for place in (
            reach.flange.centre[None] if reach.flange.is_round else reach.flange.corners,
            *(node.place[None] for node in reach.nodes),
        )
    ]
    return np.vstack(places)


def _stationary(sides: Sides, bed: EvenFall, side: int, kinks: _Kinks) -> list[float]:
    """Where the bed, or the bed less the rough floor, is level along the side.

    A straight way to a source at square distance p is sqrt(p2 + t2) long, t along the side from its foot: it slopes as
    the floor (g) at t = p g / sqrt(s2 - g2), s the fall.
    """
    offset = way_sources(bed) - sides.starts[side]
    feet, off = offset @ sides.directions[side], np.abs(offset @ sides.inward[side])
    places = np.array(kinks.alongs)
    slopes = np.diff(kinks.heights) / np.diff(places)
    gentle = np.abs(slopes) < bed.fall
    lean = slopes[gentle] / np.sqrt(bed.fall**2 - slopes[gentle] ** 2)
    at = feet + off * lean[:, None]
    inside = (at > places[:-1][gentle][:, None]) & (at < places[1:][gentle][:, None])
    lowest = feet[(feet > 0) & (feet < places[-1])]
    return [*at[inside].tolist(), *lowest.tolist()]


@lru_cache(maxsize=8)
def _ridges(floor: FloorOutline, bed: Bed) -> dict[int, list[float]]:
    """By edge, the places along its side where this bed's ways give over to others."""
    found: dict[int, list[float]] = {}
    if isinstance(bed, EvenFall) and bed.reach.has_ridges:
        walls = sides(floor, 0.0)
        for parts in best_parts(bed, walls, all_ways(bed, walls)):
            for part in parts:
                found.setdefault(part.side, []).extend((part.start, part.end))
        for side, at in _parted_along(bed, walls):
            found.setdefault(side, []).append(at)
    return found


def _parted_along(bed: EvenFall, walls: tuple[Side, ...]) -> Iterator[tuple[int, float]]:
    """Each side with the place where ways along it to its two ends would part [mm]."""
    starts = np.array([side.start for side in walls])
    lengths = np.array([side.length for side in walls])
    ends = starts + lengths[:, None] * np.array([side.along for side in walls])
    first, last = np.split(bed.height(np.vstack([starts, ends])), 2)
    at = (lengths + (last - first) / bed.fall) / 2
    inside = (at > _SAME) & (at < lengths - _SAME)  # else one way is shorter all along
    yield from zip(np.flatnonzero(inside).tolist(), at[inside].tolist(), strict=True)
