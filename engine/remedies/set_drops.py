"""Drains' drops entered: on the step, in words, several no farther from before than they must."""

import math
from bisect import bisect_left
from collections.abc import Callable, Iterator
from functools import reduce
from typing import TypeAlias

from ..job.model import FloorKind, Job
from ..limits.findings import Finding
from ..phrases import phrase
from ..quantities import round_down, round_up
from ..survey.spot import Needs
from .remedy import Change, Idea, Ideas, Remedy, changed
from .trials import NOISE, Trials

_EFFORT = 300.0  # [-] to take one set of drains back

_Drops: TypeAlias = dict[int, float]  # what the line reads on drains [mm], by their numbers
_Keeps: TypeAlias = Callable[[Trials, Change], bool]


def drops(trials: Trials) -> _Drops:
    """What the line reads on drains [mm], entered or planned; none where one has none."""
    drains = trials.plan.drains
    found = [] if isinstance(drains, Needs) else [drain.drop for drain in drains]
    return {i: drop for i, drop in enumerate(found) if drop is not None}


def set_drop(trials: Trials, drop: float, up: float) -> float:
    """What the line reads on a drain set so much higher [mm], rounded away from before."""
    return (round_down if up > 0 else round_up)(drop - up, trials.step)


def moved(trials: Trials, up: float) -> Ideas:
    """All drains moved by `up` [mm], rounded to a step away from where they are; open ones follow."""
    if math.isfinite(up) and not _is_into_wood(trials, up):
        was = _entered(trials.job) or drops(trials)
        new = {i: set_drop(trials, drop, up) for i, drop in was.items()}
        yield from _set(trials, was, new, up)


def eased(trials: Trials, finding: Finding, up: float, keeps: _Keeps | None = None) -> Ideas:
    """All drains moved so, each by as many steps less as clear a finding without a stop; then all alike.

    keeps: whether a change does what else is asked.
    """
    for whole in moved(trials, up):
        if len(whole.change) > 1:
            yield from _Easing(trials, finding, keeps).eased(whole)
        yield whole


def eased_with(trials: Trials, finding: Finding, idea: Idea, also: Change) -> Ideas:
    """Drains set along with another change that clears a finding with them, as far back as can be."""
    is_own = not any(key.startswith("drains") for key, _ in also)
    if is_own and {*map(_key, _entered(trials.job))} >= {key for key, _ in idea.change}:
        yield from _Easing(trials, finding, None, also).eased(idea)


def one_moved(trials: Trials, number: int, up: float) -> Ideas:
    """One drain moved so by itself: open ones stay where they are planned."""
    drains = trials.job.drains
    was = {i: drop for i, drop in drops(trials).items() if i == number or drains[i].drop is None}
    new = {i: set_drop(trials, drop, up) if i == number else round_down(drop, trials.step) for i, drop in was.items()}
    yield from _set(trials, was, new, up, phrase("drain {number}", number=number + 1))


def _is_into_wood(trials: Trials, up: float) -> bool:
    depth = trials.plan.depth
    is_wood = trials.job.floor.kind is FloorKind.WOOD
    return is_wood and not isinstance(depth, Needs) and depth.least.value > 0 > depth.least.value + up


def _entered(job: Job) -> _Drops:
    return {i: drain.drop.value for i, drain in enumerate(job.drains) if drain.drop is not None}


def _key(number: int) -> str:
    return f"drains[{number}].drop"


