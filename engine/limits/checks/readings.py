"""Readings: enough of them to know the floor, and none that does not fit the others."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from engine.limits.findings import Finding, Level
from engine.limits.words import nearly
from engine.quantities import format_length
from engine.survey.advice import LEAST_DISAGREEMENT, LEAST_ODD, disagreeing, next_corner, odd_readings
from engine.survey.spot import Needs, Spot

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from engine.limits.checks.case import Case
    from engine.limits.stages import Station
    from engine.survey.rough_floor import RoughFloor
    from engine.types import Array

_MOST_GUESSED = 0.25
_PRACTICE = "common practice, no source"


def check_few(case: Case) -> Iterator[Finding]:
    """Finding readings-few: how much of the rough floor is taken on trust."""
    floor, rough, count = case.stages.outline, case.stages.rough, len(case.job.readings)
    if isinstance(floor, Needs) or isinstance(rough, Needs):
        return
    known = _what_is_known(rough, count)
    if known is None:
        return
    corner, left = next_corner(floor.polygon, floor.corners, _places(rough, count))
    yield Finding(
        rule="readings-few",
        level=Level.CAUTION,
        says=known,
        remedy=_read_next(floor.names, corner, left, count),
        source=_PRACTICE,
        x=float(floor.corners[corner, 0]),
        y=float(floor.corners[corner, 1]),
        key="readings",
    )


def _what_is_known(rough: RoughFloor, count: int) -> str | None:
    """What is taken on trust, in words; None where the readings reach over enough of the floor."""
    if count == 0:
        return "there are no readings: the rough floor is taken as level, at the depth that the bed needs"
    if len(rough.stations) == 1:
        return "there is one reading only: the rough floor is taken as level at its height"
    if not len(rough.triangles):
        two = "there are two readings only" if len(rough.stations) == 2 else "all readings stand on one line"
        return f"{two}: the rough floor is taken as sloped along them and level across"
    if rough.guessed <= _MOST_GUESSED:
        return None
    share = int(np.ceil(round(100 * rough.guessed, 6)))
    return f"{share} % of the floor lies outside the readings: its height there is guessed"


def _places(rough: RoughFloor, count: int) -> Array:
    return rough.stations if count else rough.stations[:0]


def _read_next(names: Sequence[str], corner: int, left: float, count: int) -> str:
    if count < 3 and left > _MOST_GUESSED:
        return f"read all {len(names)} corners, corner {names[corner]} next: it tells most"
    share = int(np.ceil(round(100 * left, 6)))
    return f"read corner {names[corner]} next: it tells most, and leaves {share} % guessed"


def check_odd(case: Case) -> Iterator[Finding]:
    """Findings reading-odd: one a reading that does not fit, and one a place whose readings disagree."""
    stations = case.stages.readings
    if isinstance(stations, Needs) or len(stations) < 2:
        return
    places = np.array([[station.x, station.y] for station in stations])
    heights = np.array([station.height for station in stations])
    numbers, residuals = odd_readings(places, heights)
    for i, residual in zip(numbers.tolist(), residuals.tolist(), strict=True):
        yield _odd(case, stations[i], i, residual)
    named = set(numbers.tolist())
    for i, k in disagreeing(places, heights).tolist():
        if named.isdisjoint((i, k)):
            yield _twice(case, stations[k], k, abs(float(heights[i] - heights[k])))


def _odd(case: Case, station: Station, i: int, residual: float) -> Finding:
    off, side = nearly(abs(residual), case.units), "higher" if residual > 0 else "lower"
    return _reading(
        case,
        station,
        i,
        f"the reading {_at(case, station)} is {off} {side} than the floor around it",
        "statistics: off the plane of the other readings by more than "
        f"{format_length(LEAST_ODD, case.units)} and four standard errors",
    )


def _twice(case: Case, station: Station, i: int, apart: float) -> Finding:
    return _reading(
        case,
        station,
        i,
        f"two readings {_at(case, station)} differ by {nearly(apart, case.units)}",
        f"{_PRACTICE}: two of one place agree within {format_length(LEAST_DISAGREEMENT, case.units)}",
    )


def _at(case: Case, station: Station) -> str:
    return case.at(Spot(station.height, station.x, station.y)) or f"at {station.at}"


def _reading(case: Case, station: Station, i: int, says: str, source: str) -> Finding:
    drop = case.job.readings[i].drop
    return Finding(
        rule="reading-odd",
        level=Level.CAUTION,
        says=says,
        remedy=f"read it again: {format_length(drop.value, case.units)} is entered",
        source=source,
        x=station.x,
        y=station.y,
        key=f"readings[{i}].drop",
    )
