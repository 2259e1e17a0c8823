"""The flood test as it went."""

from enum import Enum

from ..job.model import FloorKind, Job, Typed
from ..limits.checks.case import Case
from ..limits.checks.load import work_site
from ..limits.findings import Finding, Findings, Level
from ..limits.rulebook import Rulebook
from ..limits.work_rules import rules_of
from ..packed import wording
from ..phrases import joined, phrase
from ..quantities import INCH, Units, format_length
from ..records import record
from ..survey.typed_step import reading_step
from ..work.flood import flood_test
from ..work.heights import heights
from ..work.practice import NO_SOURCE
from ..work.rules import Rules
from ..work.words import length_over, load_over, load_under, time_words

# [mm a day] still water indoors loses 2 to 3; this is taken as the most (common practice, no source)
MOST_DRIED = 3.175
_DAY = 24.0  # [h]
_NOISE = 1e-6


class Verdict(Enum):
    """How a flood test stands."""

    PASS = "pass"  # noqa: S105 - a verdict, no password
    WATCH = "watch"
    FAIL = "fail"


@record
class Loss:
    """What the marks tell: the water lost, what may have dried of it, how sure they are [mm], the hours [h]."""

    lost: float
    dried: float
    sure: float
    hours: float


@record
class FloodLog:
    """The verdict in words, what to do, whose figures it goes by, and the entry to look at."""

    verdict: Verdict
    says: str
    remedy: str
    source: str
    key: str
    loss: Loss | None = None

    @property
    def standard(self) -> str:
        """What the code asks for, in its own words."""
        return wording("proof")["standard"]


def flood_log(job: Job, book: Rulebook) -> FloodLog:
    """The verdict on a logged flood test, by the job's rulebook.

    Marks are sure to one step that they were read to, each way. An open bucket's loss beside the water is taken off,
    else the most that dries is allowed.
    """
    log, rules = job.flood_test, rules_of(book)
    source = joined("; ", (rules.pan_test_depth.source, rules.flood_time_least.source))
    loss = _loss(job)
    if log.leaked:
        says = phrase("water was seen where none may be")
        return FloodLog(Verdict.FAIL, says, _FIND, source, "flood_test.leaked", loss)
    if log.filled is None or loss is None:
        missing = "filled" if log.filled is None else "hours" if log.hours is None else "left"
        says, remedy = phrase("the log is not whole"), phrase("enter filled, hours and left")
        return FloodLog(Verdict.WATCH, says, remedy, source, f"flood_test.{missing}")
    return _of_marks(log.filled, loss, (job, rules, source))


def log_findings(log: FloodLog, case: Case) -> Findings:
    """A failed flood test is a stop; one not yet passed, or deeper or longer than usual, a caution."""
    if log.verdict is Verdict.FAIL:
        says = phrase("the flood test failed: {why}", why=log.says)
        yield Finding("flood-failed", Level.STOP, says, log.remedy, log.source, key=log.key)
    elif log.verdict is Verdict.WATCH:
        says = phrase("the flood test is not passed yet: {why}", why=log.says)
        yield Finding("flood-watch", Level.CAUTION, says, log.remedy, log.source, key=log.key)
    yield from _past_usual(case, rules_of(case.book))


def _past_usual(case: Case, rules: Rules) -> Findings:
    log, deep, long = case.job.flood_test, rules.flood_head_most, rules.flood_time_most
    site = work_site(case)
    test = site and flood_test(site, heights(site))
    filled = 0.0 if log.filled is None else log.filled.value + (test.at_drain - test.at_threshold if test else 0.0)
    if filled > deep.value + _NOISE:
        most, weight = case.length(deep.value), rules.water_load_an_inch
        says = phrase(
            "the flood test stood {deep} deep {place}, over the {most} that such tests are held to: there the water "
            "alone weighs {load}{bears}",
            deep=case.length(filled),
            place=phrase("at the drain" if test else "at the threshold"),
            most=most,
            load=load_over(filled / INCH * weight.value, case.units),
            bears=_bears(case.job),
        )
        remedy = phrase("let it down to {most}, and look for sag and damp from below before you go on", most=most)
        source = joined("; ", (deep.source, weight.source))
        yield Finding("flood-over", Level.CAUTION, says, remedy, source, key="flood_test.filled")
    if log.hours is not None and log.hours.value > long.value + _NOISE:
        says = phrase(
            "the flood test stood {hours} h, over the {most} h that such tests take: whatever weeps through the lining "
            "soaks the floor all that while",
            hours=f"{log.hours.value:g}",
            most=f"{long.value:g}",
        )
        remedy = phrase("drain it, and look for damp beside and under the floor before you go on")
        source = joined("; ", (long.source, phrase("that it soaks: {practice}", practice=NO_SOURCE)))
        yield Finding("flood-over", Level.CAUTION, says, remedy, source, key="flood_test.hours")


