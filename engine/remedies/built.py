"""The finished bed mended: its readings after shaving and filling."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from ..limits.findings import Finding
from ..phrases import phrase
from ..quantities import round_down, round_nearest
from ..survey.place_words import place_words
from .remedy import Ideas
from .trials import Trials
from .worked_bed import Work, idea_of, planned_drop, work_at

if TYPE_CHECKING:
    from ..proof.as_built import AsBuilt
    from ..proof.mend import Mend
    from .least_mend import LeastMend
    from .within import Limited

_MOST_MENDS = 4  # places mended for a finding; more are the whole list


def mend_least(trials: Trials, finding: Finding) -> Ideas:
    """The finished bed worked as little as it takes, at as few places; falls that are out brought within limits."""
    if least := _least(trials, finding):
        yield from least.alone()
        if finding.rule != "ponding":
            yield from least.ideas(_limited(trials, least.built, finding.rule).works())
            yield from least.ideas(_limited(trials, least.built).works())
        yield from least.ideas(_wholes(trials, finding, least))


def mend(trials: Trials, finding: Finding) -> Ideas:
    """The nearest places brought back to the plan, as few as it takes; else the mend list.

    Where falls are out, places hardly off the plan too.
    """
    if least := _least(trials, finding):
        for whole in filter(least.clears, _wholes(trials, finding, least)):
            for work in (least.with_fewer(whole), whole):
                idea = idea_of(trials, least.built.floor, work)
                yield idea._replace(says=phrase("{says}, as planned", says=idea.says))


def _least(trials: Trials, finding: Finding) -> LeastMend | None:
    built = trials.plan.as_built
    if not built or finding.x is None or not trials.can_again():
        return None
    from .least_mend import LeastMend

    return LeastMend(trials, built, finding)


def _wholes(trials: Trials, finding: Finding, least: LeastMend) -> Iterator[list[Work]]:
    """Places back on the plan, by the nearest step or the next over it: those a pond hangs on, the nearest, ... all."""
    x, y, built = finding.x or 0.0, finding.y or 0.0, least.built
    mends = sorted(built.mending.mends, key=lambda one: (round((one.x - x) ** 2 + (one.y - y) ** 2, 6), one.station))
    wholes = [[_to_plan(trials, built, one, rounded) for one in mends] for rounded in (round_nearest, round_down)]
    for count in range(1, min(_MOST_MENDS, len(mends)) + 1):
        yield from (whole[:count] for whole in wholes)
    if finding.rule == "ponding":
        yield [_to_plan(trials, built, one, round_nearest) for one in least.around]
    yield from wholes if len(mends) > _MOST_MENDS else ()
    if mends and finding.rule != "ponding":
        yield [_to_plan(trials, built, one, round_nearest) for one in [*mends, *_unlisted(built, mends)]]


def _unlisted(built: AsBuilt, mends: list[Mend]) -> Iterator[Mend]:
    listed = {one.station for one in mends}
    off = zip(built.surface.stations.tolist(), built.surface.errors.tolist(), strict=True)
    for i, ((x, y), error) in enumerate(off):
        if error and i not in listed:
            yield mends[0]._replace(station=i, x=x, y=y, add=-error)


def _limited(trials: Trials, built: AsBuilt, rule: str = "") -> Limited:
    from .within import Limited

    return Limited(trials, built, rule)


def _to_plan(trials: Trials, built: AsBuilt, one: Mend, rounded: Callable[[float, float], float]) -> Work:
    return work_at(trials, built, one, rounded(planned_drop(built, one), trials.step))


def once_set(trials: Trials, finding: Finding) -> str:
    """What mud that has set cannot be given, and what is done then; "" where nothing is mended."""
    built = trials.plan.as_built
    if not built or finding.x is None or finding.y is None or not built.mending.mends:
        return ""
    return phrase(
        "mud in a thin layer {place} once the bed is set: it will not hold. Fill a low place then with the tile "
        "mortar or a patch that the membrane's maker allows, rub a high one down wet, or cut the place out square and "
        "pack it anew",
        place=place_words(finding.x, finding.y, built.floor, trials.units),
    )


def never_within(trials: Trials) -> Iterator[str]:
    """Why the finished bed's falls cannot be brought within limits."""
    built = trials.plan.as_built
    if built:
        yield from filter(None, [_limited(trials, built).ruled_out()])
