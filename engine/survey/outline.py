"""The floor's outline."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property, lru_cache
from typing import Any

import numpy as np
import shapely

from ..arrays import cross, following, preceding, signed_area, turns_between
from ..errors import JobError
from ..job.lettering import corner_name
from ..job.model import EdgeKind, Job, Outline, Tape, Typed, Wall
from ..phrases import joined, phrase
from ..quantities import Units
from ..records import result
from ..types import Array
from .border import Border, IslandBorder
from .spot import Needs
from .tape import Fix, Measured, Residual, adjusted, best_diagonal

LENGTH_SURE = Units.pair(25.4 / 16, 2.0)  # [mm] how sure a taped length is
STRAIGHT = 1e-9  # a smaller turn is no corner for a path
_FEWEST_CORNERS = 3
_LEAST_LENGTH = 1e-6  # [mm] shorter walls are two corners at one place
_LEAST_AREA = 1.0  # [mm2]
_MOST_CHORDS = 400  # of all curved walls: a round room 4 m across takes 320


@result
class FloorOutline(Border):
    """A floor's edge in its own coordinates; corners, names, kinds and rises as in `Border`.

    islands: (m, 2) arrays [mm]; misclosure: walked walls' gap [mm] before closing, or a taped outline's worst misfit;
    residuals: how each of its lengths fits.
    """

    corners: Array
    names: tuple[str, ...]
    kinds: tuple[EdgeKind, ...]
    islands: tuple[Array, ...] = ()
    misclosure: float = 0.0
    residuals: tuple[Residual, ...] = ()
    rises: tuple[float, ...] = ()

    @cached_property
    def polygon(self) -> Any:
        """The floor as a shapely polygon, islands out, prepared for many questions."""
        holes = [shapely.linearrings(island) for island in self.islands]
        polygon = shapely.polygons(self.ring, holes=holes or None)
        shapely.prepare(polygon)
        return polygon

    @cached_property
    def area(self) -> float:
        """The floor's area, islands out [mm2]."""
        return float(shapely.area(self.polygon))

    @cached_property
    def perimeter(self) -> float:
        """The length of all walls, without islands' [mm]."""
        return float(self.lengths.sum())

    @cached_property
    def rings(self) -> tuple[Array, ...]:
        """The outline and the islands, each with the floor on the left."""
        outer = self.ring if self.is_counter_clockwise else self.ring[::-1]
        inner = tuple(ring if signed_area(ring) < 0 else ring[::-1] for ring in self.islands)
        return (outer, *inner)

    @cached_property
    def turns(self) -> Array:
        """The sine of the turn at each corner of the rings; negative where it points into the floor."""
        into = [ring - preceding(ring) for ring in self.rings]
        u, v = np.concatenate(into), np.concatenate([following(way) for way in into])
        return np.asarray(cross(u, v) / (np.hypot(*u.T) * np.hypot(*v.T)))

    @cached_property
    def is_convex(self) -> bool:
        """Whether no corner points into the floor: nothing stands between two of its points."""
        return not (self.turns < -STRAIGHT).any()

    @cached_property
    def borders(self) -> tuple[Border, ...]:
        """All that the bed ends at: the outline, then the islands."""
        found: list[Border] = [self]
        edges = len(self.ring)
        for number, ring in enumerate(self.islands, start=1):
            found.append(IslandBorder(ring, phrase("island {number}", number=number), edges))
            edges += len(ring)
        return tuple(found)

    def border_of(self, wall: str) -> tuple[Border, int]:
        """The ring that a wall or island's side of that name is in, and its number there."""
        border = next(border for border in self.borders if wall in border.walls)
        return border, border.walls.index(wall)


def corner_names(count: int) -> tuple[str, ...]:
    """The letters of so many corners: A, B ... Z, AA, AB ..."""
    return tuple(corner_name(i) for i in range(count))


def outline(job: Job) -> FloorOutline | Needs:
    """The floor that the job's outline entries describe.

    Raises JobError for one that cannot be: crossing walls, corners at one place, no area, an island not inside.
    """
    if not job.outline.is_given:
        return Needs("outline", phrase("what is the floor's outline?"))
    begun = _begun(job.outline)
    return _drawn(job.outline, job.units) if begun is None else begun


def _begun(entry: Outline) -> Needs | None:
    if entry.rectangle or len(entry.walls or entry.corners or ()) >= _FEWEST_CORNERS:
        return None
    if entry.walls:
        return Needs("outline.walls", phrase("how does the outline go on? A floor has at least three walls"))
    return Needs("outline.corners", phrase("where are the other corners? A floor has at least three"))


