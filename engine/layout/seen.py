"""Which stretches of walls a point or a flange's side sees, and from which a way is shortest."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from ..bed.even_fall import EvenFall
from ..bed.flange import Flange
from ..bed.parts import Part
from ..bed.reach import Reach, taut
from ..bed.sight import Beam, Edges, Fan
from ..job.model import EdgeKind
from ..phrases import phrase
from ..records import record
from ..survey.border import Border
from ..survey.outline import FloorOutline
from ..types import Array, Index, Mask

_TURN = 2 * np.pi
RIDGE = phrase("the ridge")  # in place of a wall's name
_SAME = 1e-6  # [mm] between stretches that meet
_TIE = 1e-6  # [mm] ways that differ less are equal
_SAMPLES = np.linspace(0.0, 1.0, 33)
_QUARTER = np.pi / 2
_HALVINGS = 24  # of a step between samples: 4 microns of 2 m


class Stretch(NamedTuple):
    """A stretch of a side: the side's number, and from where to where [mm]."""

    side: int
    start: float
    end: float


@record
class Side:
    """An edge of the floor as a wall: its name, and the strip's thickness there, 0 for none; all [mm] or unit vectors.

    start: its first corner; along, inward: its direction and normal. A curved wall's chord starts `before` along it,
    and is `stretch` times as long there.
    """

    wall: str
    thickness: float
    start: tuple[float, float]
    along: tuple[float, float]
    inward: tuple[float, float]
    length: float
    before: float = 0.0
    stretch: float = 1.0

    def on_wall(self, along: float) -> float:
        """How far along its wall a place `along` the side is [mm]."""
        return self.before + along * self.stretch

    def from_wall(self, x: float, y: float) -> tuple[float, float]:
        """A point as its distance along the wall from its first corner and off it [mm]."""
        dx, dy = x - self.start[0], y - self.start[1]
        return dx * self.along[0] + dy * self.along[1], dx * self.inward[0] + dy * self.inward[1]


def sides(floor: FloorOutline, thickness: float) -> tuple[Side, ...]:
    """The floor's edges as walls and islands' sides, in the reach's order (e,)."""
    return tuple(_side(border, side, thickness) for border in floor.borders for side in border.edge_sides.tolist())


def part_sides(floor: FloorOutline, part: Part, thickness: float) -> tuple[Side, ...]:
    """The edges of a drain's part as pieces of walls and islands; ridges have no strip."""
    edges = part.reach.edges
    middles = (edges.starts + edges.ends) / 2
    on = [border.sides.at(middles).tolist() for border in floor.borders]
    found = []
    for edge in range(len(edges.starts)):
        lies = ((border, at[edge]) for border, at in zip(floor.borders, on, strict=True) if at[edge] >= 0)
        border, side = next(lies, (None, -1))
        ends = np.array([edges.starts[edge], edges.ends[edge]])
        found.append(_ridge(ends, edges.inward[edge]) if border is None else _piece(border, side, ends, thickness))
    return tuple(found)


def _side(border: Border, side: int, thickness: float) -> Side:
    own = border.sides
    wall = int(own.walls[side])
    return Side(
        border.walls[wall],
        0.0 if border.kinds[wall] is EdgeKind.OPEN else thickness,
        tuple(own.starts[side].tolist()),
        tuple(own.directions[side].tolist()),
        tuple(own.inward[side].tolist()),
        float(own.lengths[side]),
        float(own.before[side]),
        float(own.stretch[side]),
    )


def _piece(border: Border, side: int, ends: Array, thickness: float) -> Side:
    own = border.sides
    along = own.directions[side]
    places = ((ends - own.starts[side]) @ along).tolist()
    start = min(places)
    return replace(
        _side(border, side, thickness),
        start=tuple((own.starts[side] + start * along).tolist()),
        length=max(places) - start,
        before=float(own.before[side] + start * own.stretch[side]),
    )


def _ridge(ends: Array, inward: Array) -> Side:
    (x, y), (end_x, end_y) = ends.tolist()
    nx, ny = inward.tolist()
    along = (ny, -nx)
    length = (end_x - x) * along[0] + (end_y - y) * along[1]
    return Side(RIDGE, 0.0, (x, y), along, (nx, ny), length)


def whole(walls: tuple[Side, ...]) -> list[Stretch]:
    """All of every side."""
    return [Stretch(number, 0.0, side.length) for number, side in enumerate(walls)]


def _seen_round(fan: Fan, walls: tuple[Side, ...]) -> list[Stretch]:
    keys = np.append(fan.keys, fan.keys[0] + _TURN)
    return _by_angle(fan, walls, keys, fan.met)


def _seen_between(fan: Fan, walls: tuple[Side, ...], start: float, width: float) -> list[Stretch]:
    """What a point sees from direction `start` over `width` [rad]."""
    keys, met = fan.between(start, width)
    return _by_angle(fan, walls, keys + start, met)


def _seen_off(beam: Beam, walls: tuple[Side, ...]) -> list[Stretch]:
    origins = beam.start + beam.keys[:, None] * beam.along
    rays = np.broadcast_to(beam.square, origins.shape)
    return _stretches(beam.edges, walls, origins, rays, beam.met)


def _by_angle(fan: Fan, walls: tuple[Side, ...], keys: Array, met: Index) -> list[Stretch]:
    rays = np.column_stack([np.cos(keys), np.sin(keys)])
    return _stretches(fan.edges, walls, np.broadcast_to(fan.source, rays.shape), rays, met)


