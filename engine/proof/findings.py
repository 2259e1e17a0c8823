"""What a finished bed's readings ask for: findings beside those of the plan."""

from typing import TypeAlias

import numpy as np

from ..job.model import Job
from ..limits.checks.readings import read_again, slip_words
from ..limits.findings import Finding, Findings, Level
from ..limits.rulebook import Limit, Rulebook
from ..limits.words import fall_over, fall_under, higher, higher_than, length_over, limit_fall, nearly
from ..phrases import phrase
from ..quantities import Units, format_length
from ..survey.advice import LEAST_ODD
from ..survey.odd import LEAST_MOVE, Move, Odd
from ..survey.outline import FloorOutline
from ..survey.place_words import place_words
from ..survey.spot import Spot
from .as_built import AsBuilt, BuiltStation
from .falls import runs_to_drain
from .odd import odd_built
from .water import Pond
from .words import extent, mend_words

PRACTICE = phrase("common practice, no source")
_RELATIVE_NOISE = 1e-9
_Ground: TypeAlias = tuple[FloorOutline, Units]


def built_findings(built: AsBuilt, book: Rulebook, job: Job) -> Findings:
    """Standing water, lines that fall too little or too much, a line that moved, odd readings."""
    ground = built.floor, job.units
    yield from _line_moved(built, job.units)
    yield from _off_floor(built)
    yield from _odd(built, job, ground)
    for pond in built.ponds:
        yield _ponding(built, pond, book, ground)
    least, most = built.least_fall, built.most_fall
    if least.value < book.least_fall.value * (1 - _RELATIVE_NOISE):
        yield _fall(built, least, book.least_fall, ground, is_low=True)
    if book.most_fall is not None and most.value > book.most_fall.value * (1 + _RELATIVE_NOISE):
        yield _fall(built, most, book.most_fall, ground, is_low=False)


def _ponding(built: AsBuilt, pond: Pond, book: Rulebook, ground: _Ground) -> Finding:
    _, units = ground
    is_sure, sure = pond.depth > built.sure, length_over(built.sure, units)
    return Finding(
        rule="ponding",
        level=Level.STOP if is_sure else Level.CAUTION,
        says=phrase(
            "water would stand {depth} deep {at}, {extent}{doubt}",
            depth=length_over(pond.depth, units),
            at=place_words(pond.x, pond.y, *ground),
            extent=extent(pond, units),
            doubt="" if is_sure else phrase(", no more than these readings are sure to ({sure})", sure=sure),
        ),
        remedy=_pond_remedy(built, pond, ground, is_sure=is_sure),
        source=phrase("the floor has to fall evenly to the drain: {cited}", cited=book.least_fall.cited),
        x=pond.x,
        y=pond.y,
        key=_nearest_key(built, pond.x, pond.y),
    )


def _pond_remedy(built: AsBuilt, pond: Pond, ground: _Ground, *, is_sure: bool) -> str:
    mends = built.mending.mends
    if not mends:
        return phrase("read that place again")
    near = min(mends, key=lambda m: (m.x - pond.x) ** 2 + (m.y - pond.y) ** 2)
    return phrase(
        "{first}{mend} while the mud is green; {rest}once it is set, see the mend list",
        first="" if is_sure else phrase("read it again; if it is so, "),
        mend=mend_words(near, *ground),
        rest="" if len(mends) == 1 else phrase("for the rest, and "),
    )


def _fall(built: AsBuilt, spot: Spot, limit: Limit, ground: _Ground, *, is_low: bool) -> Finding:
    _, units = ground
    run = float(runs_to_drain(built.surface.bed, np.array([[spot.x, spot.y]]))[0][0])
    beyond = abs(spot.value - limit.value) * run
    doubt = (
        "" if beyond > built.sure else phrase("; the readings are sure to {sure}", sure=length_over(built.sure, units))
    )
    return Finding(
        rule="built-fall-low" if is_low else "built-fall-steep",
        level=limit.level if beyond > built.sure else Level.CAUTION,
        says=phrase(
            "as built, the line from the wall {place} falls {fall}, {side} {limit}{doubt}",
            place=place_words(spot.x, spot.y, *ground),
            fall=fall_under(spot.value, units) if is_low else fall_over(spot.value, units),
            side=phrase("under" if is_low else "over"),
            limit=limit_fall(limit, units),
            doubt=doubt,
        ),
        remedy=phrase(
            "raise the bed there by {by} while the mud is green"
            if is_low
            else "lower the bed there by {by} while the mud is green",
            by=length_over(beyond, units),
        ),
        source=limit.cited,
        x=spot.x,
        y=spot.y,
        key=_nearest_key(built, spot.x, spot.y),
    )


