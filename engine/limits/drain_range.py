"""Which heights the drains may stand at: what decides the lowest and highest, and where."""

from collections.abc import Callable, Iterator
from enum import StrEnum
from typing import TypeAlias

from ..phrases import joined, phrase
from ..quantities import Units
from ..records import record
from ..survey.spot import Spot
from .checks.case import NOISE, Case
from .checks.curb import curb_rises, threshold_rise
from .rulebook import Figure, Limit
from .words import length_over, length_under


class Decides(StrEnum):
    """What keeps the drains from standing lower or higher."""

    LEAST_DEPTH = "least-depth"
    MOST_DEPTH = "most-depth"
    CURB = "curb"
    CURB_MOST = "curb-most"
    THRESHOLD = "threshold"


Telling: TypeAlias = Callable[[float, Units], str]  # a length, rounded to the safe side


@record
class Bound:
    """An end of the range: how much higher than planned all drains stand there, below 0 lower; all in [mm].

    drop, above_rough: the first flange's top then, under the line, if any, and over the rough floor; spot: where the
    depth decides.
    """

    by: Decides
    limit: Limit
    height: float
    drop: float | None
    above_rough: float
    spot: Spot | None = None


@record
class DrainRange:
    """The lowest and highest that drains may stand; None for an end that nothing decides.

    curb: the highest that the curb allows, whatever decides; None if unknown.
    """

    lowest: Bound | None
    highest: Bound | None
    curb: Bound | None

    @property
    def is_empty(self) -> bool:
        """Whether no height meets both ends."""
        return self.lowest is not None and self.highest is not None and self.lowest.height > self.highest.height + NOISE


def drain_range(case: Case) -> DrainRange | None:
    """The heights that keep least depth, most depth and curb; None before the bed has a depth.

    The whole bed goes with the drains: each end is a limit less a figure.
    """
    depth, drains, bed = case.stages.depth, case.stages.drains, case.stages.bed
    if not depth or not drains or not bed:
        return None
    first, limits, find = drains[0], case.depth_limits, case.book.find
    low, high = curb_rises(case) or (None, None)

    def bound(by: Decides, limit: Limit | None, found: Spot | float | None) -> Iterator[Bound]:
        if limit is None or found is None:
            return
        spot = found if isinstance(found, Spot) else None
        height = limit.value - found.value if isinstance(found, Spot) else found - limit.value
        drop = None if first.drop is None else first.drop - height
        yield Bound(by, limit, height, drop, first.above_rough + height, spot)

    lows = (
        *bound(Decides.LEAST_DEPTH, limits.least, depth.least),
        *bound(Decides.CURB_MOST, find(Figure.CURB_MOST), high),
        *bound(Decides.THRESHOLD, find(Figure.THRESHOLD_MOST), threshold_rise(case, bed)),
    )
    deep = tuple(bound(Decides.MOST_DEPTH, limits.most, depth.most))
    curb = tuple(bound(Decides.CURB, find(Figure.CURB_LEAST), low))
    lowest = max(lows, key=lambda end: end.height, default=None)
    return DrainRange(lowest, min(deep + curb, key=lambda end: end.height, default=None), *(curb or (None,)))


def range_words(case: Case, found: DrainRange) -> Iterator[tuple[str, str]]:
    """A name and a sentence for each end and the curb's: the height, what decides it, and where."""
    if found.lowest is not None:
        yield phrase("Lowest it may stand"), _end_words(case, found.lowest, (length_over, length_under))
    if found.highest is not None:
        yield phrase("Highest it may stand"), _end_words(case, found.highest, (length_under, length_over))
    if found.curb not in (None, found.highest):
        yield phrase("Highest by the curb"), _end_words(case, found.curb, (length_under, length_over))
    if found.is_empty and found.lowest is not None and found.highest is not None:
        apart = case.over(found.lowest.height - found.highest.height)
        yield (phrase("So"), phrase("no height meets both limits: they miss each other by {apart}", apart=apart))


def _end_words(case: Case, end: Bound, rounded: tuple[Telling, Telling]) -> str:
    over, line = rounded
    above = (
        phrase("{above} above the rough floor there", above=over(end.above_rough, case.units))
        if end.above_rough >= 0
        else phrase("{below} below the rough floor there", below=case.length(-end.above_rough))
    )
    return phrase(
        "drain 1 {above}{reading}, the others with it; decided by {why}"
        if len(case.job.drains) > 1
        else "{above}{reading}, decided by {why}",
        above=above,
        reading="" if end.drop is None else phrase(", line reading {line}", line=line(end.drop, case.units)),
        why=_why(case, end),
    )


def _why(case: Case, end: Bound) -> str:
    limit, at = case.limit(end.limit), "" if end.spot is None else joined(", ", ("", case.at(end.spot)))
    return {
        Decides.LEAST_DEPTH: phrase("the least depth of {limit}{at}", limit=limit, at=at),
        Decides.MOST_DEPTH: phrase("the most depth of {limit}{at}", limit=limit, at=at),
        Decides.CURB: phrase("the curb, which must stand {limit} over the finished drain", limit=limit),
        Decides.CURB_MOST: _curb(limit, phrase("the finished drain")),
        Decides.THRESHOLD: _curb(limit, phrase("the finished floor beside it")),
    }[end.by]


def _curb(limit: str, over: str) -> str:
    return phrase("the curb, which may stand at most {limit} over {over}", limit=limit, over=over)
