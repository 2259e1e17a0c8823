"""The floor's outline: lettered corners, walls with their inward normals, islands, and the polygon they bound."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely

from engine.errors import JobError
from engine.job.lettering import corner_name
from engine.job.model import EdgeKind, Job, Outline, Tape, Typed, Wall
from engine.quantities import Units
from engine.rings import following, preceding
from engine.survey.spot import Needs
from engine.survey.tape import Measured, Residual, adjusted

if TYPE_CHECKING:
    from collections.abc import Sequence

    from engine.types import Array

_LEAST_LENGTH = 1e-6  # [mm] shorter walls are two corners at one place
LENGTH_SURE = {Units.INCH: 25.4 / 16, Units.MM: 2.0}  # [mm] how sure a taped length is
_LEAST_AREA = 1.0  # [mm2]


@dataclass(frozen=True, eq=False)
class FloorOutline:
    """A floor's edge in its own coordinates.

    corners: (n, 2) [mm] in the order given, either way round; names: one a corner; kinds: what stands at the
    edge from corner i to corner i + 1; islands: (m, 2) arrays [mm]; misclosure: the gap [mm] that walked walls
    left before they were closed, or the worst misfit of a taped outline; residuals: how each of its lengths fits.
    """

    corners: Array
    names: tuple[str, ...]
    kinds: tuple[EdgeKind, ...]
    islands: tuple[Array, ...] = ()
    misclosure: float = 0.0
    residuals: tuple[Residual, ...] = ()

    @cached_property
    def polygon(self) -> Any:
        """The floor as a shapely polygon, islands out, prepared for many questions."""
        polygon = shapely.Polygon(self.corners, self.islands)
        shapely.prepare(polygon)
        return polygon

    @cached_property
    def area(self) -> float:
        """The floor's area, islands out [mm2]."""
        return float(shapely.area(self.polygon))

    @cached_property
    def perimeter(self) -> float:
        """The length of all walls together, islands not counted [mm]."""
        return float(self.lengths.sum())

    @cached_property
    def is_counter_clockwise(self) -> bool:
        """Whether the corners go round with the floor on their left."""
        return signed_area(self.corners) > 0

    @cached_property
    def ends(self) -> Array:
        """Where each wall ends: the next corner, (n, 2) [mm]."""
        return following(self.corners)

    @cached_property
    def lengths(self) -> Array:
        """The walls' lengths, (n,) [mm]."""
        return np.asarray(np.hypot(*(self.ends - self.corners).T))

    @cached_property
    def directions(self) -> Array:
        """Unit vectors along the walls, (n, 2)."""
        return (self.ends - self.corners) / self.lengths[:, None]

    @cached_property
    def inward(self) -> Array:
        """Unit vectors square to the walls, into the floor, (n, 2)."""
        left = np.column_stack([-self.directions[:, 1], self.directions[:, 0]])
        return np.asarray(left if self.is_counter_clockwise else -left)

    @cached_property
    def rings(self) -> tuple[Array, ...]:
        """The outline and the islands, each walked with the floor on the left."""
        outer = self.corners if self.is_counter_clockwise else self.corners[::-1]
        inner = tuple(ring if signed_area(ring) < 0 else ring[::-1] for ring in self.islands)
        return (outer, *inner)

    @cached_property
    def walls(self) -> tuple[str, ...]:
        """The walls' names in order: "A-B", "B-C" ... back to the first corner."""
        following = self.names[1:] + self.names[:1]
        return tuple(f"{a}-{b}" for a, b in zip(self.names, following, strict=True))

    def wall_name(self, index: int) -> str:
        """The name of the wall that starts at corner number `index`."""
        return self.walls[index % len(self.walls)]

    def length(self, index: int) -> float:
        """The length of the wall that starts at corner number `index` [mm]."""
        return float(self.lengths[index])


def signed_area(ring: Array) -> float:
    """The area of a ring of (n, 2) points, positive when it is walked counter-clockwise [mm2].

    Source: the trapezoid (shoelace) formula, taken about the ring's first point to keep digits.
    """
    x, y = (ring - ring[0]).T
    return float(0.5 * (x @ following(y) - y @ following(x)))


def corner_names(count: int) -> tuple[str, ...]:
    """The letters of so many corners: A, B ... Z, AA, AB ..."""
    return tuple(corner_name(i) for i in range(count))


