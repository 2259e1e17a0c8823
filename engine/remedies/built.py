"""The finished bed mended: its readings as they are after shaving and filling."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from ..limits.findings import Finding
from ..phrases import phrase
from ..quantities import round_down
from ..survey.place_words import place_words
from ..survey.spot import Needs
from .remedy import Ideas
from .trials import Trials
from .worked_bed import Work, idea_of, to_nearest, work_at

if TYPE_CHECKING:
    from ..proof.as_built import AsBuilt
    from ..proof.mend import Mend
    from .within import Limited

_MOST_MENDS = 4  # places mended for one finding; more are the whole mend list
_MOST_LEFT_OUT = 12  # tries to do with a place less


def mend_least(trials: Trials, finding: Finding) -> Ideas:
    """The finished bed worked by as little as it takes, at as few places; where falls are out within their limits."""
    built = _built(trials, finding)
    if built is None:
        return
    from .least_mend import LeastMend

    least = LeastMend(trials, built, finding)
    yield from least.alone()
    if finding.rule != "ponding":
        yield from least.ideas(_limited(trials, built, finding.rule).works())
        yield from least.ideas(_limited(trials, built).works())
    yield from least.ideas(_wholes(trials, finding, built))


def mend(trials: Trials, finding: Finding) -> Ideas:
    """The places nearest to the trouble brought back to the plan, as few as it takes; else the mend list.

    Where falls are out, also those where the bed is hardly off the plan.
    """
    built = _built(trials, finding)
    limited = _limited(trials, built) if built and finding.rule != "ponding" else None
    for whole in _wholes(trials, finding, built) if built else ():
        if built and (limited is None or limited.keeps(finding.rule, whole)):
            work = _with_fewer(trials, finding, built, whole)
            idea = idea_of(trials, built.floor, work)
            yield idea._replace(says=phrase("{says}, as planned", says=idea.says))


def _built(trials: Trials, finding: Finding) -> AsBuilt | None:
    """The finished bed that a finding is about, where more can be tried."""
    built = trials.plan.as_built
    if built is None or isinstance(built, Needs) or finding.x is None or not trials.can_again():
        return None
    return built


def _wholes(trials: Trials, finding: Finding, built: AsBuilt) -> Iterator[list[Work]]:
    """Places brought back to the plan, to the nearest step or the next one over it: the nearest place, two, ... all."""
    x, y = finding.x or 0.0, finding.y or 0.0
    mends = sorted(built.mending.mends, key=lambda one: (round((one.x - x) ** 2 + (one.y - y) ** 2, 6), one.station))
    wholes = [[_to_plan(trials, built, one, rounded) for one in mends] for rounded in (to_nearest, round_down)]
    for count in sorted({*range(1, min(_MOST_MENDS, len(mends)) + 1), len(mends)} - {0}):
        yield from (whole[:count] for whole in wholes)
    if mends and finding.rule != "ponding":
        yield [_to_plan(trials, built, one, to_nearest) for one in [*mends, *_unlisted(built, mends)]]


def _with_fewer(trials: Trials, finding: Finding, built: AsBuilt, work: list[Work]) -> list[Work]:
    """The work without the places that the finding does without."""
    for one in work[:_MOST_LEFT_OUT] if is_clean(trials, finding, built, work) else ():
        rest = [each for each in work if each is not one]
        if rest and is_clean(trials, finding, built, rest):
            work = rest
    return work


def is_clean(trials: Trials, finding: Finding, built: AsBuilt, work: list[Work]) -> bool:
    """Whether work, as planned, clears a finding and brings no stop."""
    remedy = trials.tried(finding, idea_of(trials, built.floor, work))
    return remedy is not None and not remedy.brings


def _unlisted(built: AsBuilt, mends: list[Mend]) -> Iterator[Mend]:
    """The stations that are off the plan by so little that they are not mended."""
    listed = {one.station for one in mends}
    off = zip(built.surface.stations.tolist(), built.surface.errors.tolist(), strict=True)
    for i, ((x, y), error) in enumerate(off):
        if error and i not in listed:
            yield mends[0]._replace(station=i, x=x, y=y, add=-error)


def _limited(trials: Trials, built: AsBuilt, rule: str = "") -> Limited:
    from .within import Limited

    return Limited(trials, built, rule)


def _to_plan(trials: Trials, built: AsBuilt, one: Mend, rounded: Callable[[float, float], float]) -> Work:
    planned = float(built.surface.bed.height(built.surface.stations[[one.station]])[0])
    return work_at(trials, built, one, rounded(built.line - planned, trials.step))


def once_set(trials: Trials, finding: Finding) -> str:
    """What the mud can no longer be given once it is set, and what is done then; "" where nothing is mended."""
    built = trials.plan.as_built
    if built is None or isinstance(built, Needs) or finding.x is None or finding.y is None or not built.mending.mends:
        return ""
    return phrase(
        "mud in a thin layer {place} once the bed is set: it will not hold. Fill a low place then with the tile "
        "mortar or a patch that the membrane's maker allows, rub a high one down wet, or cut the place out square and "
        "pack it anew",
        place=place_words(finding.x, finding.y, built.floor, trials.units),
    )


def never_within(trials: Trials) -> Iterator[str]:
    """Why the finished bed's falls cannot be brought within the limits."""
    built = trials.plan.as_built
    if built is not None and not isinstance(built, Needs):
        yield from filter(None, [_limited(trials, built).ruled_out()])