def _stretches(edges: Edges, walls: tuple[Side, ...], origins: Array, rays: Array, met: Index) -> list[Stretch]:
    """The stretch of edge met[i] between rays i and i + 1; -1 for none. Neighbouring ones are joined."""
    gaps = np.flatnonzero(met >= 0)
    places = [edges.hits(met[gaps], origins[gaps + k], rays[gaps + k]).tolist() for k in (0, 1)]
    found: list[Stretch] = []
    for number, *points in zip(met[gaps].tolist(), *places, strict=True):
        side = walls[number]
        ends = sorted(min(max(side.from_wall(*point)[0], 0.0), side.length) for point in points)
        if ends[1] - ends[0] > _SAME:
            found.append(Stretch(number, *ends))
    return joined(found)


def joined(found: list[Stretch]) -> list[Stretch]:
    """Stretches by side and along it, those that meet joined."""
    result: list[Stretch] = []
    for stretch in sorted(found):
        last = result[-1] if result else None
        if last and last.side == stretch.side and stretch.start <= last.end + _SAME:
            result[-1] = Stretch(last.side, last.start, max(last.end, stretch.end))
        else:
            result.append(stretch)
    return result


class Way(NamedTuple):
    """A way from a stretch of wall: straight to a place, or square to an edge there (outward), and on.

    rest: how long it counts from there [mm]; flange: whose edge, corner or disc that is, None for a bend.
    """

    stretch: Stretch
    place: Array
    square: Array | None
    rest: float
    flange: Flange | None


def all_ways(bed: EvenFall, walls: tuple[Side, ...]) -> list[Way]:
    """The ways from all in sight of a drain, and round each corner."""
    reaches = zip(bed.reach.reaches, bed.reach.heads, strict=True)
    return [way for reach, head in reaches for way in (*_straight(reach, walls, head), *_bent(reach, walls, head))]


def _straight(reach: Reach, walls: tuple[Side, ...], head: float) -> Iterator[Way]:
    flange = reach.flange
    if flange.is_round:
        for stretch in whole(walls) if reach.is_open else _seen_round(reach.fan, walls):
            yield Way(stretch, flange.centre, None, head - flange.half, flange)
        return
    for beam in reach.beams:
        for stretch in _seen_off(beam, walls):
            yield Way(stretch, beam.start, beam.square, head, flange)
    heading = float(np.arctan2(*flange.axis[::-1])) + np.pi
    for k, fan in enumerate(reach.corner_fans):
        for stretch in _seen_between(fan, walls, heading + k * _QUARTER, _QUARTER):
            yield Way(stretch, flange.corners[k], None, head, flange)


def _bent(reach: Reach, walls: tuple[Side, ...], head: float) -> Iterator[Way]:
    for node in reach.nodes:
        for stretch in _seen_between(node.fan, walls, *taut(node)):
            yield Way(stretch, node.place, None, node.way + head, None)


def best_parts(bed: EvenFall, walls: Sequence[Side], ways: Sequence[Way]) -> list[list[Stretch]]:
    """For each way the parts of its stretch on which none is shorter.

    Round islands and between drains stretches are sampled, changes halved; parts between samples are missed.
    """
    if not (bed.reach.has_ridges and ways):
        return [[way.stretch] for way in ways]
    compared = _Compared(bed, walls, ways)
    first, last = compared.spans
    rows = np.repeat(np.arange(len(ways)), len(_SAMPLES))
    at = (first[:, None] + _SAMPLES * (last - first)[:, None]).ravel()
    best = compared.is_best(rows, at).reshape(len(ways), -1)
    changed, step = np.nonzero(best[:, 1:] != best[:, :-1])
    at = at.reshape(len(ways), -1)
    low, high, before = at[changed, step], at[changed, step + 1], best[changed, step]
    for _ in range(_HALVINGS if len(changed) else 0):
        middle = (low + high) / 2
        same = compared.is_best(changed, middle) == before
        low, high = np.where(same, middle, low), np.where(same, high, middle)
    found = []
    for row, (side, start, end) in enumerate(way.stretch for way in ways):
        parts = list(pairwise([start, *low[changed == row].tolist(), end]))
        found.append([Stretch(side, *part) for part in parts[0 if best[row, 0] else 1 :: 2]])
    return found


class _Compared:
    def __init__(self, bed: EvenFall, walls: Sequence[Side], ways: Sequence[Way]) -> None:
        sides = [walls[way.stretch.side] for way in ways]
        self.bed = bed
        self.starts = np.array([side.start for side in sides])
        self.alongs = np.array([side.along for side in sides])
        self.places = np.array([way.place for way in ways])
        self.squares = np.array([np.zeros(2) if way.square is None else way.square for way in ways])
        self.is_square = np.array([way.square is not None for way in ways])
        self.rests = np.array([way.rest for way in ways])
        self.spans = np.array([[way.stretch.start, way.stretch.end] for way in ways]).T

    def is_best(self, rows: Index, at: Array) -> Mask:
        points = self.starts[rows] + at[:, None] * self.alongs[rows]
        offset = points - self.places[rows]
        to_edge = (offset * self.squares[rows]).sum(axis=1)
        own = np.where(self.is_square[rows], to_edge, np.hypot(*offset.T)) + self.rests[rows]
        return np.asarray(own <= self.bed.reach.way(points) + _TIE)