def outline(job: Job) -> FloorOutline | Needs:
    """The floor that the job's outline entries describe.

    Raises JobError for an outline that cannot be: crossing walls, corners at one place, no area, an island that
    is not inside.
    """
    entry = job.outline
    if not entry.is_given:
        return Needs("outline", "what is the floor's outline?")
    unplanned = _not_planned(entry)
    if unplanned:
        return unplanned
    corners, misclosure, key = _corners(entry)
    names = corner_names(len(corners))
    residuals: tuple[Residual, ...] = ()
    if entry.tape:
        _refuse_ring(corners, names, key)
        corners, residuals = adjusted(corners, *_observed(entry, corners, names), LENGTH_SURE[job.units])
        misclosure = max(abs(residual.misfit) for residual in residuals)
    floor = FloorOutline(corners, names, _edge_kinds(entry, names), _islands(entry), misclosure, residuals)
    _refuse_impossible(floor, key)
    return floor


def _not_planned(entry: Outline) -> Needs | None:
    """What this version reads and keeps but cannot plan yet, said rather than passed over."""
    for i, wall in enumerate(entry.walls or ()):
        if wall.rise is not None and wall.rise.value:
            return Needs(
                f"outline.walls[{i}].rise",
                "curved walls are not planned yet: give it as short straight walls",
                not_yet=True,
            )
    return None


def _corners(entry: Outline) -> tuple[Array, float, str]:
    if entry.rectangle:
        a, b = (side.value for side in entry.rectangle)
        return np.array([[0.0, 0.0], [a, 0.0], [a, b], [0.0, b]]), 0.0, "outline.rectangle"
    if entry.walls:
        corners, misclosure = _walk(entry.walls)
        return corners, misclosure, "outline.walls"
    return _points(entry.corners or ()), 0.0, "outline.corners"


def _points(corners: Sequence[tuple[Typed, Typed]]) -> Array:
    return np.array([[x.value, y.value] for x, y in corners], dtype=float).reshape(-1, 2)


def _walk(walls: tuple[Wall, ...]) -> tuple[Array, float]:
    """Corners from walls walked from A along +x; a gap at the end is shared out by the compass rule.

    The rule moves each corner by the gap times the part of the way walked to it (Bowditch; as in surveying
    texts for traverses whose sides and turns are all measured).
    """
    turns = [90.0 if wall.turn is None else wall.turn.value for wall in walls]
    headings = np.radians(np.concatenate([[0.0], np.cumsum(turns[:-1])]))
    lengths = np.array([np.nan if wall.length is None else wall.length.value for wall in walls])
    missing = np.flatnonzero(np.isnan(lengths))
    if missing.size and missing[0] != len(walls) - 1:
        raise JobError(
            f"outline.walls[{missing[0]}].length",
            "",
            "only the last wall may leave its length out",
            "measure this wall too",
        )
    # Whole quarter turns are exact, so that a square room is square to the last digit.
    steps = lengths[:, None] * np.round(np.column_stack([np.cos(headings), np.sin(headings)]), 15)
    reached = np.cumsum(steps, axis=0)
    starts = np.vstack([[0.0, 0.0], reached[:-1]])
    if missing.size:
        return starts, 0.0
    gap = reached[-1]
    walked = np.concatenate([[0.0], np.cumsum(lengths)[:-1]]) / lengths.sum()
    return starts - walked[:, None] * gap, float(np.hypot(*gap))


def _observed(entry: Outline, corners: Array, names: tuple[str, ...]) -> tuple[list[Measured], Array]:
    """What is known of a taped outline: wall lengths and diagonals, and the turns [rad] stated at the corners."""
    count = len(corners)
    sides = following(corners) - corners
    lengths: list[float | None] = [float(side) for side in np.hypot(*sides.T)]
    headings = np.arctan2(sides[:, 1], sides[:, 0])
    turns = (headings - preceding(headings) + np.pi) % (2 * np.pi) - np.pi
    if entry.walls:
        lengths = [None if wall.length is None else wall.length.value for wall in entry.walls]
        turns = _stated_turns(entry.walls)
    measured = [
        Measured(f"{names[i]}-{names[(i + 1) % count]}", i, (i + 1) % count, length)
        for i, length in enumerate(lengths)
        if length is not None
    ]
    measured += [_taped(i, tape, names) for i, tape in enumerate(entry.tape)]
    return measured, turns


