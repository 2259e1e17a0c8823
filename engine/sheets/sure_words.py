"""How sure the plan is: the depth, what slip would show, and the hand's room."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice
from math import hypot

import numpy as np

from ..job import defaults
from ..limits.words import fall_over, fine, length_over, length_under, limit_fall, told_over, worked
from ..phrases import counted_phrase, phrase
from ..plan import FloorOutline, Plan
from ..proof.hand import Room
from ..proof.strips import LEVEL
from ..proof.tolerance import surveyed
from ..proof.words import chance_words, next_words
from ..quantities import Units, format_length, round_up
from ..survey.advice import LEAST_DISAGREEMENT
from ..survey.least_slip import LeastSlip
from ..survey.odd import FEWEST
from ..survey.place_words import place_words
from ..survey.spot import Spot
from ..types import Array
from .words import Row

SURE_TITLE = phrase("How sure the depth is, 19 times in 20")
HAND_TITLE = phrase("Room for the hand")
_MOST_BARE = 8
_SAME = 1.0 + 1e-9


def thin_words(plan: Plan) -> str:
    """The least depth and what it is sure to: "1 1/16 in, sure to 1/8 in"; "" without one."""
    found, units = plan.sureness, plan.units
    if found is None or not plan.depth:
        return ""
    thin = length_under(plan.depth.least.value, units)
    return phrase("{depth}, sure to {sure}", depth=thin, sure=worked(found.sure, units))


def sure_at(plan: Plan, points: Array) -> Array | None:
    """What the depth at points (k, 2) is sure to (k,) [mm], 19 times in 20; None without a reading."""
    drains = plan.drains
    if not plan.readings or not drains or not plan.rough:
        return None
    read = np.array([[station.x, station.y] for station in plan.readings])
    return surveyed(plan.job, plan.rough, read).sure(points, drains[0].flange.centre)


def marks_sure(plan: Plan) -> Array | None:
    """What the marks' heights over the rough floor are sure to (k,) [mm], likewise."""
    if not plan.marks:
        return None
    return sure_at(plan, np.array([[mark.x, mark.y] for mark in plan.marks]))


def marks_sure_words(plan: Plan) -> str:
    """The largest of the marks' ranges, and where; "" without a reading."""
    found = marks_sure(plan)
    if found is None or not plan.marks or not plan.outline:
        return ""
    units, at = plan.units, int(np.argmax(np.round(found, 6)))
    worst = plan.marks[at]
    return phrase(
        "sure to {sure} or better, 19 times in 20; least sure {place}",
        sure=worked(float(found[at]), units),
        place=place_words(worst.x, worst.y, plan.outline, units),
    )


def sure_rows(plan: Plan) -> Iterator[Row]:
    """How sure the depth is, which reading helps most, when to stop, and what slip would show."""
    found, floor, units = plan.sureness, plan.outline, plan.units
    if found is None or not floor or not plan.depth:
        return
    step = format_length(found.step, units)
    yield Row(phrase("Readings"), phrase("to {step}, from the way they were typed", step=step))
    thin = plan.depth.least
    yield Row(phrase("Least depth"), thin_words(plan), x=thin.x, y=thin.y)
    thick = plan.depth.most
    deepest = phrase(
        "{depth}, sure to {sure}", depth=length_over(thick.value, units), sure=worked(found.sure_most, units)
    )
    yield Row(phrase("Most depth"), deepest, x=thick.x, y=thick.y)
    sure = found.assured
    at = place_words(sure.x, sure.y, floor, units)
    counted = phrase("{depth}; the place with least of it is {place}", depth=length_under(sure.value, units), place=at)
    yield Row(phrase("Counted on"), counted, x=sure.x, y=sure.y)
    best, says = found.next, next_words(found, floor, units)
    yield Row(phrase("Next reading"), says, x=best.x if best else None, y=best.y if best else None)
    yield from _slip_rows(found.slip, floor, units)


