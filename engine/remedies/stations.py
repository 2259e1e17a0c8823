"""Readings that do not fit: the figure a slip hid, or the plan without them; and which to take next."""

import re
from collections.abc import Iterator

import numpy as np

from ..job.model import Reading
from ..limits.checks.readings import all_odd
from ..limits.findings import Finding
from ..phrases import joined, phrase
from ..proof.odd import odd_built
from ..survey.advice import next_corner
from ..survey.odd import Odd
from ..survey.outline import FloorOutline
from ..types import Array
from .remedy import Change, Idea, Ideas
from .trials import Trials

_KEY = re.compile(r"(readings|as_built)\[(\d{1,6})\]\.(?:drop|at)")
_MOST_NEXT = 8  # readings named as missing
_NOTHING = 1e-9  # [-] of the floor


def as_meant(trials: Trials, finding: Finding) -> Ideas:
    """The reading with a slip in it, as it was meant."""
    for section, number, reading in _named(trials, finding):
        likely = next((odd.likely for odd in _judged(trials, section)[0] if odd.number == number), None)
        if likely is None:
            return
        drop, key = reading.read, "before" if reading.before else "drop"
        text = trials.text(likely.drop)
        yield Idea(
            phrase(
                "enter {reading} in place of {typed}, if reading it again bears that out: {slip}",
                reading=text,
                typed=trials.text(drop.value),
                slip=likely.slip.value,
            ),
            ((f"{section}[{number}].{key}", text),),
            abs(likely.drop - drop.value),
        )


def left_out(trials: Trials, finding: Finding) -> Ideas:
    """The plan without that reading, or the other one of its place."""
    for section, number, _ in _named(trials, finding):
        pairs = _judged(trials, section)[1]
        for which in (number, *(one for pair in pairs if number in pair for one in pair if one != number)):
            reading = trials.text(_readings(trials, section)[which].read.value)
            says = phrase("leave the reading of {reading} out until its place is read again", reading=reading)
            yield Idea(says, ((f"{section}[{which}]", ""),))


def _named(trials: Trials, finding: Finding) -> Iterator[tuple[str, int, Reading]]:
    found = _KEY.fullmatch(finding.key or "")
    if found is not None and int(found[2]) < len(readings := _readings(trials, found[1])):
        yield found[1], int(found[2]), readings[int(found[2])]


def _readings(trials: Trials, section: str) -> tuple[Reading, ...]:
    return trials.job.readings if section == "readings" else trials.job.as_built


def _judged(trials: Trials, section: str) -> tuple[tuple[Odd, ...], tuple[tuple[int, int], ...]]:
    """What is odd, and what disagrees."""
    if section == "readings":
        own = all_odd(trials.case)
        return own.odd, own.pairs
    built = trials.plan.as_built
    found = odd_built(built, trials.job) if built else None
    return (found.slips, found.pairs) if found else ((), ())


def readings_missing(trials: Trials) -> str:
    """Which corners to read until enough of the floor is known, which no key can enter; "" where none helps.

    Each tells most then, the floor there as guessed.
    """
    floor, rough = trials.plan.outline, trials.plan.rough
    if not floor or not rough:
        return ""
    line = rough.shift
    places = rough.stations if trials.job.readings else rough.stations[:0]
    names: list[str] = []
    change: Change = ()
    for _ in range(min(_MOST_NEXT, len(floor.names))):
        corner = _next(floor, places)
        point = floor.corners[corner][None]
        drop = line - float(rough.height(point)[0])
        number = len(trials.job.readings) + len(names)
        text = trials.text(max(drop, trials.step))
        change = (*change, (f"readings[{number}].at", floor.names[corner]), (f"readings[{number}].drop", text))
        names.append(floor.names[corner])
        places = np.vstack([places, point])
        after = trials.planned(change)
        if after is not None and all(found.rule != "readings-few" for found in after.findings):
            return phrase(
                "a key for it: only the line tells what is read there. With {corners} read, enough of the floor is "
                "known",
                corners=joined(", ", names),
            )
    return ""


def _next(floor: FloorOutline, places: Array) -> int:
    """The corner that tells most; while none does, the farthest from what is read."""
    corner, left = next_corner(floor.polygon, floor.corners, places)
    if not len(places) or left < 1.0 - _NOTHING:
        return corner
    away = floor.corners[:, None] - places
    nearest = np.hypot(away[..., 0], away[..., 1]).min(axis=1)
    return int(np.argmax(np.round(nearest, 6)))
