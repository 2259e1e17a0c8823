"""A change is planned once, and judged by what it clears and what it brings."""

from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import cached_property
from math import inf
from typing import TypeVar

import numpy as np

from ..bed.depth import Depth
from ..bed.drains import flanges
from ..bed.effort import effort
from ..bed.even_fall import EvenFall
from ..bed.flange import Flange
from ..bed.level_walls import LevelWalls
from ..bed.parted_walls import PartedWalls
from ..bed.parts import MOST_CUT
from ..bed.surfaces import Bed, NoBed, beds_of, valley_parts
from ..errors import JobError
from ..job.model import BedShape, FloorKind, Job
from ..limits.checks.case import Case, is_above
from ..limits.findings import Finding, Level
from ..phrases import phrase
from ..plan import Plan, bed_of, depth_of, plan
from ..quantities import FOOT, INCH, Units, format_length, round_nearest
from ..survey.outline import FloorOutline, outline
from ..survey.spot import Needs
from ..types import Shape
from .matched import apart, as_numbered, is_about, stands
from .parted_moves import Known
from .remedy import Change, Idea, Remedy, Superseded, changed, is_floor_work

LENGTH_STEP = {Units.INCH: INCH / 16, Units.MM: 1.0}  # [mm] as fine as one builds by
FALL_STEP = {Units.INCH: INCH / 100 / FOOT, Units.MM: 5e-4}  # [-] 0.01 in/ft, 0.05 %
NOISE = 1e-6  # [mm] float noise that breaks no limit
_MOST, _KEPT = 1000, 200  # changes planned for a plan; a longer look keeps the last
_LIGHT = 5.0  # [-] no plan takes less
_EFFORT = 1600.0  # [-] of all: about as many milliseconds
_HEAVY = 120.0  # [-] of a job n times as heavy n times less is tried aside
_SECOND = 6.0  # times less is tried aside for the second of two changes
_HEAVIEST = 2500.0  # [-] of a job so heavy that nothing is tried
_PARTED, _VALLEYS = 0.5, 12.0  # of that; for each part with valleys [-]
_BED, _DEPTH = 0.6, 0.2  # of a plan's effort: into its bed, into the bed's depth
_BENT = 2.0  # into that of an even fall round corners
_MESHED = 0.03  # of a plan more for each node of a finished bed's mesh with other valleys
_SUNK = 400.0  # [-] of a plan more, to weigh mud partly under the rough floor
_SEARCH = 1000.0  # [-] of all searches for places, of many drains twice

TOO_LONG = phrase("more changes: a job of this size takes too long for each to be tried")
_Made = TypeVar("_Made")
DEPTHS = ("bed-thin", "bed-thick", "bed-below-floor")
FALLS = ("fall-low", "fall-steep")
_CURBS = ("curb-low", "curb-high")
_WORSE = 0.1  # of a fall: less comes with many changes; no floor is laid anew for it
_NEAR = 100.0  # [mm] what a change moves no farther is no other finding


def _grave(findings: Iterable[Finding], level: Level) -> list[Finding]:
    return [
        found
        for found in findings
        if found.level is Level.STOP
        or (level is not Level.STOP and found.level is Level.CAUTION and found.rule in DEPTHS)
    ]


def _most_fall(bed: Bed | NoBed, finding: Finding) -> float:
    if not bed:
        return inf
    beds = beds_of(bed)
    return beds[min((finding.drains or (0,))[0], len(beds) - 1)].most_fall


def _effort(job: Job, floor: FloorOutline | Needs, bed: object) -> float:
    """That of a job with such a bed: parts, where no cuts are tried, take little."""
    if not floor:
        return 0.0
    if not isinstance(bed, PartedWalls) or len(job.drains) <= MOST_CUT:
        return effort(job, floor)
    hidden = sum(not isinstance(part, LevelWalls) for part in bed.beds)
    return _PARTED * effort(job, floor, is_parted=True) + _VALLEYS * hidden


