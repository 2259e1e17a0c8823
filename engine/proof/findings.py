"""What the readings of a finished bed make a person do: findings beside those of the plan."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from engine.limits.checks.readings import slip_words
from engine.limits.findings import Finding, Level
from engine.limits.words import fall_over, fall_under, length_over, limit_fall, nearly, place_words
from engine.proof.words import extent, mend_words
from engine.quantities import format_length
from engine.survey.advice import LEAST_DISAGREEMENT, LEAST_ODD
from engine.survey.slips import likely_slip

if TYPE_CHECKING:
    from collections.abc import Iterator

    from engine.job.model import Job
    from engine.limits.rulebook import Limit, Rulebook
    from engine.proof.as_built import AsBuilt
    from engine.proof.water import Pond
    from engine.quantities import Units
    from engine.survey.outline import FloorOutline
    from engine.survey.spot import Spot
    from engine.types import Array

PRACTICE = "common practice, no source"
_RELATIVE_NOISE = 1e-9


def built_findings(built: AsBuilt, book: Rulebook, floor: FloorOutline, job: Job) -> Iterator[Finding]:
    """Standing water, lines that fall too little or too much, a line that moved, odd readings."""
    units = job.units
    yield from _line_moved(built, units)
    yield from _off_floor(built)
    yield from _slips(built, job, floor)
    for pond in built.ponds:
        yield _ponding(built, pond, book, (floor, units))
    least, most = built.least_fall, built.most_fall
    if least.value < book.least_fall.value * (1 - _RELATIVE_NOISE):
        yield _fall(built, least, book.least_fall, (floor, units), is_low=True)
    if book.most_fall is not None and most.value > book.most_fall.value * (1 + _RELATIVE_NOISE):
        yield _fall(built, most, book.most_fall, (floor, units), is_low=False)


def _ponding(built: AsBuilt, pond: Pond, book: Rulebook, ground: tuple[FloorOutline, Units]) -> Finding:
    """Water that would stand; where it is no deeper than the readings are sure to, they are to be taken again first."""
    floor, units = ground
    at = place_words(pond.x, pond.y, floor, units)
    is_sure = pond.depth > built.sure
    doubt = "" if is_sure else f", no more than these readings are sure to ({nearly(built.sure, units)})"
    return Finding(
        rule="ponding",
        level=Level.STOP if is_sure else Level.CAUTION,
        says=f"water would stand {length_over(pond.depth, units)} deep {at}, {extent(pond, units)}{doubt}",
        remedy=_pond_remedy(built, pond, ground, is_sure=is_sure),
        source=f"the floor has to fall evenly to the drain: {book.least_fall.cited}",
        x=pond.x,
        y=pond.y,
        key=_nearest_key(built, pond.x, pond.y),
    )


def _pond_remedy(built: AsBuilt, pond: Pond, ground: tuple[FloorOutline, Units], *, is_sure: bool) -> str:
    floor, units = ground
    mends = built.mending.mends
    if not mends:
        return "read that place again"
    near = min(mends, key=lambda m: (m.x - pond.x) ** 2 + (m.y - pond.y) ** 2)
    first = "" if is_sure else "read it again; if it is so, "
    more = "" if len(mends) == 1 else ", and see the mend list"
    return f"{first}{mend_words(near, floor, units)} while the mud is green{more}; once it is set, see the mend list"


def _fall(
    built: AsBuilt, spot: Spot, limit: Limit, ground: tuple[FloorOutline, Units], *, is_low: bool
) -> Finding:
    """A line whose fall breaks a limit; a caution where it breaks it by no more than the readings are sure to."""
    floor, units = ground
    run = float(built.surface.bed.reach.flange.distance(_point(spot))[0])
    beyond = abs(spot.value - limit.value) * run
    told = fall_under(spot.value, units) if is_low else fall_over(spot.value, units)
    side, change = ("under", "raise") if is_low else ("over", "lower")
    doubt = "" if beyond > built.sure else f"; the readings are sure to {nearly(built.sure, units)}"
    return Finding(
        rule="built-fall-low" if is_low else "built-fall-steep",
        level=limit.level if beyond > built.sure else Level.CAUTION,
        says=f"as built, the line from the wall {place_words(spot.x, spot.y, floor, units)} falls {told}, "
        f"{side} {limit_fall(limit, units)}{doubt}",
        remedy=f"{change} the bed there by {length_over(beyond, units)} while the mud is green",
        source=limit.cited,
        x=spot.x,
        y=spot.y,
        key=_nearest_key(built, spot.x, spot.y),
    )


def _point(spot: Spot) -> Array:
    return np.array([[spot.x, spot.y]])


def _line_moved(built: AsBuilt, units: Units) -> Iterator[Finding]:
    if not built.moved:
        return
    flange = built.surface.bed.reach.flange.centre
    side = "higher" if built.moved > 0 else "lower"
    off = format_length(abs(built.moved), units)
    yield Finding(
        rule="line-moved",
        level=Level.CAUTION,
        says=f"the line is {off} {side} over the drain's flange than when the rough floor was read; the finished bed "
        "is judged by the flange as it reads here",
        remedy="nothing, if the level line was set up anew; else read the flange once more",
        source=PRACTICE,
        x=float(flange[0]),
        y=float(flange[1]),
        key="as_built",
    )


def _off_floor(built: AsBuilt) -> Iterator[Finding]:
    for number in built.off_floor:
        yield Finding(
            rule="reading-odd",
            level=Level.CAUTION,
            says=f"as-built reading {number + 1} lies off the floor and is not used",
            remedy="correct its place",
            source="plain geometry",
            key=f"as_built[{number}].at",
        )


def _slips(built: AsBuilt, job: Job, floor: FloorOutline) -> Iterator[Finding]:
    """Readings that are off the plan by just what a slip makes: no hand is an inch out in one place."""
    units = job.units
    for station in built.stations:
        if abs(station.error) <= LEAST_ODD:
            continue
        drop = job.as_built[station.number].drop
        likely = likely_slip(drop, units, station.error, LEAST_DISAGREEMENT)
        if likely is not None:
            side = "high" if station.error > 0 else "low"
            yield Finding(
                rule="reading-odd",
                level=Level.CAUTION,
                says=f"the as-built reading {place_words(station.x, station.y, floor, units)} makes the bed "
                f"{nearly(abs(station.error), units)} too {side} there",
                remedy=f"read it again before you mend: {format_length(drop.value, units)} is entered"
                f"{slip_words(likely, units)}",
                source=f"{PRACTICE}: off by more than {format_length(LEAST_ODD, units)}, and by what a slip makes",
                x=station.x,
                y=station.y,
                key=f"as_built[{station.number}].drop",
            )


def _nearest_key(built: AsBuilt, x: float, y: float) -> str:
    near = min(built.stations, key=lambda s: ((s.x - x) ** 2 + (s.y - y) ** 2, s.number))
    return f"as_built[{near.number}].drop"
