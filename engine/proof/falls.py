"""The fall along every line from a wall to the drain, on a bed as built."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import shapely

from ..bed.level_walls import LevelWalls, facing
from ..bed.parted_walls import PartedWalls
from ..bed.planes import PlaneBed, Planes
from ..bed.reach import SharedReach
from ..bed.surfaces import Bed
from ..boxes import along
from ..records import Same
from ..survey.spot import Spot
from ..types import Array, Index, Mask

if TYPE_CHECKING:
    from .surface import BuiltSurface

_STEP = 20.0  # [mm] how far apart lines start along the walls
_ON_WALL = 1.0  # [mm] a station this near is on it
LEAST_RUN = 10.0  # [mm] shorter lines say nothing about fall: a channel may lie along its wall


class Lines(NamedTuple):
    """Lines from places on the walls (k, 2) to the drain: runs, and how high each ends (k,) [mm]."""

    starts: Array
    runs: Array
    heads: Array

    def of(self, chosen: Index | Mask) -> Lines:
        """Some of the lines alone."""
        return Lines(*(column[chosen] for column in self))

    def falls(self, heights: Array) -> Array:
        """The falls (k,) [-] of lines that start at heights (k,) [mm]."""
        return (heights - self.heads) / self.runs


def lines_from(bed: Bed, starts: Array) -> Lines:
    """The lines from places (k, 2) on the walls: straight to the rim, or as water goes round corners.

    A plane's run square to its channel. Lines with hardly any run are left out.
    """
    return _long(Lines(starts, *runs_to_drain(bed, starts)))


def _long(lines: Lines) -> Lines:
    return lines.of(lines.runs > LEAST_RUN)


def runs_to_drain(bed: Bed, starts: Array) -> tuple[Array, Array]:
    """The runs from places (k, 2) on the walls to the drain, and how high each ends, (k,) [mm]."""
    level = np.zeros(len(starts))
    if isinstance(bed, LevelWalls):
        return bed.reach.flange.runs(starts), level
    if isinstance(bed, PartedWalls):
        return _parted_runs(bed, starts)
    if isinstance(bed, PlaneBed):
        return bed.height(starts) / bed.fall, level
    if isinstance(bed, Planes):
        longer = np.array(bed.reach.heads)[bed.owners(starts)]
        return bed.each(starts).min(axis=0) - longer, bed.fall * longer
    if isinstance(bed.reach, SharedReach):
        runs, heads = bed.reach.runs(starts)
        return runs, bed.fall * heads
    return bed.reach.way(starts), level


def _parted_runs(bed: PartedWalls, starts: Array) -> tuple[Array, Array]:
    owners, runs = bed.owners(starts), np.empty(len(starts))
    for number, own in enumerate(bed.beds):
        runs[owners == number] = runs_to_drain(own, starts[owners == number])[0]
    return runs, np.array(bed.heads)[owners]


def all_lines(bed: Bed, stations: Array, *, square: bool) -> Lines:
    """A line from every few [mm] of wall, and from every corner and station (k, 2) on a wall.

    square: fall is measured square to walls: one line a wall, from where the drain faces it, but where valleys lead.
    """
    return _all_lines(Same(bed), np.ascontiguousarray(stations).tobytes(), square)


@lru_cache(maxsize=4)
def _all_lines(asked: Same[Bed], read: bytes, square: bool) -> Lines:  # noqa: FBT001 - the memo is keyed by position
    bed, stations = asked.it, np.frombuffer(read).reshape(-1, 2)
    beds = _beds(bed)
    bent = [number for number, (own, _) in enumerate(beds) if not isinstance(own, LevelWalls)]
    facing = [square_lines(bed)] if square else []
    if facing and not bent:
        return facing[0]
    edges = bed.reach.edges
    places = [edges.starts, stations[on_border(bed, stations, _ON_WALL)]]
    places += [along(start, end, _STEP)[1:-1] for start, end in zip(edges.starts, edges.ends, strict=True)]
    starts = np.vstack(places)
    if facing and isinstance(bed, PartedWalls):
        starts = starts[np.isin(bed.owners(starts), bent)]
    return _joined([lines_from(bed, starts), *facing])


def square_lines(bed: Bed) -> Lines:
    """The lines of level walls square from walls and ridges to the drain facing them; none where valleys lead.

    From where the drain's centre faces the wall to the flange's edge, as the plan's.
    """
    return _joined([_facing(own, head) for own, head in _beds(bed) if isinstance(own, LevelWalls)])


def _beds(bed: Bed) -> tuple[tuple[Bed, float], ...]:
    return tuple(zip(bed.beds, bed.heads, strict=True)) if isinstance(bed, PartedWalls) else ((bed, 0.0),)


def _facing(bed: LevelWalls, head: float) -> Lines:
    runs = bed.reach.offs - bed.reach.flange.rim(-bed.reach.edges.inward)
    return _long(Lines(facing(bed.reach), runs, np.full(len(runs), head)))


def _joined(parts: list[Lines]) -> Lines:
    none = Lines(np.empty((0, 2)), np.empty(0), np.empty(0))
    return Lines(*(np.concatenate(columns) for columns in zip(none, *parts, strict=True)))


def on_border(bed: Bed, points: Array, near: float) -> Mask:
    """Whether points (k, 2) are within `near` [mm] of any wall or island (k,)."""
    border = shapely.boundary(bed.reach.floor.polygon)
    return np.asarray(shapely.dwithin(border, shapely.points(points), near))


def extreme_falls(surface: BuiltSurface, lines: Lines) -> tuple[Spot, Spot]:
    """The least and the most fall [-] with their places."""
    falls = lines.falls(surface.height_again(lines.starts))
    calm = np.round(falls, 9)
    least, most = int(calm.argmin()), int(calm.argmax())
    return Spot.at(falls[least], lines.starts[least]), Spot.at(falls[most], lines.starts[most])
