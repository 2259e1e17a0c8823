"""Figures and places as the findings say them: in the job's units, rounded toward the safe side."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np

from engine.limits.rulebook import Origin
from engine.quantities import FOOT, INCH, Units, format_area, format_fall, format_length, round_down, round_up

if TYPE_CHECKING:
    from engine.limits.rulebook import Limit
    from engine.survey.outline import FloorOutline
    from engine.types import Array

_AT = 1.0  # [mm] nearer than this is at the corner or on the wall
_LEAST_SINE = 0.3  # two walls closer to parallel than this tell a place badly
_FINE = {Units.INCH: INCH / 32, Units.MM: 0.1}
_WORKED = {Units.INCH: INCH / 16, Units.MM: 1.0}
_PACED = {Units.INCH: INCH / 8, Units.MM: 1.0}
_FALL_STEP = {Units.INCH: 1 / 12_000, Units.MM: 1e-4}  # 0.001 in/ft, 0.01 %
_AREA_STEP = {Units.INCH: FOOT**2 / 100, Units.MM: 1e4}


def length_under(mm: float, units: Units) -> str:
    """A length [mm] that is too small, rounded down so that it still reads as too small."""
    return format_length(round_down(mm, _FINE[units]), units)


def length_over(mm: float, units: Units) -> str:
    """A length [mm] that is too large, rounded up so that it still reads as too large."""
    return format_length(round_up(mm, _FINE[units]), units)


def fine(units: Units) -> float:
    """The finest step [mm] that lengths are told in: 1/32 in or 0.1 mm."""
    return _FINE[units]


def enough(mm: float, units: Units) -> float:
    """A length [mm] to work by: the next whole 1/16 in or 1 mm up."""
    return round_up(mm, _WORKED[units])


def worked(mm: float, units: Units) -> str:
    """A length [mm] to work by, in words: the next whole 1/16 in or 1 mm up."""
    return format_length(enough(mm, units), units)


def nearly(mm: float, units: Units) -> str:
    """A length [mm] to the nearest 1/16 in or 1 mm."""
    return format_length(mm, units, _WORKED[units])


def paced(mm: float, units: Units) -> str:
    """A distance [mm] to a place, to the nearest 1/8 in or 1 mm."""
    return format_length(mm, units, _PACED[units])


def fall_under(ratio: float, units: Units) -> str:
    """A fall [-] that is too low, rounded down."""
    return format_fall(round_down(ratio, _FALL_STEP[units]), units)


def fall_over(ratio: float, units: Units) -> str:
    """A fall [-] that is too steep, rounded up."""
    return format_fall(round_up(ratio, _FALL_STEP[units]), units)


def area_under(mm2: float, units: Units) -> str:
    """An area [mm2] that is too small, rounded down."""
    return format_area(round_down(mm2, _AREA_STEP[units]), units)


def area_more(mm2: float, units: Units) -> str:
    """An area [mm2] that is missing, rounded up."""
    return format_area(round_up(mm2, _AREA_STEP[units]), units)


def limit_length(limit: Limit, units: Units) -> str:
    """A length limit in the job's units, and as its source writes it where that reads otherwise."""
    return _with_own_text(format_length(limit.value, units), limit)


def limit_fall(limit: Limit, units: Units) -> str:
    """A fall limit in the job's units, and as its source writes it where that reads otherwise."""
    return _with_own_text(format_fall(limit.value, units), limit)


def limit_area(limit: Limit, units: Units) -> str:
    """An area limit in the job's units, and as its source writes it where that reads otherwise."""
    return _with_own_text(format_area(limit.value, units), limit)


def _with_own_text(shown: str, limit: Limit) -> str:
    return shown if limit.origin is Origin.OWN or shown == limit.text else f"{shown} ({limit.text})"


def place_words(x: float, y: float, floor: FloorOutline, units: Units) -> str:
    """A place [mm] as a person on the floor finds it: a corner, along a wall, or square off two walls."""
    point = np.array([x, y])
    away = np.hypot(*(floor.corners - point).T)
    nearest = int(np.argmin(away))
    if away[nearest] < _AT:
        return f"at corner {floor.names[nearest]}"
    along = ((point - floor.corners) * floor.directions).sum(axis=1)
    off = ((point - floor.corners) * floor.inward).sum(axis=1)
    beside = np.flatnonzero((along > -_AT) & (along < floor.lengths + _AT) & (off > -_AT))
    beside = beside[np.argsort(np.round(off[beside], 6), kind="stable")]
    if not beside.size:
        return f"at x {paced(x, units)}, y {paced(y, units)}"
    if off[beside[0]] < _AT:
        return _along_words(int(beside[0]), float(along[beside[0]]), floor, units)
    for first, second in combinations(beside.tolist(), 2):
        if abs(_cross(floor.inward[first], floor.inward[second])) > _LEAST_SINE:
            return (
                f"{paced(float(off[first]), units)} from {floor.walls[first]} and "
                f"{paced(float(off[second]), units)} from {floor.walls[second]}"
            )
    wall = int(beside[0])
    words = _along_words(wall, float(along[wall]), floor, units)
    return f"{words}, {paced(float(off[wall]), units)} off it"


def _along_words(wall: int, along: float, floor: FloorOutline, units: Units) -> str:
    return f"on {floor.walls[wall]}, {paced(max(along, 0.0), units)} from {floor.names[wall]}"


def _cross(a: Array, b: Array) -> float:
    return float(a[0] * b[1] - a[1] * b[0])