@lru_cache(maxsize=8)
def _drawn(entry: Outline, units: Units) -> FloorOutline:
    """The same floor for the same entry, so that what is known of it is found again.

    Equal entries give equal bytes: of a minus zero, the one number that equals another, no trace is left.
    """
    corners, misclosure, key = _corners(entry)
    names = corner_names(len(corners))
    residuals: tuple[Residual, ...] = ()
    if entry.tape:
        refuse_ring(corners, names, key)
        corners, residuals = adjusted(corners, *observed(entry, corners, names), LENGTH_SURE[units])
        misclosure = max(abs(residual.misfit) for residual in residuals)
    islands = tuple(_points(island.corners) for island in entry.islands)
    floor = FloorOutline(corners, names, _edge_kinds(entry, names), islands, misclosure, residuals, _rises(entry))
    refuse_impossible(floor, key)
    return floor


def _corners(entry: Outline) -> tuple[Array, float, str]:
    if entry.rectangle:
        a, b = (side.value for side in entry.rectangle)
        return np.array([[0.0, 0.0], [a, 0.0], [a, b], [0.0, b]]), 0.0, "outline.rectangle"
    if entry.walls:
        corners, misclosure = _walk(entry.walls, shares=not entry.tape)
        return corners, misclosure, "outline.walls"
    return _points(entry.corners or ()), 0.0, "outline.corners"


def _points(corners: Sequence[tuple[Typed, Typed]]) -> Array:
    return np.array([[x.value, y.value] for x, y in corners], dtype=float).reshape(-1, 2) + 0.0  # no minus zero


def _walk(walls: tuple[Wall, ...], *, shares: bool = True) -> tuple[Array, float]:
    """Corners from walls walked from A along +x; a gap at the end may be shared out by the compass rule.

    Each corner moves by the gap times the part of the way walked to it (Bowditch; as in surveying texts).
    """
    headings = np.radians(np.cumsum([0.0, *_turns(walls)[:-1]]))
    lengths = np.array([np.nan if wall.length is None else wall.length.value for wall in walls])
    missing = np.flatnonzero(np.isnan(lengths))
    if missing.size and missing[0] != len(walls) - 1:
        raise JobError(
            f"outline.walls[{missing[0]}].length",
            "",
            phrase("only the last wall may leave its length out"),
            phrase("measure this wall too"),
        )
    # Exact quarter turns make a square room square to the last digit.
    steps = lengths[:, None] * np.round(np.column_stack([np.cos(headings), np.sin(headings)]), 15)
    reached = np.cumsum(steps, axis=0)
    starts = np.vstack([[0.0, 0.0], reached[:-1]])
    if missing.size or not shares:
        return starts, 0.0
    gap = reached[-1]
    walked = np.cumsum([0.0, *lengths[:-1]]) / lengths.sum()
    return starts - walked[:, None] * gap, float(np.hypot(*gap))


def _turns(walls: tuple[Wall, ...]) -> list[float]:
    return [90.0 if wall.turn is None else wall.turn.value for wall in walls]


def turned(entry: Outline) -> tuple[float, float] | None:
    """All turns of walked walls together, and once round [deg]; None where the last is unstated."""
    walls = entry.walls
    if not walls or walls[-1].turn is None:
        return None
    total = sum(_turns(walls))
    return total, math.copysign(360.0, total)


def next_diagonal(job: Job, floor: FloorOutline) -> Fix | None:
    """The diagonal whose taping would best fix the floor's shape; None for none."""
    known = observed(job.outline, floor.corners, floor.names)
    return best_diagonal(floor.polygon, floor.corners, *known, LENGTH_SURE[job.units])


def by_others(entry: Outline, floor: FloorOutline, number: int, units: Units) -> float:
    """What a taped outline's other measurements make the length of that number [mm]."""
    corners = _corners(entry)[0]
    lengths, turns = observed(entry, corners, floor.names)
    one = lengths.pop(number)
    moved, _ = adjusted(corners, lengths, turns, LENGTH_SURE[units])
    return float(np.hypot(*(moved[one.end] - moved[one.start])))


def observed(entry: Outline, corners: Array, names: tuple[str, ...]) -> tuple[list[Measured], Array]:
    """What is known of a taped outline: wall lengths and diagonals, and the turns [rad] stated at corners."""
    count = len(corners)
    sides = following(corners) - corners
    lengths: list[float | None] = np.hypot(*sides.T).tolist()
    turns = turns_between(preceding(sides), sides)
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
    turns = _turns(walls)
    if walls[-1].turn is None:
        turns[-1] = math.nan
    return np.asarray(np.radians(preceding(np.array(turns))))


def _taped(index: int, tape: Tape, names: tuple[str, ...]) -> Measured:
    key = f"outline.tape[{index}]"
    start, end = corner_number(tape.start, names, f"{key}.from"), corner_number(tape.end, names, f"{key}.to")
    return Measured(f"{tape.start}-{tape.end}", start, end, tape.length.value)


def corner_number(name: str, names: tuple[str, ...], key: str) -> int:
    """The number of the corner of that name; raises JobError at `key` without one."""
    return _number(name, names, key, name, phrase("there is no such corner"))


def wall_number(name: str, walls: tuple[str, ...], key: str, value: str) -> int:
    """The number of the wall of that name; raises JobError at `key`, with `value`, without one."""
    return _number(name, walls, key, value, phrase("there is no such wall"))


