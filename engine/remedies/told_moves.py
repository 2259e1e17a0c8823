"""The nearest place of a drain that clears a finding: each bed that is planned rules others out."""

from collections.abc import Container, Iterable
from dataclasses import replace
from typing import NamedTuple

import numpy as np
import shapely

from ..bed.depth import Depth
from ..bed.drains import heads
from ..job.model import BedShape
from ..limits.findings import Finding, Level
from ..phrases import phrase
from ..plan import Plan
from ..survey.rough_floor import RoughFloor
from ..survey.spot import Needs
from ..types import Array
from .drain_height import outs_of_depth
from .even_bounds import EvenBounds
from .level_bounds import LevelBounds
from .moved_words import Moves, Share, Standing, clear_on_floor, many_sides, moves
from .nearest import BESIDE
from .parted_moves import Parting
from .places import standings
from .remedy import Change, Idea, Ideas, Remedy
from .sought import clean_moves
from .trials import FALLS, NOISE, Trials

_ON_RIM = 1 + 1e-6  # of the way to a flange's rim: no farther off is on it
_SPOILED = 12  # places that bring a stop: no formula tells of others
_EFFORT, _LOOK = 400.0, 5.0  # [-] for beds that formulas tell of; to find the next place


class Held(NamedTuple):
    """What level walls are held to, None with an even fall; marks: entries this takes too."""

    own: Parting | None
    marks: Change = ()


def told_moves(trials: Trials, finding: Finding, stands: Iterable[Standing], held: Held, why: str) -> Ideas:
    """The shortest moves of any drain that clear a finding, and why they serve."""
    told = _all_told(trials, finding, stands, held.own)
    if not told:
        return
    if idea := _nearest_clean(trials, finding, told, held, why):
        yield idea
        return
    ways = [each.moves for each in told]
    if any(len(each.found.pairs) or each.found.left for each in ways):
        yield from clean_moves(trials, finding, ways, why, held.marks)
    elif not held.marks:
        is_laid = not all(drain.at for drain in trials.job.drains)
        trials.untried["at"] = phrase(
            "another place of a drain alone, channels as they lie: there is none that clears this and brings no stop"
            if is_laid
            else "another place of a drain alone: there is none that clears this and brings no stop"
        )


def _nearest_clean(trials: Trials, finding: Finding, told: list["_Told"], held: Held, why: str) -> Idea | None:
    """The nearest move that does; None without one, or where no formula tells of nearer places.

    Each planned in vain rules out others: all where an even fall breaks a limit anywhere.
    """
    search, spoiled = trials.aside(_EFFORT), 0
    while told and not search.is_over and spoiled <= _SPOILED and (nearest := _nearest(told)):
        idea = nearest.moves.idea(trials, nearest.moves.found.pairs[0], why)
        idea = idea._replace(change=(*idea.change, *held.marks))
        search.left -= _LOOK * many_sides(nearest.stands.floor)
        deep, after, remedy = _tried(search, finding, idea)
        if remedy is not None and not remedy.brings:
            return idea if min(each.moves.found.clear for each in told) >= nearest.far else None
        if remedy is not None and held.own is None and {*FALLS} & {*remedy.brings}:
            told.clear()
        if search.is_spent or not told:
            return None
        spoiled += remedy is not None
        nearest.rule_out(deep, after, remedy.brings if remedy else ())
    return None


def _tried(search: Trials, finding: Finding, idea: Idea) -> tuple[Depth | Needs | None, Plan | None, Remedy | None]:
    deep = search.depth(idea.change)
    if not deep or max(outs_of_depth(search, finding, deep)) > NOISE:
        return deep, None, None
    search.weigh(deep)
    remedy = search.tried(finding, idea)
    return deep, search.planned(idea.change), remedy


def ways_told(trials: Trials, finding: Finding, own: Parting) -> list[Moves]:
    """Each drain's shortest moves to where level walls are so held, as far as formulas tell."""
    return [each.moves for each in _all_told(trials, finding, standings(trials), own)]


def _all_told(trials: Trials, finding: Finding, stands: Iterable[Standing], own: Parting | None) -> list["_Told"]:
    """First the drain a finding is about, then others as far as the nearest place."""
    stands = list(stands)
    home = next((each.flange.centre for each in stands if each.number in finding.drains), np.zeros(2))
    told, within, known = list[_Told](), np.inf, trials.known if own is None else own.known
    kept = known.left / 2
    known.left -= kept
    for each in sorted(stands, key=lambda each: float(np.hypot(*(each.flange.centre - home)))):
        told.append(_Told(trials, finding, each, own, Share(within, 0.5 ** (2 + len(told)))))
        within = min(within, told[-1].far)
    known.left = max(known.left, 0.0) + kept
    return told


def _nearest(told: list["_Told"]) -> "_Told | None":
    while True:
        nearest = min(told, key=lambda each: each.far)
        short = [each for each in told if each.share.within < nearest.far]
        if not short:
            return nearest if nearest.far < np.inf else None
        short[0].look(nearest.far)


