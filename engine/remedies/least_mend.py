"""The finished bed worked by no more than clears a finding."""

import math
from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import cached_property

import numpy as np

from ..limits.findings import Finding
from ..phrases import phrase
from ..proof.as_built import AsBuilt
from ..proof.mend import Mend
from ..quantities import round_nearest
from .matched import stands
from .remedy import Idea, Ideas
from .trials import NOISE, Trials
from .within import Limited
from .worked_bed import MOST_TOLD, Work, beside, idea_of, planned_drop, work_at, worked

_NODE, _STATION = 4e-4, 0.01  # [-] of effort for each, to see a finished bed after work
_WET = 1e-6  # [mm]
_NOTHING = 1e-9  # [-] of a station: a place does not hang on it


class LeastMend:
    """A finished bed, and what the line reads at its places, by steps, on the way to what it should."""

    def __init__(self, trials: Trials, built: AsBuilt, finding: Finding) -> None:
        self._trials, self.built, self._finding = trials, built, finding
        self._surface, self._step = built.surface, trials.step
        self._limited = None if finding.rule == "ponding" else Limited(trials, built)

    def alone(self) -> Ideas:
        """The place that alone clears a pond by the fewest steps toward the plan, the nearest such."""
        mends = self.around if self._limited is None else []
        drops = [self._toward_plan(one) for one in mends]
        for step in range(max(map(len, drops), default=0)):
            for one, each in zip(mends, drops, strict=True):
                if step < len(each) and self.clears(work := [self._work(one, each[step])]):
                    yield self._idea((work, True))

    def ideas(self, works: Iterable[list[Work]]) -> Ideas:
        """Work of which no place could be left out, or be a step nearer to what was read there.

        By what the finding asks alone; the work's other places follow where that brings a stop.
        """
        for work in works:
            if self.clears(work):
                yield self._idea(self._taken_back(work, self.clears))
                if self.is_clean(work):
                    yield self._idea(self._taken_back(work, self.is_clean))

    def _idea(self, taken_back: tuple[list[Work], bool]) -> Idea:
        work, is_least = taken_back
        idea = idea_of(self._trials, self.built.floor, work, len(work) if self._limited else MOST_TOLD)
        if self._limited and self._limited.is_own:
            says = phrase("{says}; so it keeps the limits, which by the plan itself it does not", says=idea.says)
        else:
            says = phrase("{says}, the least that does", says=idea.says)
        return idea._replace(says=says) if is_least else idea

    @cached_property
    def around(self) -> list[Mend]:
        """The stations, one a place, that the bed hangs on at and round the pond, nearest first."""
        surface, mesh, (heights, level) = self._surface, self._surface.mesh, self._surface.levels
        at = np.array([self._finding.x, self._finding.y])
        deepest = int(np.hypot(*(mesh.nodes - at).T).argmin())
        wet = (level - heights > _WET) & (np.abs(level - level[deepest]) <= _WET)
        nodes = np.unique(mesh.edges[wet[mesh.edges].any(axis=1)])
        hung = np.flatnonzero((surface.shares(mesh.nodes[nodes]) > _NOTHING).any(axis=1))
        hung = hung[np.hypot(*(surface.stations[hung] - at).T).round(6).argsort(kind="stable")]
        rows = zip(hung.tolist(), surface.stations[hung].tolist(), surface.error(surface.stations[hung]), strict=True)
        mends = [Mend(i, x, y, -float(error)) for i, (x, y), error in rows]
        return [one for one in mends if beside(surface, one)[0] == one.station and self._toward_plan(one)]

    def _read(self, one: Mend) -> float:
        return self.built.line - float(self._surface.height(np.array([[one.x, one.y]]))[0])

    def _toward_plan(self, one: Mend) -> list[float]:
        return self._toward(one, round_nearest(planned_drop(self.built, one), self._step))

    def _toward(self, one: Mend, goal: float) -> list[float]:
        read, step = self._read(one) / self._step, self._step
        if goal > read * step:
            first, last = math.floor(read + NOISE) + 1, round(goal / step)
            return [k * step for k in range(first, last + 1)]
        first, last = math.ceil(read - NOISE) - 1, round(goal / step)
        return [k * step for k in range(first, last - 1, -1)]

    def _work(self, one: Mend, drop: float) -> Work:
        return work_at(self._trials, self.built, one._replace(add=self._read(one) - drop), drop)

    def _taken_back(self, work: list[Work], does: Callable[[list[Work]], bool]) -> tuple[list[Work], bool]:
        before: list[Work] = []
        while work != before and not self._trials.is_over:
            before = work
            for one in sorted(before, key=lambda one: -abs(one.mend.add)):
                work = self._with_less(work, one, does)
        return work, work == before

    def with_fewer(self, work: list[Work]) -> list[Work]:
        """The work without the places it needs not, as far as the finished bed tells."""
        for one in work:
            rest = [each for each in work if each is not one]
            work = rest if rest and self.clears(rest) else work
        return work

    def _with_less(self, work: list[Work], one: Work, does: Callable[[list[Work]], bool]) -> list[Work]:
        """The least that does at one place, others as they are: first a step less, then by halves."""
        at = work.index(one)
        if work[1:] and does(rest := [*work[:at], *work[at + 1 :]]):
            return rest
        drops = self._toward(one.mend, one.drop)[:-1]
        low, high, middle, best = 0, len(drops), len(drops) - 1, work
        while low < high:
            less = [*work[:at], one.to(drops[middle], self._trials.text(drops[middle])), *work[at + 1 :]]
            if does(less):
                high, best = middle, less
            else:
                low = middle + 1
            middle = (low + high) // 2
        return best

    def clears(self, work: list[Work]) -> bool:
        """Whether work clears the finding, as far as the finished bed tells, in time."""
        self._trials.left -= _NODE * len(self._surface.mesh.nodes) + _STATION * len(self._surface.stations)
        self._trials.is_spent |= self._trials.is_over
        if self._trials.is_over:
            return False
        if self._limited is not None:
            return self._limited.keeps(self._finding.rule, work)
        ponds = [replace(self._finding, x=x, y=y) for x, y in worked(self._surface, work).pond_places]
        return not stands(self._finding, self._trials.plan.findings, ponds)

    def is_clean(self, work: list[Work]) -> bool:
        """Whether work, planned, clears the finding without a stop."""
        return self._trials.clears(self._finding, idea_of(self._trials, self.built.floor, work))