def _number(name: str, names: tuple[str, ...], key: str, value: str, fault: str) -> int:
    if name not in names:
        raise JobError(key, value, fault, phrase("name one of {names}", names=joined(", ", names)))
    return names.index(name)


def _edge_kinds(entry: Outline, names: tuple[str, ...]) -> tuple[EdgeKind, ...]:
    walls = tuple(f"{a}-{b}" for a, b in zip(names, names[1:] + names[:1], strict=True))
    kinds = [EdgeKind.WALL] * len(walls)
    for wall, kind in entry.edges:
        kinds[wall_number(wall, walls, f'outline.edges."{wall}"', kind.value)] = kind
    return tuple(kinds)


def _rises(entry: Outline) -> tuple[float, ...]:
    rises = tuple(wall.rise.value if wall.rise else 0.0 for wall in entry.walls or ())
    return rises if any(rises) else ()


def refuse_impossible(floor: FloorOutline, key: str) -> None:
    """Raises JobError for a floor whose walls cross or bound no area, or whose islands do not lie inside."""
    refuse_ring(floor.corners, floor.names, key)
    if floor.is_curved:
        _refuse_curves(floor, key)
    outer = shapely.polygons(floor.ring) if floor.islands else None
    for i, ring in enumerate(floor.islands):
        island_key = f"outline.islands[{i}].corners"
        refuse_ring(ring, tuple(str(k + 1) for k in range(len(ring))), island_key)
        inside = shapely.polygons(ring)
        if not shapely.contains_properly(outer, inside):
            raise JobError(
                island_key,
                f"{len(ring)} corners",
                phrase("the island is not wholly inside the floor"),
                phrase("move it inside, or draw what touches a wall as part of the outline"),
            )
        if any(shapely.intersects(inside, shapely.polygons(other)) for other in floor.islands[:i]):
            remedy = phrase("draw them as one island")
            raise JobError(island_key, f"{len(ring)} corners", phrase("two islands touch or overlap"), remedy)


def refuse_ring(ring: Array, names: Sequence[str], key: str) -> None:
    """Raises JobError at `key` for an impossible ring of straight walls (n, 2) [mm], its corners so named."""
    count = len(ring)
    if count < 3:
        raise JobError(key, f"{count} corners", phrase("that bounds no floor"), phrase("give at least three corners"))
    sides = np.hypot(*(following(ring) - ring).T)
    short = int(np.argmin(sides))
    if sides[short] < _LEAST_LENGTH:
        first, second = names[short], names[(short + 1) % count]
        fault = phrase("corners {first} and {second} are at one place", first=first, second=second)
        raise JobError(f"{key}[{short}]", f"corner {first}", fault, phrase("leave one of them out or correct it"))
    if not shapely.is_simple(shapely.linearrings(ring)):
        walls = [f"{names[i]}-{names[(i + 1) % count]}" for i in range(count)]
        remedy = phrase("check the corners' order and the turns")
        raise JobError(key, f"{count} corners", _crossing(ring, walls), remedy)
    if abs(signed_area(ring)) < _LEAST_AREA:
        raise JobError(key, f"{count} corners", phrase("the outline has no area"), phrase("check the measurements"))


def _refuse_curves(floor: FloorOutline, key: str) -> None:
    told = ", ".join(floor.walls[i] for i, arc in enumerate(floor.arcs) if arc) + " curved"
    remedy = phrase("check how far they bow out")
    chords = sum(arc.count for arc in floor.arcs if arc)
    if chords > _MOST_CHORDS:
        raise JobError(
            key,
            told,
            phrase("{number} chords that keep within 0.1 mm of the curves are too many to plan", number=chords),
            phrase("check how far they bow out; so many chords as {most} can be planned", most=_MOST_CHORDS),
        )
    if not shapely.is_simple(shapely.linearrings(floor.ring)):
        walls = [floor.walls[wall] for wall in floor.sides.walls.tolist()]
        raise JobError(key, told, _crossing(floor.ring, walls), remedy)
    area = signed_area(floor.ring)
    if abs(area) < _LEAST_AREA or (area > 0) != floor.is_counter_clockwise:
        raise JobError(key, told, phrase("the outline has no area"), remedy)


def _crossing(ring: Array, walls: Sequence[str]) -> str:
    """Which two walls cross or touch, in words; walls: each side's wall."""
    sides = shapely.linestrings(np.stack([ring, following(ring)], axis=1))
    first, second = shapely.STRtree(sides).query(sides, predicate="intersects")
    count = len(ring)
    for a, b in sorted(zip(first.tolist(), second.tolist(), strict=True)):
        neighbours = (b - a) % count in (1, count - 1)
        if a < b and not (neighbours and shapely.length(shapely.intersection(sides[a], sides[b])) == 0):
            return (
                phrase("walls {first} and {second} cross or touch", first=walls[a], second=walls[b])
                if walls[a] != walls[b]
                else phrase("wall {wall} crosses itself", wall=walls[a])
            )
    return phrase("the outline crosses itself")
