"""The fall, or the wall height, that just keeps a depth limit."""

from bisect import bisect_left
from collections.abc import Iterable

import numpy as np

from ..bed.depth import Depth
from ..bed.parted_walls import PartedWalls
from ..figures import GUARD
from ..job.defaults import mark_step
from ..limits.checks.case import is_below, planned_fall
from ..limits.checks.curb import too_high
from ..limits.checks.falls import finer_marks, most_wanted
from ..limits.findings import Finding
from ..limits.rulebook import Figure
from ..phrases import phrase
from ..quantities import format_fall, round_down, round_up
from ..survey.spot import Needs
from .drain_height import keeps_depth
from .remedy import Change, Idea, Ideas
from .trials import FALL_STEP, NOISE, Trials

_EFFORT = 800.0  # [-] to halve the steps
_ROUNDED = 0.8  # times the least fall: less the marks do not round up to enough
_TIMES = 3  # as high: more is left to be planned
_MOST_TIMES = 10  # times as steep: more is no remedy


def set_fall(trials: Trials, finding: Finding, *, is_just: bool = False) -> Ideas:
    """A bed steep enough to be nowhere too thin, gentle enough to be nowhere too thick, or no open edge too high.

    By the next step that does of the fall or the user's own wall height: more never thins a bed.
    """
    drains, is_up = trials.plan.drains, finding.rule in ("bed-thin", "bed-below-floor", "curb-high")
    sunk = trials.case.book.find(Figure.SUNK_MOST) if finding.rule == "floor-sunk" else None
    if isinstance(drains, Needs) or (drains[0].planned and not sunk):
        return  # a height that is planned moves along, and the depth with it
    aside, place = trials.aside(_EFFORT), np.array([[finding.x, finding.y]], dtype=float)

    def does(value: float) -> bool:
        deep = aside.depth(_entry(trials, value))
        if sunk and deep:
            return bool(deep.gap.bed.height(place)[0] <= sunk.value + NOISE)
        if finding.rule == "curb-high":
            return isinstance(deep, Depth) and too_high(trials.case, deep.gap.bed) <= NOISE
        return keeps_depth(trials, finding.rule, deep, is_just=is_just)

    values = _values(trials, 1 if is_up else -1)
    for value in values[bisect_left(values, True, key=does) :][:1]:
        yield _idea(trials, value, aside.depth(_entry(trials, value)), is_up=is_up)


def steeper_to_curb(trials: Trials, finding: Finding) -> Ideas:
    """A bed so steep that the curb is not too high over the floor beside it, if it brings no stop."""
    if trials.case.book.find(Figure.THRESHOLD_MOST):
        yield from _clean(trials, finding, set_fall(trials, finding))


def steeper(trials: Trials, finding: Finding, most: float = np.inf) -> Ideas:
    """The fall raised by as few steps as clear a finding that no more fall brings back, to less than `most`."""
    yield from _least(trials, finding, [_idea(trials, value, None, is_up=True) for value in _values(trials, 1, most)])


def gentler(trials: Trials, finding: Finding) -> Ideas:
    """A fall over the least, or one's own height of level walls, lowered by as few steps as clear a finding.

    Or a fall under the least that marks round up to enough.
    """
    least = 0.0 if _own(trials) else most_wanted(trials.case)[1].value
    values = [value for value in _values(trials, -1) if value >= _ROUNDED * least]
    ideas = [_idea(trials, value, None, is_up=False) for value in values]
    count = sum(not is_below(value, least) for value in values)
    if found := _least(trials, finding, ideas[:count]):
        yield from found
    elif trials.has_level_walls:
        for idea in _clean(trials, finding, _least(trials, finding, ideas[count:])):
            yield idea._replace(says=_rounded_up(idea))


def with_finer_marks(trials: Trials, _: Finding) -> Ideas:
    """Marks just so fine that level walls, rounded up to them, are no higher than allowed."""
    is_free = trials.has_level_walls and trials.job.bed.wall_height is None
    for step in finer_marks(trials.job) if is_free else ():
        marks = trials.text(step)
        says = phrase("set the marks to {marks}: rounded up to them the walls stand less high", marks=marks)
        yield Idea(says, (("bed.mark_step", marks),))


def lower_walls(trials: Trials, finding: Finding) -> Ideas:
    """Level walls to several drains lowered by as few marks as make a steep part gentle, if all fall enough."""
    bed, step = trials.plan.bed, mark_step(trials.job)
    if isinstance(bed, PartedWalls) and _own(trials) is None:
        heights = [trials.text(step * i) for i in range(round(bed.wall_height / step) - 1, 0, -1)]
        ideas = [
            Idea(phrase("lower the walls' height to {height}", height=text), (("bed.wall_height", text),))
            for text in heights
        ]
        yield from _clean(trials, finding, _least(trials, finding, ideas))


def _clean(trials: Trials, finding: Finding, ideas: Iterable[Idea]) -> Ideas:
    return (idea for idea in ideas if trials.clears(finding, idea))


def _least(trials: Trials, finding: Finding, ideas: list[Idea]) -> list[Idea]:
    at = bisect_left(ideas, True, key=lambda idea: trials.tried(finding, idea) is not None)
    return ideas[at : at + 1]


def just_enough(trials: Trials, finding: Finding) -> Ideas:
    """The least walls with enough fall; or a fall under the least, rounded up to the marks."""
    own, least = _own(trials), most_wanted(trials.case)[1].value
    for idea in steeper(trials, finding, _TIMES * own if own else least):
        yield idea if own else idea._replace(says=_rounded_up(idea))


def _rounded_up(idea: Idea) -> str:
    return phrase("{change}, which the marks round up to enough", change=idea.says)


def _values(trials: Trials, way: int, most: float = np.inf) -> list[float]:
    """Falls [-], or wall heights [mm], on their step, from the job's own up, to less than most, or down."""
    own = _own(trials)
    now, step = (planned_fall(trials.case), FALL_STEP[trials.units]) if own is None else (own, mark_step(trials.job))
    first = round_down(now, step) + step if way > 0 else round_up(now, step) - step
    end = int(min(most, _MOST_TIMES * now) / step - GUARD) + 1 if way > 0 else 0
    return [step * i for i in range(round(first / step), end, way)]


def _own(trials: Trials) -> float | None:
    own = trials.job.bed.wall_height
    return own.value if own and trials.has_level_walls else None


def _entry(trials: Trials, value: float) -> Change:
    if _own(trials) is None:
        return (("bed.fall", format_fall(value, trials.units)),)
    return (("bed.wall_height", trials.text(value)),)


def _idea(trials: Trials, value: float, deep: Depth | Needs | None, *, is_up: bool) -> Idea:
    ((_, text),) = change = _entry(trials, value)
    if own := _own(trials):
        says = phrase(
            "raise the walls' height to {height}" if is_up else "lower the walls' height to {height}", height=text
        )
        return Idea(says, change, abs(value - own))
    also = ""
    if trials.has_level_walls and deep:
        also = phrase(", which sets the walls at {height}", height=trials.text(deep.gap.bed.wall_height))
    says = phrase("raise the fall to {fall}{also}" if is_up else "lower the fall to {fall}{also}", fall=text, also=also)
    return Idea(says, change, value)