def _stated_turns(walls: tuple[Wall, ...]) -> Array:
    """The turn at each corner [rad]; a wall's turn is at its far end, the last one's only where it is stated."""
    turns = [90.0 if wall.turn is None else wall.turn.value for wall in walls]
    if walls[-1].turn is None:
        turns[-1] = math.nan
    return np.asarray(np.radians(preceding(np.array(turns))))


def _taped(index: int, tape: Tape, names: tuple[str, ...]) -> Measured:
    for end, corner in (("from", tape.start), ("to", tape.end)):
        if corner not in names:
            raise JobError(
                f"outline.tape[{index}].{end}",
                corner,
                "there is no such corner",
                f"name one of {', '.join(names)}",
            )
    name = f"{tape.start}-{tape.end}"
    return Measured(name, names.index(tape.start), names.index(tape.end), tape.length.value)


def _edge_kinds(entry: Outline, names: tuple[str, ...]) -> tuple[EdgeKind, ...]:
    following = names[1:] + names[:1]
    kinds = dict.fromkeys((f"{a}-{b}" for a, b in zip(names, following, strict=True)), EdgeKind.WALL)
    for wall, kind in entry.edges:
        if wall not in kinds:
            raise JobError(
                f'outline.edges."{wall}"',
                kind.value,
                "there is no such wall",
                f"name one of {', '.join(kinds)}",
            )
        kinds[wall] = kind
    return tuple(kinds.values())


def _islands(entry: Outline) -> tuple[Array, ...]:
    return tuple(_points(island.corners) for island in entry.islands)


def _refuse_impossible(floor: FloorOutline, key: str) -> None:
    _refuse_ring(floor.corners, floor.names, key)
    outer = shapely.polygons(floor.corners)
    for i, ring in enumerate(floor.islands):
        island_key = f"outline.islands[{i}].corners"
        _refuse_ring(ring, tuple(str(k + 1) for k in range(len(ring))), island_key)
        inside = shapely.polygons(ring)
        if not shapely.contains_properly(outer, inside):
            raise JobError(
                island_key,
                f"{len(ring)} corners",
                "the island is not wholly inside the floor",
                "move it inside, or draw what touches a wall as part of the outline",
            )
        if any(shapely.intersects(inside, shapely.polygons(other)) for other in floor.islands[:i]):
            raise JobError(
                island_key, f"{len(ring)} corners", "two islands touch or overlap", "draw them as one island"
            )


def _refuse_ring(ring: Array, names: tuple[str, ...], key: str) -> None:
    count = len(ring)
    if count < 3:
        raise JobError(key, f"{count} corners", "that bounds no floor", "give at least three corners")
    sides = np.hypot(*(following(ring) - ring).T)
    short = int(np.argmin(sides))
    if sides[short] < _LEAST_LENGTH:
        raise JobError(
            f"{key}[{short}]",
            f"corner {names[short]}",
            f"corners {names[short]} and {names[(short + 1) % count]} are at one place",
            "leave one of them out or correct it",
        )
    if not shapely.is_simple(shapely.linearrings(ring)):
        raise JobError(
            key, f"{count} corners", _crossing(ring, names), "check the corners' order and the turns"
        )
    if abs(signed_area(ring)) < _LEAST_AREA:
        raise JobError(key, f"{count} corners", "the outline has no area", "check the measurements")


def _crossing(ring: Array, names: tuple[str, ...]) -> str:
    """Which two walls cross or touch, in words."""
    sides = shapely.linestrings(np.stack([ring, following(ring)], axis=1))
    first, second = shapely.STRtree(sides).query(sides, predicate="intersects")
    count = len(ring)
    for a, b in sorted(zip(first.tolist(), second.tolist(), strict=True)):
        neighbours = (b - a) % count in (1, count - 1)
        if a < b and not (neighbours and shapely.length(shapely.intersection(sides[a], sides[b])) == 0):
            walls = [f"{names[i]}-{names[(i + 1) % count]}" for i in (a, b)]
            return f"walls {walls[0]} and {walls[1]} cross or touch"
    return "the outline crosses itself"
