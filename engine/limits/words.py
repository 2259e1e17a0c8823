"""Figures and places as the findings say them: in the job's units, rounded toward the safe side."""

import math
from collections.abc import Callable
from itertools import combinations

from ..phrases import phrase
from ..quantities import (
    FOOT,
    INCH,
    Units,
    format_area,
    format_fall,
    format_length,
    format_quantity,
    in_steps,
    round_down,
    round_up,
)
from ..records import record
from ..survey.border import Border, corner_words
from ..survey.outline import FloorOutline
from .rulebook import Figure, Limit, Origin

_AT = 1.0  # [mm] nearer than this is at the corner or on the wall
_LEAST_SINE = 0.3  # two walls closer to parallel than this tell a place badly
_FINE = Units.pair(INCH / 32, 0.1)
_WORKED = Units.pair(INCH / 16, 1.0)
_PACED = Units.pair(INCH / 8, 1.0)
_FALL_STEPS = Units.pair((1 / 192, 1 / 12_000), (1e-4,))  # 1/16 in/ft, 0.001 in/ft; 0.01 %


# What is too small is rounded down and what is too large up, so that it still reads as too small or too large.
length_under = in_steps(format_length, round_down, INCH / 32, 0.1)  # [mm]
length_over = in_steps(format_length, round_up, INCH / 32, 0.1)
worked = in_steps(format_length, round_up, INCH / 16, 1.0)  # to work by
area_under = in_steps(format_area, round_down, FOOT**2 / 100, 1e4)  # [mm2]
area_more = in_steps(format_area, round_up, FOOT**2 / 100, 1e4)


def fine(units: Units) -> float:
    """The finest step [mm] that lengths are told in: 1/32 in or 0.1 mm."""
    return _FINE[units]


def enough(mm: float, units: Units) -> float:
    """A length [mm] to work by: the next whole 1/16 in or 1 mm up."""
    return round_up(mm, _WORKED[units])


def nearly(mm: float, units: Units) -> str:
    """A length [mm] to the nearest 1/16 in or 1 mm."""
    return format_length(mm, units, _WORKED[units])


def paced(mm: float, units: Units) -> str:
    """A distance [mm] to a place, to the nearest 1/8 in or 1 mm."""
    return format_length(mm, units, _PACED[units])


def higher(mm: float, units: Units) -> str:
    """How much one height is over another, or below it where that is negative [mm]."""
    return phrase("{off} higher" if mm > 0 else "{off} lower", off=format_length(abs(mm), units))


def higher_than(mm: float, units: Units) -> str:
    """The same, to the nearest 1/16 in or 1 mm, before what it is over."""
    return phrase("{off} higher than" if mm > 0 else "{off} lower than", off=nearly(abs(mm), units))


def drain_words(i: int, count: int) -> str:
    """A drain by its number from 0 among so many."""
    return phrase("the drain" if count == 1 else "drain {number}", number=i + 1)


def fall_under(ratio: float, units: Units) -> str:
    """A fall [-] that is too low, rounded down as little as what falls are told in allows."""
    return format_fall(max(round_down(ratio, step) for step in _FALL_STEPS[units]), units)


def fall_over(ratio: float, units: Units) -> str:
    """A fall [-] that is too steep, rounded up as little as what falls are told in allows."""
    return format_fall(told_over(ratio, units), units)


def told_over(ratio: float, units: Units) -> float:
    """That fall as it is told [-]."""
    return min(round_up(ratio, step) for step in _FALL_STEPS[units])


def _limit_in(told: Callable[[float, Units], str]) -> Callable[[Limit, Units], str]:
    def words(limit: Limit, units: Units) -> str:
        shown = told(limit.value, units)
        return shown if limit.origin is Origin.OWN else _beside_written(shown, limit)

    return words


limit_length, limit_fall, limit_area = _limit_in(format_length), _limit_in(format_fall), _limit_in(format_area)


def figure_words(figure: Figure, limit: Limit, units: Units) -> str:
    """Any figure of a rulebook in the job's units, and as it is written where that reads otherwise."""
    if figure.dimension is None:
        return limit.text
    return _beside_written(format_quantity(limit.value, figure.dimension, units), limit)


def _beside_written(shown: str, limit: Limit) -> str:
    return shown if shown == limit.text else phrase("{limit} ({written})", limit=shown, written=limit.text)


@record
class _Beside:
    """A wall that a place lies beside: how far off it and along it [mm], and its inward normal."""

    off: float
    along: float
    wall: int
    normal: tuple[float, float]


def place_words(x: float, y: float, floor: FloorOutline, units: Units) -> str:
    """A place [mm] as found on the floor: a corner, along a wall, or square off two walls."""
    for border in floor.borders:
        if at_edge := _at_border(x, y, border, units):
            return at_edge
    walls = _beside(x, y, floor)
    if not walls:
        return phrase("at x {x}, y {y}", x=paced(x, units), y=paced(y, units))
    for first, second in combinations(walls, 2):
        if abs(first.normal[0] * second.normal[1] - first.normal[1] * second.normal[0]) > _LEAST_SINE:
            return phrase(
                "{first} from {first_wall} and {second} from {second_wall}",
                first=paced(first.off, units),
                first_wall=floor.walls[first.wall],
                second=paced(second.off, units),
                second_wall=floor.walls[second.wall],
            )
    return phrase("{along}, {off} off it", along=_along_words(walls[0], floor, units), off=paced(walls[0].off, units))


def _at_border(x: float, y: float, border: Border, units: Units) -> str | None:
    for name, (cx, cy) in zip(border.names, border.corners.tolist(), strict=True):
        if math.hypot(x - cx, y - cy) < _AT:
            return phrase("at {corner}", corner=corner_words(name))
    nearest = _beside(x, y, border)[:1]
    return _along_words(nearest[0], border, units) if nearest and nearest[0].off < _AT else None


def _beside(x: float, y: float, border: Border) -> list[_Beside]:
    """The walls between whose ends the place lies, on the floor's side, nearest first; curved ones by their chords."""
    sides = border.sides
    columns = (sides.starts, sides.directions, sides.inward, sides.lengths, sides.walls)
    rows = zip(*(column.tolist() for column in columns), strict=True)
    nearest: dict[int, _Beside] = {}
    for side, ((ax, ay), (dx, dy), (nx, ny), length, wall) in enumerate(rows):
        along = (x - ax) * dx + (y - ay) * dy
        off = (x - ax) * nx + (y - ay) * ny
        if off > -_AT and -_AT < along < length + _AT and (wall not in nearest or off < nearest[wall].off):
            along = along * float(sides.stretch[side]) + float(sides.before[side])
            nearest[wall] = _Beside(off, along, wall, (nx, ny))
    return sorted(nearest.values(), key=lambda beside: (round(beside.off, 6), beside.wall))


def _along_words(beside: _Beside, border: Border, units: Units) -> str:
    along, corner = paced(max(beside.along, 0.0), units), border.ends_of(beside.wall)[0]
    return phrase("on {wall}, {along} from {corner}", wall=border.walls[beside.wall], along=along, corner=corner)