def _bears(job: Job) -> str:
    allowed = job.floor.dead_load_allowance
    if allowed is not None:
        return phrase("; all dead load together, the floor may bear {load}", load=load_under(allowed.value, job.units))
    is_wood = job.floor.kind is FloorKind.WOOD
    return phrase("; what the wood floor may bear the job does not say") if is_wood else ""


def _loss(job: Job) -> Loss | None:
    log = job.flood_test
    if log.filled is None or log.left is None or log.hours is None:
        return None
    hours = log.hours.value
    dried = MOST_DRIED * hours / _DAY if log.bucket is None else log.bucket.value
    sure = reading_step([log.filled, log.left], job.units)
    return Loss(log.filled.value - log.left.value, dried, sure, hours)


def _doubt(filled: Typed, loss: Loss, told: str, units: Units) -> tuple[str, str] | None:
    """Why the marks do not tell the loss, and what to do; None where they do."""
    if loss.lost < -loss.sure - _NOISE:
        says = phrase(
            "it stood {more} higher than it was filled: water came in, or a mark is misread",
            more=format_length(-loss.lost, units),
        )
        return says, phrase("read both marks again, else fill it to the mark and let it stand the whole time anew")
    if _NOISE < filled.value <= loss.lost + _NOISE and loss.lost <= loss.dried + loss.sure + _NOISE:
        says = phrase("{told}: no water was left, and how much more would have gone no mark tells", told=told)
        return says, phrase("fill it again, and check it while water stands")
    return None


def _of_marks(filled: Typed, loss: Loss, ground: tuple[Job, Rules, str]) -> FloodLog:
    job, rules, source = ground
    units = job.units
    told = phrase(
        "{lost} of {filled} lost in {hours} h",
        lost=format_length(loss.lost, units),
        filled=format_length(filled.value, units),
        hours=f"{loss.hours:g}",
    )

    def log(verdict: Verdict, says: str, remedy: str, entry: str) -> FloodLog:
        return FloodLog(verdict, says, remedy, source, f"flood_test.{entry}", loss)

    doubt = _doubt(filled, loss, told, units)
    if doubt:
        return log(Verdict.WATCH, *doubt, "left")
    if loss.lost > loss.dried + loss.sure + _NOISE:
        says = phrase(
            "{told}, more than the {dried} that may have dried and a mark's step",
            told=told,
            dried=format_length(loss.dried, units),
        )
        return log(Verdict.FAIL, says, _FIND, "left")
    if filled.value < rules.pan_test_depth.value - _NOISE:
        wanted = length_over(rules.pan_test_depth.value, units)
        says = phrase("{told}, but it was not filled to {wanted}", told=told, wanted=wanted)
        return log(Verdict.WATCH, says, phrase("fill to {wanted}", wanted=wanted), "filled")
    if loss.hours < rules.flood_time_least.value - _NOISE:
        least = f"{rules.flood_time_least.value:g}"
        says = (
            phrase("{told}, short of {least} h", told=told, least=least)
            if loss.hours < rules.pan_test_time.value - _NOISE
            else phrase(
                "{told}: long enough for the code's own {code}, but short of {least} h",
                told=told,
                code=time_words(rules.pan_test_time.value),
                least=least,
            )
        )
        return log(Verdict.WATCH, says, phrase("let it stand to {least} h", least=least), "hours")
    if loss.lost > loss.sure + _NOISE and job.flood_test.bucket is None:
        says = phrase("{told}: as much may have dried, but nothing shows that it did", told=told)
        remedy = phrase("set an open bucket beside it and let both stand a day more")
        return log(Verdict.WATCH, says, remedy, "bucket")
    says = phrase("{told}, no more than dried", told=told)
    return log(Verdict.PASS, says, phrase("drain it, and go on"), "left")


_FIND = phrase("drain it, find the leak, mend the lining, and test again from the start; do not tile")