def _set(trials: Trials, was: _Drops, new: _Drops, up: float, name: str = "") -> Ideas:
    """Drops [mm] entered, higher or lower than before; name: of which drains, if not one by one."""
    if min(new.values(), default=0.0) <= 0:
        return
    bys, texts = [abs(new[i] - was[i]) for i in new], [*map(trials.text, new.values())]
    by, reading = max(bys), phrase("line readings {drops}", drops=", ".join(texts))
    told = trials.text(round_up(by, trials.step / 2))
    parts = {
        "drains": name or _named(trials, new),
        "by": told if name or by - min(bys) < NOISE else phrase("up to {depth}", depth=told),
        "reading": phrase("line reading {drop}", drop=texts[0]) if len(texts) == 1 else reading,
    }
    yield Idea(
        phrase("raise {drains} by {by}: {reading}" if up > 0 else "lower {drains} by {by}: {reading}", **parts),
        tuple((_key(i), text) for i, text in zip(new, texts, strict=True)),
        by,
    )


def _named(trials: Trials, new: _Drops) -> str:
    """Which drains are moved: open ones go with the first that has a drop."""
    entered, count = _entered(trials.job), len(trials.job.drains)
    along = set(range(count)) - set(entered) if min(entered, default=-1) in new else ()
    moved = sorted({*new, *along})
    if len(moved) == count:
        return phrase("the drain" if count == 1 else "every drain")
    if len(moved) == 1:
        return phrase("drain {number}", number=moved[0] + 1)
    return phrase("drains {numbers}", numbers=", ".join(str(i + 1) for i in moved))


class _Easing:
    """Drains moved together taken back, one by one, until none can be a step less."""

    def __init__(self, trials: Trials, finding: Finding, keeps: _Keeps | None, also: Change = ()) -> None:
        self._trials, self._aside = trials, trials.aside(_EFFORT)
        self._finding, self._keeps, self._also = finding, keeps, also
        self._was = _entered(trials.job) or drops(trials)
        self._up, self._brings = 0.0, set[str]()

    def eased(self, whole: Idea) -> Ideas:
        """The idea with each drain so far back; none if it still brings a stop, or else only with fewer."""
        remedy = self._tried(whole)
        if remedy is None:
            return
        entered, asked = _entered(changed(self._trials.job, whole.change)), dict(whole.change)
        new = {i: drop for i, drop in entered.items() if _key(i) in asked}
        self._up, self._brings = max((self._was[i] - drop for i, drop in new.items()), key=abs), {*remedy.brings}
        count, before = len(new) * bool(remedy.brings), _Drops()
        while new != before:
            before, new = new, reduce(self._back, new, new)
        self._trials.is_open |= self._aside.is_spent
        for idea in () if self._brings or len(new) < count else self._told(new):
            less = phrase("{change}; a smaller change may do", change=idea.says)
            yield idea._replace(says=less) if self._aside.is_spent else idea

    def _back(self, new: _Drops, i: int) -> _Drops:
        ways = [new, *self._ways(new, i)]
        if len(ways) == 1 or not self._does(ways[1]):
            return new
        return ways[1 + bisect_left(ways[2:], True, key=lambda way: not self._does(way))]

    def _ways(self, new: _Drops, i: int) -> Iterator[_Drops]:
        """The drops with one drain's ever nearer to what it was, at last as entered."""
        step, is_entered = self._trials.step, self._trials.job.drains[i].drop is not None
        left = self._was[i] - new[i]
        for count in range(1, int((round_up if is_entered else round_down)(abs(left), step) / step + 0.5) + 1):
            to = new[i] + math.copysign(count * step, left)
            is_back = is_entered and count * step > abs(left) - NOISE
            yield {k: to if k == i else drop for k, drop in new.items() if k != i or not is_back}

    def _does(self, new: _Drops) -> bool:
        remedy = next(map(self._tried, self._told(new)), None)
        if remedy is None or not self._brings >= {*remedy.brings}:
            return False
        self._brings = {*remedy.brings}
        return True

    def _tried(self, idea: Idea) -> Remedy | None:
        if self._keeps and not self._keeps(self._aside, idea.change):
            return None
        return self._aside.tried(self._finding, idea._replace(change=(*idea.change, *self._also)))

    def _told(self, new: _Drops) -> Ideas:
        return _set(self._trials, self._was, new, self._up)