def _line_moved(built: AsBuilt, units: Units) -> Findings:
    if not built.moved:
        return
    x, y = built.surface.bed.reach.flange.centre.tolist()
    yield Finding(
        rule="line-moved",
        level=Level.CAUTION,
        says=phrase(
            "the line is {off} over the drain's flange than when the rough floor was read; the finished bed is judged "
            "by the flange as it reads here",
            off=higher(built.moved, units),
        ),
        remedy=phrase("nothing, if the level line was set up anew; else read the flange once more"),
        source=PRACTICE,
        x=x,
        y=y,
        key="as_built",
    )


def _off_floor(built: AsBuilt) -> Findings:
    for number in built.off_floor:
        yield Finding(
            rule="reading-odd",
            level=Level.CAUTION,
            says=phrase("as-built reading {count} lies off the floor and is not used", count=number + 1),
            remedy=phrase("correct its place"),
            source=phrase("plain geometry"),
            key=f"as_built[{number}].at",
        )


def _odd(built: AsBuilt, job: Job, ground: _Ground) -> Findings:
    found = odd_built(built, job)
    read = {station.number: station for station in (*built.stations, *built.on_flange)}
    if found.move is not None and found.before is not None:
        yield _moved_meanwhile(found.move, read[found.move.since], read[found.before], ground)
    for odd in found.slips:
        yield _slip(odd, read[odd.number], job, ground)
    for i, k in found.pairs:
        later = read[k]
        apart = Spot(abs(read[i].height - later.height), later.x, later.y)
        yield read_again(place_words(later.x, later.y, *ground), apart, f"as_built[{k}].drop", job.units)


def _moved_meanwhile(move: Move, station: BuiltStation, before: BuiltStation, ground: _Ground) -> Finding:
    return Finding(
        rule="line-moved",
        level=Level.CAUTION,
        says=phrase(
            "from the as-built reading {station} on, all read {off} the bed before: the level line may have moved, or "
            "the bed is so",
            station=place_words(station.x, station.y, *ground),
            off=higher_than(move.shift, ground[1]),
        ),
        remedy=phrase(
            "read {place} again: if it has changed by as much, read all of them anew from one set-up; if it has not, "
            "the bed is so",
            place=place_words(before.x, before.y, *ground),
        ),
        source=phrase(
            "statistics: a step over {least}; a bed as true as a hand makes it is called odd less than once in a "
            "hundred times",
            least=format_length(LEAST_MOVE, ground[1]),
        ),
        x=station.x,
        y=station.y,
        key=f"as_built[{move.since}].drop",
    )


def _slip(odd: Odd, station: BuiltStation, job: Job, ground: _Ground) -> Finding:
    units = job.units
    return Finding(
        rule="reading-odd",
        level=Level.CAUTION,
        says=phrase(
            "the as-built reading {station} makes the bed {error} there",
            station=place_words(station.x, station.y, *ground),
            error=phrase("{off} too high" if odd.off > 0 else "{off} too low", off=nearly(abs(odd.off), units)),
        ),
        remedy=phrase(
            "read it again before you mend: {drop} is entered{slip}",
            drop=format_length(job.as_built[odd.number].drop.value, units),
            slip=slip_words(odd.likely, units),
        ),
        source=phrase(
            "statistics: off by more than {least}, which no hand is in one place, and by what a slip makes",
            least=format_length(LEAST_ODD, units),
        ),
        x=station.x,
        y=station.y,
        key=f"as_built[{odd.number}].drop",
    )


def _nearest_key(built: AsBuilt, x: float, y: float) -> str:
    near = min(built.stations, key=lambda s: ((s.x - x) ** 2 + (s.y - y) ** 2, s.number))
    return f"as_built[{near.number}].drop"