def _slip_rows(slip: LeastSlip | None, floor: FloorOutline, units: Units) -> Iterator[Row]:
    if slip is None:
        yield from _no_slip_rows(units)
        return
    worst = slip.worst
    parts = {
        "usual": worked(slip.usual, units),
        "place": place_words(worst.x, worst.y, floor, units),
        "worst": worked(worst.value, units),
    }
    told = phrase(
        "{usual} or more, in any reading"
        if parts["usual"] == parts["worst"]
        else "{usual} or more in most readings, {worst} in the one {place}",
        **parts,
    )
    yield Row(phrase("Slip that shows"), told, x=worst.x, y=worst.y)
    if slip.move is not None:
        move = phrase("{move} or more, with two readings at least on either side", move=worked(slip.move, units))
        yield Row(phrase("Move of the line"), move)
    if slip.unjudged:
        hidden = counted_phrase(
            "a slip in {number} reading, which the others do not judge: read that place a second time",
            "a slip in {number} readings, which the others do not judge: read those places a second time",
            len(slip.unjudged),
        )
        yield Row(phrase("Never shows"), hidden)
    yield Row(
        phrase("A smaller one"),
        phrase(
            "cannot be told from this floor's own unevenness. A place read a second time shows any slip over {twice}; "
            "begin {place}",
            twice=format_length(LEAST_DISAGREEMENT, units),
            **parts,
        ),
        x=worst.x,
        y=worst.y,
    )


def _no_slip_rows(units: Units) -> Iterator[Row]:
    few = phrase("none for certain: it takes {fewest} readings to judge each other", fewest=FEWEST)
    yield Row(phrase("Slip that shows"), few)
    twice = format_length(LEAST_DISAGREEMENT, units)
    again = phrase("read a place a second time: two readings of it show any slip over {twice}", twice=twice)
    yield Row(phrase("To be surer"), again)


def hand_rows(plan: Plan) -> Iterator[Row]:
    """The room the plan leaves for a hand that is not perfect."""
    floor, units = plan.outline, plan.units
    if not plan.rooms or not floor:
        return
    for room in plan.rooms:
        name = phrase("True to {trueness}", trueness=format_length(room.trueness, units))
        yield Row(name, _room(room, plan))
    if plan.rooms[-1].simulated:
        simulated = phrase(
            "in {rooms} simulated rooms, the same ones every time: some falls hang on several places that a hand sets",
            rooms=plan.rooms[-1].simulated,
        )
        yield Row(phrase("Reckoned"), simulated)
    for left, spot in islice(_apart(plan.rooms[-1].bare, units), _MOST_BARE):
        value = phrase("{room}, {place}", room=left, place=place_words(spot.x, spot.y, floor, units))
        yield Row(phrase("Room below the mark"), value, x=spot.x, y=spot.y)


def _apart(bare: Iterable[Spot], units: Units) -> Iterator[tuple[str, Spot]]:
    """What room is left in words, and where: of places within a level's reach that say the same the first."""
    told: list[tuple[str, Spot]] = []
    least = fine(units)
    for spot in bare:
        left = (
            phrase("only {left}", left=length_under(spot.value, units))
            if spot.value >= least
            else phrase("less than {least}", least=format_length(least, units))
        )
        if all(left != said or hypot(spot.x - one.x, spot.y - one.y) > LEVEL for said, one in told):
            told.append((left, spot))
            yield left, spot


def _room(room: Room, plan: Plan) -> str:
    units, book, bed = plan.units, plan.rulebook, plan.bed
    told = {"chance": chance_words(room.chance), "least": limit_fall(book.least_fall, units)}
    if not bed:
        return ""
    if not room.can_pass:
        return phrase(
            "{chance} that some line ends below {least}; no fall leaves room for such a hand: set the strips truer, "
            "and between two marks to the ridge there",
            **told,
        )
    step = defaults.mark_step(plan.job)
    high = bed.wall_height * told_over(room.fall, units) / bed.least_fall
    high = round_up(high, step) if bed.has_level_walls else high
    if book.most_fall is not None and bed.most_fall * high / bed.wall_height > book.most_fall.value * _SAME:
        return phrase(
            "{chance} that some line ends below {least}; no room for error: a fall with which all pass 19 times in 20 "
            "is over the most, {most}, where it is steepest. No plan of this shape with marks to {step} leaves room "
            "for such a hand: set the strips truer",
            most=book.most_fall.text,
            step=format_length(step, units),
            **told,
        )
    return phrase(
        "{chance} that some line ends below {least}; plan a fall of {fall}, and all pass 19 times in 20",
        fall=fall_over(room.fall, units),
        **told,
    )
