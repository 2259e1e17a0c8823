"""Pull lines: how lines run from walls to flanges on each bed."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import NamedTuple, TypeAlias

import numpy as np

from ..bed.even_fall import EvenFall
from ..bed.flange import Flange
from ..bed.parted_walls import PartedWalls
from ..bed.planes import PlaneBed, Planes
from ..bed.surfaces import Bed
from ..bed.valley.bed import ValleyWalls
from ..records import record
from ..types import Array
from .pulls import Lines, Pull, Rays, Squares, pulls
from .seen import Side, Way, all_ways, best_parts, part_sides, sides

Part: TypeAlias = tuple[float, float, Lines]
Ruled: TypeAlias = Callable[[Side, float, float], Iterator[Part]]

_EDGE_ON = 1e-6  # [mm] or [-]: a wall seen so nearly edge-on has no lines


@record
class Bent:
    """The lines round one bend at x, y [mm]: each from a wall to the bend."""

    x: float
    y: float
    pulls: tuple[Pull, ...]


@record
class PullLines:
    """All lines from walls: straight to a flange, and those that bend, by bend."""

    straight: list[Pull]
    bent: list[Bent]


def pull_lines(bed: Bed, thickness: float) -> PullLines:
    """The lines along which the bed is straight, past strips `thickness` [mm] thick; none from open edges.

    Level walls: to the flange's centre; valleys: from each facet's wall to its point, the flange or a relay. One plane:
    square to the channel, past its ends too. Several drains: from ridges too. Even fall: the shortest way, to a round
    flange's centre, else square to the nearest side, or to a corner or bend.
    """
    if isinstance(bed, PartedWalls):
        return _parted(bed, thickness)
    walls = sides(bed.reach.floor, thickness)
    flange = bed.reach.flange
    if isinstance(bed, PlaneBed):
        return PullLines([pull for side in walls for pull in _to_channel(side, flange)], [])
    if isinstance(bed, Planes):
        sided = ((side, part) for part in bed.parts for side in part_sides(bed.reach.floor, part, thickness))
        return PullLines([pull for side, part in sided for pull in _to_channel(side, part.reach.flange)], [])
    if isinstance(bed, EvenFall):
        return _even_fall(bed, walls)
    if isinstance(bed, ValleyWalls):
        return _on_facets(bed, walls)
    return _level(walls, flange)


def _parted(bed: PartedWalls, thickness: float) -> PullLines:
    found = PullLines([], [])
    for part, own in zip(bed.parts, bed.beds, strict=True):
        walls = part_sides(bed.reach.floor, part, thickness)
        pulled = _on_facets(own, walls) if isinstance(own, ValleyWalls) else _level(walls, own.reach.flange)
        found.straight.extend(pulled.straight)
        found.bent.extend(pulled.bent)
    return found


def _level(walls: tuple[Side, ...], flange: Flange) -> PullLines:
    to_centre = _to_flange(flange)
    return PullLines([pull for side in walls for pull in _pulled(side, (0.0, side.length), to_centre)], [])


def _to_flange(flange: Flange) -> Ruled:
    return _to_rim(flange.centre, flange.half) if flange.is_round else _across(flange)


def _pulled(side: Side, stretch: tuple[float, float], ruled: Ruled) -> Iterator[Pull]:
    for start, end, lines in ruled(side, *stretch):
        yield from pulls(side.wall, start, end, lines, (side.before, side.stretch))


def _on_facets(bed: ValleyWalls, walls: tuple[Side, ...]) -> PullLines:
    straight: list[Pull] = []
    bent: dict[tuple[float, float], list[Pull]] = {}
    mesh, to_centre = bed.mesh, _to_flange(bed.reach.flange)
    for facet in np.flatnonzero(mesh.walls >= 0).tolist():
        point, *ends = mesh.corners[facet]
        side = walls[int(mesh.walls[facet])]
        start, end = sorted(side.from_wall(*place.tolist())[0] for place in ends)
        if mesh.at_drain[facet]:
            straight += _pulled(side, (start, end), to_centre)
            continue
        x, y = point.tolist()
        bent.setdefault((x, y), []).extend(_pulled(side, (start, end), _to_rim(point, 0.0)))
    return PullLines(straight, [Bent(*place, tuple(found)) for place, found in bent.items() if found])


def _even_fall(bed: EvenFall, walls: tuple[Side, ...]) -> PullLines:
    straight: list[Pull] = []
    bent: dict[tuple[float, float], list[Pull]] = {}
    ways = all_ways(bed, walls)
    for way, parts in zip(ways, best_parts(bed, walls, ways), strict=True):
        x, y = way.place.tolist()
        into = bent.setdefault((x, y), []) if way.flange is None else straight
        into += [pull for part in parts for pull in _pulled(walls[part.side], (part.start, part.end), _along(way))]
    return PullLines(straight, [Bent(*place, tuple(found)) for place, found in bent.items() if found])


def _along(way: Way) -> Ruled:
    flange = way.flange
    if flange is None:
        return _to_rim(way.place, 0.0)
    if way.square is not None:
        return _off_side(way.place, way.square, 2 * float(np.abs(flange.frame @ way.square) @ flange.halves))
    return _to_rim(way.place, flange.half) if flange.is_round else _across(flange, way.place)


def _to_rim(centre: Array, rim: float) -> Ruled:
    def ruled(side: Side, start: float, end: float) -> Iterator[Part]:
        view = _View.of(side, centre)
        if view:
            yield start, end, Rays(*view, rim=rim)

    return ruled


def _across(flange: Flange, corner: Array | None = None) -> Ruled:
    """Lines towards a square flange's or a channel's centre, over one side and out opposite.

    Those to a corner would run on across to a side opposite.
    """
    target = flange.centre if corner is None else corner

    def ruled(side: Side, start: float, end: float) -> Iterator[Part]:
        for part in _by_flange_side(_View.of(side, target), side, flange, (start, end)):
            before = part.half if corner is None else 0.0
            yield part.start, part.end, Rays(*part.view, 0.0, before, 2 * part.half - before, part.lean, part.slope)

    return ruled


class _View(NamedTuple):
    """A point from a wall: its foot along it, how far off it is [mm], the part of lines to it off the strip."""

    foot: float
    square: float
    reached: float

    @staticmethod
    def of(side: Side, target: Array) -> _View | None:
        """None where the wall is seen edge-on, or its strip reaches past the point."""
        foot, square = side.from_wall(*target.tolist())
        if square <= max(_EDGE_ON, side.thickness):
            return None
        return _View(foot, square, 1.0 - side.thickness / square)


class _Across(NamedTuple):
    """A stretch from which lines to a point cross one side of the flange.

    half: half the flange's extent square to it; lean, slope: how far off the point lines start that way, at its foot
    and for each mm along the wall [mm].
    """

    start: float
    end: float
    view: _View
    half: float
    lean: float
    slope: float


def _by_flange_side(view: _View | None, side: Side, flange: Flange, stretch: tuple[float, float]) -> Iterator[_Across]:
    """Parts of a stretch by the side that lines cross: the one they start farthest off, for its distance."""
    if view is None:
        return
    start, end = stretch
    halves, frame = flange.halves.tolist(), flange.frame.tolist()
    leans = [-view.square * (side.inward[0] * x + side.inward[1] * y) for x, y in frame]
    slopes = [side.along[0] * x + side.along[1] * y for x, y in frame]
    a, c = leans[0] / halves[0], leans[1] / halves[1]
    b, d = slopes[0] / halves[0], slopes[1] / halves[1]
    ties = [view.foot + (sign * c - a) / (b - sign * d) for sign in (1, -1) if b != sign * d]
    for low, high in pairwise(sorted([start, *(tie for tie in ties if start < tie < end), end])):
        middle = (low + high) / 2 - view.foot
        axis = 0 if abs(a + b * middle) > abs(c + d * middle) else 1
        sign = 1.0 if leans[axis] + slopes[axis] * middle > 0 else -1.0
        yield _Across(low, high, view, halves[axis], sign * leans[axis], sign * slopes[axis])


def _off_side(start: Array, square: Array, across: float) -> Ruled:
    (x, y), (ux, uy) = start.tolist(), square.tolist()

    def ruled(side: Side, low: float, high: float) -> Iterator[Part]:
        facing = -(ux * side.inward[0] + uy * side.inward[1])
        if facing > _EDGE_ON:
            first = (side.start[0] - x) * ux + (side.start[1] - y) * uy
            rate = side.along[0] * ux + side.along[1] * uy
            yield low, high, Squares(first - side.thickness / facing, rate, across)

    return ruled


def _to_channel(side: Side, flange: Flange) -> Iterator[Pull]:
    normal = flange.frame[1]
    for sign in (1.0, -1.0):
        edge = flange.centre + sign * flange.half * normal
        yield from _pulled(side, (0.0, side.length), _off_side(edge, sign * normal, flange.size))
