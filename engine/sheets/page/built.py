"""What proves the bed: how far it is off, what to mend, the flood test's log."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...limits.words import fall_under, length_over
from ...limits.work_rules import rules_of
from ...packed import wording
from ...plan import Job, Needs, Plan
from ...proof.log import MOST_DRIED, FloodLog
from ...proof.words import extent, mend_order, worst_words
from ...quantities import Units, format_length
from ...records import record
from ...survey.place_words import place_words

if TYPE_CHECKING:
    from ...proof.as_built import AsBuilt
    from .head import Sources


@record
class BuiltWords:
    """What was read of the finished bed, what to mend, and how."""

    facts: tuple[tuple[str, str], ...]
    mends: tuple[str, ...]
    how: tuple[str, ...]


def built_words(plan: Plan) -> BuiltWords | None:
    """The finished bed in words; None without a reading."""
    built, units = plan.as_built, plan.units
    if built is None:
        return None
    if isinstance(built, Needs):
        return BuiltWords((("Not judged yet", built.says),), (), ())
    mends = tuple(mend_order(mend, built, units) for mend in built.mending.mends)
    how = (wording("proof")["while-green"], wording("proof")["once-set"]) if mends else ()
    return BuiltWords(tuple(_facts(built, units)), mends, how)


def _facts(built: AsBuilt, units: Units) -> Iterator[tuple[str, str]]:
    least, floor = built.least_fall, built.floor
    yield "Farthest off", f"{worst_words(built, units)}; sure to {length_over(built.sure, units)}"
    yield ("Least fall", f"{fall_under(least.value, units)}, {place_words(least.x, least.y, floor, units)}")
    for pond in built.ponds:
        deep, at = length_over(pond.depth, units), place_words(pond.x, pond.y, floor, units)
        yield "Standing water", f"{deep} deep {at}, {extent(pond, units)}"
    if not built.ponds:
        yield "Standing water", "none: water runs to the drain from everywhere"


@record
class LogWords:
    """The log's boxes, each a name and what was read ("" to be written in); how and by what it is judged.

    verdict, says: "" until it is judged; source: its number on the page.
    """

    boxes: tuple[tuple[str, str], ...]
    verdict: str
    says: str
    judged_by: str
    standard: str
    source: int


def log_words(plan: Plan, sources: Sources) -> LogWords | None:
    """The log as entered, or an empty one; None if nothing is planned or read."""
    judged = plan.flood_log
    if judged is None and not plan.work:
        return None
    source = rules_of(plan.rulebook).pan_test_depth.source if judged is None else judged.source
    return LogWords(
        boxes=tuple(_boxes(plan.job).items()),
        verdict="" if judged is None else judged.verdict.value.upper(),
        says="" if judged is None else _says(judged, plan),
        judged_by=_judged_by(plan),
        standard=wording("proof")["standard"],
        source=sources.number(source),
    )


def _boxes(job: Job) -> dict[str, str]:
    log, units = job.flood_test, job.units
    filled, left, bucket = (
        "" if one is None else format_length(one.value, units) for one in (log.filled, log.left, log.bucket)
    )
    hours = "" if log.hours is None else f"{log.hours.value:g}"
    leaked = "" if log.leaked is None else "yes" if log.leaked else "none seen"
    return {
        "filled to, at the threshold": filled,
        "checked after so many h": hours,
        "the mark then stands at": left,
        "a bucket beside it lost": bucket,
        "wet round or under it": leaked,
        "checked by, date": "",
    }


def _says(judged: FloodLog, plan: Plan) -> str:
    told = f"{judged.says}. Then: {judged.remedy}."
    if judged.loss is None:
        return told
    dried, sure = (format_length(value, plan.units) for value in (judged.loss.dried, judged.loss.sure))
    return f"{told} Allowed to dry: {dried}; marks are sure to {sure}."


def _judged_by(plan: Plan) -> str:
    rules, units = rules_of(plan.rulebook), plan.units
    deep, most = (format_length(value, units) for value in (rules.pan_test_depth.value, MOST_DRIED))
    hours = f"{rules.flood_time_least.value:g} h"
    return (
        "Pass: no more lost than the bucket lost and a step of the mark, and dry all round and under it. Watch: less "
        f"than {deep}, less than {hours}, or no bucket shows what dried (at most {most} a day). "
        "Fail: more lost, or wet."
    )
