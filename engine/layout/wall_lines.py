"""Wall lines: the bed and the rough floor along each wall, at every place where their distance may be extreme."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import islice
from typing import TYPE_CHECKING

import numpy as np

from engine.bed.even_fall import EvenFall
from engine.bed.level_walls import LevelWalls
from engine.bed.plane import PlaneBed
from engine.bed.reach import SharedReach
from engine.layout.best_ways import all_ways, best_parts
from engine.layout.seen import sides

if TYPE_CHECKING:
    from engine.bed.surfaces import Bed
    from engine.survey.outline import FloorOutline
    from engine.survey.rough_floor import RoughFloor
    from engine.types import Array

_ON_WALL = 1e-5  # [mm] the rough floor's corners this near a wall lie on it
_SAME = 1e-6  # [mm] places along a wall nearer than this are one


@dataclass(frozen=True, slots=True)
class WallLine:
    """Places along a wall from its first corner, rising, with the bed and the rough floor there, all [mm].

    The rough floor is straight between two places. is_mark: which places are corners or marks.
    """

    alongs: list[float]
    bed: list[float]
    rough: list[float]
    is_mark: list[bool]


@dataclass(frozen=True, slots=True)
class _Kinks:
    """Where the rough floor may bend along a wall, both its ends among them, and its heights there [mm]."""

    alongs: list[float]
    heights: list[float]

    def at(self, alongs: list[float]) -> list[float]:
        """The heights at places along the wall, rising [mm]."""
        return np.interp(alongs, self.alongs, self.heights).tolist()


def wall_lines(floor: FloorOutline, bed: Bed, rough: RoughFloor, spacing: float) -> tuple[WallLine, ...]:
    """The line along each wall, with the corners and every `spacing` [mm] from the first among its places.

    The least and the most of the bed over the rough floor are at places: the rough floor's kinks are where its pieces'
    corners lie on the wall, and between them the depth is straight (level walls, one plane) or the bed is a cone's
    cut, lowest over the floor where it slopes as the floor does, and highest where ways part.
    """
    kinks = _kinks(floor, rough)
    marks = [_marks(length, spacing) for length in floor.lengths.tolist()]
    ridges = _ridges(floor, bed)
    alongs = [
        marks[wall] + kink.alongs[1:-1] + _turns(floor, bed, wall, kink) + ridges[floor.walls[wall]]
        for wall, kink in enumerate(kinks)
    ]
    beds = _bed_along(floor, bed, alongs)
    return tuple(
        _line(along, height, kink, len(mark))
        for along, height, kink, mark in zip(alongs, beds, kinks, marks, strict=True)
    )


def _marks(length: float, spacing: float) -> list[float]:
    steps = math.ceil((length - _SAME) / spacing)
    return [spacing * step for step in range(steps)] + [length]


def _line(alongs: list[float], bed: list[float], kinks: _Kinks, marks: int) -> WallLine:
    order = sorted(range(len(alongs)), key=alongs.__getitem__)
    alongs = [alongs[i] for i in order]
    return WallLine(alongs, [bed[i] for i in order], kinks.at(alongs), [i < marks for i in order])


def _bed_along(floor: FloorOutline, bed: Bed, alongs: list[list[float]]) -> list[list[float]]:
    if isinstance(bed, LevelWalls):
        return [[bed.wall_height] * len(along) for along in alongs]
    counts = [len(along) for along in alongs]
    walls = np.repeat(np.arange(len(counts)), counts)
    at = np.concatenate(alongs)
    heights = iter(bed.height(floor.corners[walls] + at[:, None] * floor.directions[walls]).tolist())
    return [list(islice(heights, count)) for count in counts]


def _kinks(floor: FloorOutline, rough: RoughFloor) -> list[_Kinks]:
    frame = rough.frame
    points, heights = frame.corners[frame.used], frame.heights[frame.used]
    off = points @ floor.inward.T - (floor.corners * floor.inward).sum(axis=1)
    along = points @ floor.directions.T - (floor.corners * floor.directions).sum(axis=1)
    on = (np.abs(off) < _ON_WALL) & (along > -_ON_WALL) & (along < floor.lengths + _ON_WALL)
    walls, rows = np.nonzero(on.T)
    at = along[rows, walls]
    order = np.lexsort([at, walls])
    found: list[list[tuple[float, float]]] = [[] for _ in floor.names]
    for wall, place, height in zip(
        walls[order].tolist(), at[order].tolist(), heights[rows[order]].tolist(), strict=True
    ):
        if not found[wall] or place - found[wall][-1][0] > _SAME:
            found[wall].append((place, height))
    return [_to_the_ends(floor, rough, wall, pairs) for wall, pairs in enumerate(found)]


def _to_the_ends(
    floor: FloorOutline, rough: RoughFloor, wall: int, found: list[tuple[float, float]]
) -> _Kinks:
    """The kinks with the wall's ends as first and last, whether or not a piece's corner was found there."""
    length = float(floor.lengths[wall])
    if len(found) < 2 or found[0][0] > _ON_WALL or found[-1][0] < length - _ON_WALL:
        first, last = rough.height(np.array([floor.corners[wall], floor.ends[wall]])).tolist()
        inner = [pair for pair in found if _ON_WALL < pair[0] < length - _ON_WALL]
        found = [(0.0, first), *inner, (length, last)]
    alongs, heights = [place for place, _ in found], [height for _, height in found]
    alongs[0], alongs[-1] = 0.0, length
    return _Kinks(alongs, heights)


def _turns(floor: FloorOutline, bed: Bed, wall: int, kinks: _Kinks) -> list[float]:
    """Places along a wall where the depth may be least or most, or the bed lowest, besides the kinks."""
    if isinstance(bed, LevelWalls):
        return []
    if isinstance(bed, PlaneBed):
        return _channel_crossings(floor, bed, wall)
    return _stationary(floor, bed, wall, kinks)


def _channel_crossings(floor: FloorOutline, bed: PlaneBed, wall: int) -> list[float]:
    """Where a wall crosses the lines of the channel's edges."""
    flange = bed.reach.flange
    away = float((floor.corners[wall] - flange.centre) @ flange.frame[1])
    slope = float(floor.directions[wall] @ flange.frame[1])
    length = float(floor.lengths[wall])
    if abs(slope) * length < _SAME:
        return []
    found = [(side - away) / slope for side in (-flange.half, flange.half)]
    return [place for place in found if 0 < place < length]