class _Told:
    """A drain's places that neither a formula nor a planned bed rules out."""

    def __init__(self, trials: Trials, finding: Finding, stands: Standing, own: Parting | None, share: Share) -> None:
        self.stands, self.share, self._trials, self._finding = stands, share, trials, finding
        is_open = all(drain.drop is None for drain in trials.job.drains)
        self._bounds: EvenBounds | LevelBounds
        if own is None:
            self._bounds = EvenBounds(stands, is_open=is_open, is_plane=trials.job.bed.shape is BedShape.PLANE)
        else:
            self._bounds = LevelBounds(own, stands.number, is_open=is_open)
        self._tried, self._rims, self._is_open = shapely.MultiPoint(), list[_Rim](), is_open
        self._is_out, self._heads = False, heads(trials.job)
        stops = (found for found in trials.plan.findings if found.rule == "drain-proud" and found is not finding)
        self._stood = [i for found in stops if found.level is Level.STOP for i in found.drains]
        self.learn(stands.flange.centre, trials.plan.depth)
        self._learn_stops(stands.flange.centre, trials.plan, ())
        self.moves = self._moves()

    @property
    def far(self) -> float:
        return float(self.moves.found.far.min(initial=np.inf))

    def look(self, within: float) -> None:
        self.share = self.share._replace(within=within, before=self.moves.found)
        self.moves = self._moves()

    def rule_out(self, deep: Depth | Needs | None, after: Plan | None, brings: Container[str]) -> None:
        spot = self.moves.form.lattice.spots(self.moves.found.pairs[:1])[0]
        self.learn(spot, deep)
        if after is not None:
            self._learn_stops(spot, after, brings)
        self.look(self.share.within)

    def _learn_stops(self, spot: Array, after: Plan, brings: Container[str]) -> None:
        if isinstance(self._bounds, EvenBounds):
            self._bounds.learn_stops(spot, after, brings, self._stood)

    def _moves(self) -> Moves:
        region = clear_on_floor(self._trials, self.stands, self._trials.others(self.stands.number))
        return replace(moves(self._trials, self.stands, region, self._judge, self.share), learn=self.learn)

    def learn(self, spot: Array, deep: Depth | Needs | None) -> None:
        self._tried = shapely.multipoints([*shapely.get_parts(self._tried), shapely.Point(spot)])
        shapely.prepare(self._tried)
        if deep:
            outs = outs_of_depth(self._trials, self._finding, deep)
            self._bounds.learn(spot, deep, outs)
            if outs[0] > 0 and not self._is_open:
                self._learn_rim(spot, deep, outs[0])

    def _learn_rim(self, spot: Array, deep: Depth, out: float) -> None:
        """Takes in where a bed is too thin on a flange as high as it: on a still one wherever this one is."""
        worst, flanges = np.array([deep.least.x, deep.least.y]), self._trials.flanges
        height = float(deep.gap.bed.height(worst[None])[0])
        for i, flange in enumerate(flanges or ()):
            offset = worst - (spot if i == self.stands.number else flange.centre)
            if flange.stretch(flange.centre + offset[None])[0] > _ON_RIM or height < self._heads[i] - BESIDE:
                continue  # off it, or lower for another drain
            if i != self.stands.number:
                self._is_out = True
            elif not any(np.abs(offset - rim.offset).max() < BESIDE for rim in self._rims):
                self._rims.append(_Rim.of(offset, out, deep.gap.rough, spot))

    def _judge(self, spots: Array, slack: Array) -> tuple[Array, Array]:
        over, other = np.full(len(spots), np.inf), np.full(len(spots), np.inf)
        room = self._trials.step / 2 - slack
        is_new = (room <= 0) | ~shapely.dwithin(self._tried, shapely.points(spots), np.maximum(room, 0.0))
        rows = np.flatnonzero(is_new & (not self._is_out))
        over[rows], other[rows] = self._bounds.judged(spots[rows], slack[rows])
        if self._rims:
            rows = np.flatnonzero(np.minimum(over, other) <= BESIDE)
            out = np.max([rim.out(spots[rows], slack[rows]) for rim in self._rims], axis=0)
            over[rows], other[rows] = np.maximum(over[rows], out), np.maximum(other[rows], out)
        return over, other


class _Rim(NamedTuple):
    """A place on a flange, so far off its middle (2,): any bed is as high as the flange there.

    rough: the floor under it, at most so steep [-]; allowed: its most height there [mm].
    """

    offset: Array
    rough: RoughFloor
    steepest: float
    allowed: float

    @staticmethod
    def of(offset: Array, out: float, rough: RoughFloor, spot: Array) -> "_Rim":
        """That at which a bed is out by so much [mm] with the drain at a spot (2,)."""
        steepest = float(np.hypot(*rough.slopes_near(spot, np.inf).T).max())
        return _Rim(offset, rough, steepest, float(rough.height((spot + offset)[None])[0]) - out)

    def out(self, spots: Array, slack: Array) -> Array:
        """How far out it is at least with the drain within a slack (k,) [mm] of spots (k, 2)."""
        return np.asarray(self.rough.height(spots + self.offset) - self.allowed - self.steepest * slack)