class Trials:
    """A plan and the plans of its job as changed."""

    def __init__(
        self,
        base: Plan,
        is_wanted: Callable[[], bool] | None = None,
        left: float | None = None,
        search: float = _SEARCH,
    ) -> None:
        self.plan = base
        self._own = _effort(base.job, base.outline, base.bed)
        self._share = max(0.0, 1.0 - self._own / (_HEAVIEST * self.plan.patience))
        self.left, self._search = _EFFORT * self._share * self.plan.patience if left is None else left, search
        self.whole, self._is_wanted = self.left, is_wanted
        self._planned: dict[Change, Plan | None] = {}
        self._beds: dict[Change, Bed | NoBed | None] = {}
        self._depths: dict[Change, Depth | Needs | None] = {}
        self._after: dict[Change, Trials] = {}
        self.looked_for: dict[str, tuple[Idea, ...]] = {}  # ideas that are the same at every finding
        self.known = Known()
        self.known.left *= self.plan.patience
        self.is_spent = False  # before all is tried
        self.untried: dict[str, str] = {}  # what a search left, in words, by what it changes
        self.before: tuple[Change, ...] = ()  # what a shorter look told of that finding
        self.is_open = False  # a longer look may find a smaller change for this finding

    @property
    def job(self) -> Job:
        """The job as it is."""
        return self.plan.job

    @property
    def units(self) -> Units:
        """Those that remedies speak in."""
        return self.plan.units

    @property
    def has_level_walls(self) -> bool:
        """Whether the bed's walls are level."""
        return self.job.bed.shape is BedShape.LEVEL_WALLS

    @property
    def step(self) -> float:
        """What lengths are rounded to [mm]."""
        return LENGTH_STEP[self.units]

    def text(self, mm: float) -> str:
        """A length [mm] as the job file writes it."""
        return format_length(mm, self.units)

    def nearest(self, mm: float) -> str:
        """The nearest length on the step [mm], as the job file writes it."""
        return self.text(round_nearest(mm, self.step))

    @cached_property
    def case(self) -> Case:
        """What the checks looked at."""
        return self.plan.case

    @cached_property
    def flanges(self) -> tuple[Flange, ...] | Needs:
        """The drains' flanges in plan, known before the rough floor and the bed are."""
        floor = self.plan.outline
        return floor if isinstance(floor, Needs) else flanges(self.job, floor)

    def others(self, number: int) -> tuple[Shape, ...]:
        """The flanges of all drains but that one."""
        flanges = self.flanges or ()
        return tuple(flange.polygon for i, flange in enumerate(flanges) if i != number)

    @property
    def is_steep(self) -> bool:
        """Whether the bed is too steep somewhere."""
        return any(found.rule == "fall-steep" for found in self.plan.findings)

    @property
    def no_own_height(self) -> Change:
        """What leaves out a wall height of the user's own."""
        return () if self.job.bed.wall_height is None else (("bed.wall_height", ""),)

    def go_on(self) -> None:
        """Raises Superseded once remedies are no longer wanted: asked before each long step."""
        if self._is_wanted is not None and not self._is_wanted():
            raise Superseded

    def planned(self, change: Change) -> Plan | None:
        """The plan of the changed job; None where it cannot be made, or is too heavy for one more trial.

        Raises Superseded when the remedies are no longer wanted.
        """
        done = _BED * (change in self._beds) + _DEPTH * (change in self._depths)
        return self._made(change, plan, self._planned, 1.0 - done)

    def depth(self, change: Change) -> Depth | Needs | None:
        """The depth of the changed job's bed, once made; None, and raises, as `planned`."""
        self._made(change, bed_of, self._beds, _BED)
        is_bent = isinstance(self.plan.bed, EvenFall) and not self.plan.bed.reach.floor.is_convex
        return self._made(change, depth_of, self._depths, _BENT if is_bent else _DEPTH)

    def _made(
        self, change: Change, make: Callable[[Job], _Made], made: dict[Change, _Made | None], part: float
    ) -> _Made | None:
        self.go_on()
        if change not in made:
            try:
                job = changed(self.job, change)
                weighed, floor = job if make is plan else replace(job, as_built=()), outline(job)
                if not self._takes(needed := part * _effort(weighed, floor, self.plan.bed)):
                    return None
                made[change] = found = make(job)
                bed = found.bed if isinstance(found, Plan) else found
                if isinstance(bed, PartedWalls):
                    self.left += needed - part * _effort(weighed, floor, bed)
                self.left -= _MESHED * self._other_nodes(found) if isinstance(found, Plan) else 0.0
                if len(made) > (_MOST if self.plan.patience == 1 else _KEPT):
                    del made[next(iter(made))]
            except JobError:
                made[change] = None
        return made[change]

    def _other_nodes(self, after: Plan) -> int:
        now, before = after.as_built, self.plan.as_built
        if not now or not valley_parts(now.surface.bed):
            return 0
        own = before.surface.mesh.nodes if before else ()
        return 0 if np.array_equal(now.surface.mesh.nodes, own) else len(now.surface.mesh.nodes)

    def _takes(self, needed: float) -> bool:
        if len(self._planned) >= _MOST * self.plan.patience or needed > self.left:
            self.is_spent = True
            return False
        self.left -= needed
        return True

    def weigh(self, deep: Depth) -> None:
        """Takes the cost of a bed partly under a rough floor: its mud has to be weighed."""
        floor = self.job.floor
        is_weighed = floor.kind is FloorKind.WOOD or floor.dead_load_allowance is not None
        self.left -= _SUNK * (is_weighed and deep.least.value < -NOISE)

    def can_again(self) -> bool:
        """Whether a job as heavy can still be tried; if not, notes it."""
        self.is_spent |= self._own > self.left
        return self._own <= self.left

    def leave(self, what: str, says: str) -> None:
        """Tells in words that a search of an entry's values ended too soon."""
        self.untried[what], self.is_open = says, True

    @property
    def is_over(self) -> bool:
        """Whether nothing more can be tried."""
        return self.left < _LIGHT or len(self._planned) >= _MOST * self.plan.patience

    def after(self, change: Change) -> "Trials | None":
        """The trials of the job with a change made; None where that cannot be."""
        planned = self.planned(change)
        if planned is not None and change not in self._after:
            planned = replace(planned, patience=self.plan.patience)
            self._after[change] = after = Trials(planned, self._is_wanted, self.left, 0.0)
            self.known.left /= 2
            after.known.left, after._share = self.known.left, after._share / _SECOND
        return self._after.get(change)

    def searching(self) -> "Trials":
        """Trials of the same plan for one search, with half the effort left for all."""
        self._search /= 2
        return self.aside(self._search * (1 + (len(self.job.drains) > MOST_CUT)))

    def searched(self, search: "Trials") -> None:
        """Takes back the effort that the last search left."""
        self._search *= 1.0 + max(search.left / max(search.whole, 1.0), 0.0)

    def aside(self, left: float) -> "Trials":
        """Trials of the same plan with so much effort of their own [-]."""
        heavy = max(1.0, self._own / (_HEAVY * self.plan.patience))
        aside = Trials(self.plan, self._is_wanted, left and left * self.plan.patience * self._share / heavy, 0.0)
        aside._planned, aside._beds, aside._depths = self._planned, self._beds, self._depths
        return aside

    def steepest(self, finding: Finding, change: Change) -> float:
        """How steep the changed bed is in a finding's part [-]; infinite without a bed."""
        bed = None if self.is_spent else self._made(change, bed_of, self._beds, _BED)
        return inf if bed is None else _most_fall(bed, finding)

    def tried(self, finding: Finding, idea: Idea) -> Remedy | None:
        """The idea as a remedy; None if it does not clear the finding, or leaves the plan less far."""
        after = self.planned(idea.change)
        if after is None or len(after.needs) > len(self.plan.needs):
            return None  # a new question for an answered one leaves it as far
        left = as_numbered(after.findings, idea.change)
        if stands(finding, self.plan.findings, left):
            return None
        before, now = self._counts, Counter(found.rule for found in left)
        grave = (found.rule for found in self.plan.findings if found.level is not Level.NOTE)
        were, come = (_grave(findings, finding.level) for findings in (self.plan.findings, left))
        more = Counter(found.rule for found in come) - Counter(found.rule for found in were)
        more.update(found.rule for found in come if self._is_new(found, finding.rule, after))
        new = dict.fromkeys(found.rule for found in left if found.level is Level.CAUTION and not before[found.rule])
        return Remedy(
            says=idea.says,
            change=idea.change,
            figure=idea.figure,
            clears=tuple(
                rule
                for rule in dict.fromkeys((finding.rule, *grave))
                if rule == finding.rule or now[rule] < before[rule]
            ),
            brings=tuple(
                rule
                for rule in dict.fromkeys(found.rule for found in come)
                if more[rule] or self._is_graver(finding, rule, idea.change, after)
            ),
            cautions=tuple(rule for rule in new if rule != "floor-unworked" and not more[rule]),
        )

    def clears(self, finding: Finding, idea: Idea) -> bool:
        """Whether the idea clears the finding without a stop."""
        remedy = self.tried(finding, idea)
        return remedy is not None and not remedy.brings

    def _is_graver(self, finding: Finding, rule: str, change: Change, after: Plan) -> bool:
        """Whether another plan breaks a stop that there was by more, by what the finding is cleared with.

        Depths and curbs by the drain's height, falls by any: the least fall may deepen or steepen a bed.
        """
        if rule in FALLS and finding.rule in {*DEPTHS, "fall-steep", *_CURBS} - {rule}:
            return self._falls_worse(rule, after)
        if rule in DEPTHS and finding.rule in (*DEPTHS, *_CURBS):
            return self._lies_worse(rule, change, after)
        return rule in _CURBS and finding.rule in DEPTHS and self._stands_worse(rule, after)

    def _falls_worse(self, rule: str, after: Plan) -> bool:
        before, now = self.plan.bed, after.bed
        if isinstance(before, NoBed) or isinstance(now, NoBed):
            return False
        if rule == "fall-low":
            return now.least_fall < before.least_fall * (1 - _WORSE)
        return now.most_fall > before.most_fall * (1 + _WORSE)

    def _lies_worse(self, rule: str, change: Change, after: Plan) -> bool:
        """Whether the bed is thinner or thicker; by floor work alone, by more than it is read anew by."""
        before, now = self.plan.depth, after.depth
        if not before or not now:
            return False
        more = NOISE + self.step * is_floor_work(change)
        if rule == "bed-thick":
            return now.most.value > before.most.value + more
        return now.least.value < before.least.value - more

    def _stands_worse(self, rule: str, after: Plan) -> bool:
        before, now = self.plan.drains, after.drains
        if not before or not now or len(before) != len(now):
            return False
        up = [(old.drop or 0.0) - (new.drop or 0.0) for old, new in zip(before, now, strict=True)]
        return min(up) < -NOISE if rule == "curb-high" else max(up) > NOISE

    def _is_new(self, found: Finding, rule: str, after: Plan) -> bool:
        """Whether a stop was not there: of other drains, or, of the rule to be cleared, at another place.

        One about drains was if about just those, but for a part growing too steep by more.
        """
        if found.level is not Level.STOP or (found.x is None and not found.drains):
            return False
        is_same, is_other = found.rule == rule, len(after.job.drains) != len(self.job.drains)
        if is_same and not is_other and self._is_steeper(found, after):
            return True
        is_placed = is_same and found.rule != "floor-small"  # where the largest circle lies says nothing
        near = _NEAR if is_placed and (is_other or not found.drains) else inf
        stops = (old for old in self.plan.findings if old.level is Level.STOP)
        return not any(is_about(found, old) and apart(found, old)[0] <= near for old in stops)

    def _is_steeper(self, found: Finding, after: Plan) -> bool:
        return (found.rule == "fall-steep" and bool(found.drains)) and is_above(
            _most_fall(after.bed, found), _most_fall(self.plan.bed, found)
        )

    @cached_property
    def _counts(self) -> Counter[str]:
        return Counter(finding.rule for finding in self.plan.findings)