def way_sources(bed: EvenFall) -> Array:
    """The places (q, 2) that straight ways run to: round drains' centres, other drains' corners, bends."""
    reaches = bed.reach.reaches if isinstance(bed.reach, SharedReach) else (bed.reach,)
    places = [
        place
        for reach in reaches
        for place in (
            reach.flange.centre[None] if reach.flange.is_round else reach.flange.corners,
            *(node.place[None] for node in reach.nodes),
        )
    ]
    return np.vstack(places)


def _stationary(floor: FloorOutline, bed: EvenFall, wall: int, kinks: _Kinks) -> list[float]:
    """Where the bed, or the bed less the rough floor, is level along the wall.

    A straight way to a source at square distance p is sqrt(p2 + t2) long, t along the wall from its foot: it slopes
    as the floor's g does where t = p g / sqrt(s2 - g2), s the fall.
    """
    offset = way_sources(bed) - floor.corners[wall]
    feet, off = offset @ floor.directions[wall], np.abs(offset @ floor.inward[wall])
    places = np.array(kinks.alongs)
    slopes = np.diff(kinks.heights) / np.diff(places)
    gentle = np.abs(slopes) < bed.fall
    lean = slopes[gentle] / np.sqrt(bed.fall**2 - slopes[gentle] ** 2)
    at = feet + off * lean[:, None]
    inside = (at > places[:-1][gentle][:, None]) & (at < places[1:][gentle][:, None])
    lowest = feet[(feet > 0) & (feet < places[-1])]
    return [*at[inside].tolist(), *lowest.tolist()]


def _ridges(floor: FloorOutline, bed: Bed) -> dict[str, list[float]]:
    """For each wall the places along it where one way gives over to another, the bed's kinks among them."""
    found: dict[str, list[float]] = {name: [] for name in floor.walls}
    if isinstance(bed, EvenFall) and bed.reach.has_ridges:
        walls = sides(floor, bed.reach.edges, 0.0)
        for parts in best_parts(bed, walls, all_ways(bed, walls)):
            for part in parts:
                found.setdefault(walls[part.side].wall, []).extend((part.start, part.end))
    return found
