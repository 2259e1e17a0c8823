"""The flood test as it went: pass, watch or fail, evaporation allowed for."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

from engine.quantities import format_length
from engine.survey.typed_step import reading_step

if TYPE_CHECKING:
    from engine.job.model import Job, Typed
    from engine.work.rules import Rules

# [mm a day] still water indoors loses 2 to 3 mm a day; this is taken as the most (common practice, no source)
MOST_DRIED = 3.175
_DAY = 24.0  # [h]
_NOISE = 1e-6


class Verdict(Enum):
    """How a flood test stands."""

    PASS = "pass"  # noqa: S105 - a verdict, no password
    WATCH = "watch"
    FAIL = "fail"


@dataclass(frozen=True, slots=True)
class FloodLog:
    """The verdict in words, what to do, and whose figures it goes by."""

    verdict: Verdict
    says: str
    remedy: str
    source: str


def flood_log(job: Job, rules: Rules) -> FloodLog:
    """The verdict on a logged flood test; marks are sure to one step that they were read to, each way.

    Where an open bucket stood beside the water its loss is taken off, else the most that dries is allowed.
    """
    log = job.flood_test
    source = (
        f"{rules.pan_test_depth.source}; {rules.flood_time_least.source}, written for plaza decks, by analogy"
    )
    if log.leaked:
        return FloodLog(Verdict.FAIL, "water was seen where none may be", _FIND, source)
    if log.filled is None or log.left is None or log.hours is None:
        return FloodLog(Verdict.WATCH, "the log is not whole", "enter filled, hours and left", source)
    return _of_marks(log.filled, log.left, log.hours.value, (job, rules, source))


def _of_marks(filled: Typed, left: Typed, hours: float, ground: tuple[Job, Rules, str]) -> FloodLog:
    """The verdict where both marks are there and the hours [h] between them."""
    job, rules, source = ground
    units, bucket = job.units, job.flood_test.bucket
    lost = filled.value - left.value
    step = reading_step([filled, left], units)
    dried = MOST_DRIED * hours / _DAY if bucket is None else bucket.value
    told = f"{format_length(lost, units)} of {format_length(filled.value, units)} lost in {hours:g} h"
    if lost > dried + step + _NOISE:
        says = f"{told}, more than the {format_length(dried, units)} that may have dried and a mark's step"
        return FloodLog(Verdict.FAIL, says, _FIND, source)
    if filled.value < rules.pan_test_depth.value - _NOISE:
        wanted = format_length(rules.pan_test_depth.value, units)
        return FloodLog(
            Verdict.WATCH, f"{told}, but it was not filled to {wanted}", f"fill to {wanted}", source
        )
    if hours < rules.flood_time_least.value - _NOISE:
        least = f"{rules.flood_time_least.value:g} h"
        return FloodLog(Verdict.WATCH, f"{told}, short of {least}", f"let it stand to {least}", source)
    if lost > step + _NOISE and bucket is None:
        says = f"{told}: as much may have dried, but nothing shows that it did"
        return FloodLog(
            Verdict.WATCH, says, "set an open bucket beside it and let both stand a day more", source
        )
    return FloodLog(Verdict.PASS, f"{told}, no more than dried", "drain it, and go on", source)


_FIND = "drain it, find the leak, mend the lining, and test again from the start; do not tile"
