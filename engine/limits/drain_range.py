"""Which heights the drains may stand at: what decides the lowest and the highest, and where."""

from collections.abc import Iterator
from enum import StrEnum

from ..phrases import joined, phrase
from ..records import record
from ..survey.spot import Needs, Spot
from .checks.case import NOISE, Case
from .checks.curb import curb_rises
from .rulebook import Figure, Limit
from .words import length_over, length_under


class Decides(StrEnum):
    """What stops the drains from standing lower or higher."""

    LEAST_DEPTH = "least-depth"
    MOST_DEPTH = "most-depth"
    CURB = "curb"


@record
class Bound:
    """One end of the range: how much higher than planned all drains stand there [mm], below 0 lower.

    drop, above_rough: the first flange's top then, under the line, if any, and over the rough floor [mm]; spot: where
    the depth decides.
    """

    by: Decides
    limit: Limit
    height: float
    drop: float | None
    above_rough: float
    spot: Spot | None = None


@record
class DrainRange:
    """The lowest and the highest that the drains may stand; None for an end that nothing decides."""

    lowest: Bound | None
    highest: Bound | None

    @property
    def is_empty(self) -> bool:
        """Whether no height meets both ends."""
        return self.lowest is not None and self.highest is not None and self.lowest.height > self.highest.height + NOISE


def drain_range(case: Case) -> DrainRange | None:
    """The heights that keep the least depth, the most depth and the curb; None before the bed has a depth.

    The whole bed goes with the drains, so each end is a limit less a figure: a closed form.
    """
    depth, drains = case.stages.depth, case.stages.drains
    if isinstance(depth, Needs) or isinstance(drains, Needs):
        return None
    least, first = case.depth_limits.least, drains[0]

    def bound(by: Decides, limit: Limit, height: float, spot: Spot | None = None) -> Bound:
        drop = None if first.drop is None else first.drop - height
        return Bound(by, limit, height, drop, first.above_rough + height, spot)

    lowest = None
    if least is not None:
        lowest = bound(Decides.LEAST_DEPTH, least, least.value - depth.least.value, depth.least)
    ends = []
    if (most := case.depth_limits.most) is not None:
        ends.append(bound(Decides.MOST_DEPTH, most, most.value - depth.most.value, depth.most))
    rises, curb = curb_rises(case), case.book.find(Figure.CURB_LEAST)
    if rises is not None and curb is not None:
        ends.append(bound(Decides.CURB, curb, rises[0] - curb.value))
    return DrainRange(lowest, min(ends, key=lambda end: end.height) if ends else None)


def range_words(case: Case, found: DrainRange) -> Iterator[tuple[str, str]]:
    """A name and a sentence for each end: the height, what decides it, and where."""
    if found.lowest is not None:
        yield phrase("Lowest it may stand"), _end_words(case, found.lowest)
    if found.highest is not None:
        yield phrase("Highest it may stand"), _end_words(case, found.highest)
    if found.is_empty and found.lowest is not None and found.highest is not None:
        apart = case.over(found.lowest.height - found.highest.height)
        yield (phrase("So"), phrase("no height meets both limits: they miss each other by {apart}", apart=apart))


def _end_words(case: Case, end: Bound) -> str:
    is_low = end.by is Decides.LEAST_DEPTH
    over, line = (length_over, length_under) if is_low else (length_under, length_over)
    above = (
        phrase("{above} above the rough floor there", above=over(end.above_rough, case.units))
        if end.above_rough >= 0
        else phrase("{below} below the rough floor there", below=case.length(-end.above_rough))
    )
    reading = "" if end.drop is None else phrase(", line reading {line}", line=line(end.drop, case.units))
    return phrase("{above}{reading}, decided by {why}", above=above, reading=reading, why=_why(case, end))


def _why(case: Case, end: Bound) -> str:
    limit = case.limit(end.limit)
    if end.by is Decides.CURB:
        return phrase("the curb, which must stand {limit} over the finished drain", limit=limit)
    return phrase(
        "the least depth of {limit}{at}" if end.by is Decides.LEAST_DEPTH else "the most depth of {limit}{at}",
        limit=limit,
        at="" if end.spot is None else joined(", ", ("", case.at(end.spot))),
    )
