"""A drain moved to where the bed keeps its depth: each place that is planned rules others out."""

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
import shapely

from ..bed.depth import Depth
from ..bed.even_fall import EvenFall
from ..bed.level_walls import LevelWalls
from ..bed.reach import SharedReach, bends_of
from ..job.defaults import mark_step
from ..job.model import BedShape
from ..limits.findings import Finding, Level
from ..phrases import phrase
from ..survey.spot import Needs
from ..types import Array, Mask, Shape
from .any_parting import AnyParting
from .moved_words import Standing, moves, standing
from .nearest import BESIDE, anywhere
from .parted_moves import SQUARE
from .places import clear_of_others, move_for_falls, parting, standings, untold_moves
from .regions import clear_places
from .remedy import Ideas
from .sought import clean_moves
from .trials import FALLS, NOISE, Trials

_EFFORT, _LOOK = 800.0, 5.0  # [-] for all; to find the next place
_CAP = 3  # of a bed's shortest run: no farther off is told by its slopes
_LEAN = 1.5  # of the most fall, more than any of 1,500 random rooms asks for within that


def move_clear(trials: Trials, finding: Finding) -> Ideas:
    """A drain moved to where its flange stands clear on the floor, or farther, to where the bed suits it."""
    stands = standing(trials, (finding.drains or (0,))[0])
    if stands is None:
        return
    others = trials.others(stands.number)
    apart = tuple(other for other in others if not shapely.intersects(other, stands.flange.polygon))
    region = clear_places(stands.floor, stands.flange, apart)
    why = phrase("there its flange stands clear on the floor")
    yield from moves(trials, stands, region, anywhere).ideas(trials, why)
    shape, drains = trials.job.bed.shape, range(len(trials.job.drains))
    every = parting(trials, mark_step(trials.job)) if shape is BedShape.LEVEL_WALLS else None
    if shape is BedShape.EVEN_FALL:
        yield from _nearest(trials, finding, [stands], why)
    elif every and len(drains) == 1:
        yield from move_for_falls(trials, finding)
    else:
        judge = anywhere if every is None else AnyParting(every, stands.number).judged
        yield from clean_moves(trials, finding, [moves(trials, stands, region, judge)], why)


def move_for_depth(trials: Trials, finding: Finding) -> Ideas:
    """A drain moved to where the bed keeps its depth: the nearest place there is, where a formula tells of beds."""
    why, stands = phrase("there the bed keeps its depth"), list(standings(trials))
    if _is_told(trials) and stands:
        yield from _nearest(trials, finding, stands, why)
    elif stands:
        yield from clean_moves(trials, finding, untold_moves(trials), why)


def _nearest(trials: Trials, finding: Finding, stands: list[Standing], why: str) -> Ideas:
    left, search = [_Left(trials, finding, each) for each in stands], trials.aside(_EFFORT)
    while left := [each for each in left if len(each.moves.found.pairs)]:
        nearest = min(left, key=lambda each: float(each.moves.found.far[0]))
        idea = nearest.moves.idea(trials, nearest.moves.found.pairs[0], why)
        deep, remedy = search.depth(idea.change), None
        search.left -= _LOOK
        if isinstance(deep, Depth) and max(_outs(trials, finding, deep)) <= NOISE:
            remedy = search.tried(finding, idea)
        if remedy is not None and not remedy.brings:
            yield idea
            return
        if remedy is not None and trials.job.bed.shape is BedShape.EVEN_FALL and {*FALLS} & {*remedy.brings}:
            break  # its fall is that at any place
        if search.is_spent or search.is_over:
            yield from clean_moves(trials, finding, [each.moves for each in left], why)
            return
        nearest.rule_out(deep)
    trials.untried["at"] = phrase("another place of a drain: there is none that clears this and brings no stop")


def _is_told(trials: Trials) -> bool:
    """Whether a formula tells how much a drain's move changes the bed's height at most."""
    bed, has_most = trials.plan.bed, trials.plan.rulebook.most_fall is not None
    if not isinstance(bed, LevelWalls):
        return isinstance(bed, EvenFall)
    return bed.reach.floor.is_convex and not trials.is_steep and has_most and _is_set(trials)


def _is_set(trials: Trials) -> bool:
    return all(drain.drop is not None for drain in trials.job.drains)


def _outs(trials: Trials, finding: Finding, deep: Depth) -> tuple[float, float]:
    """By how much a bed is too thin and too thick [mm]: by the finding's limit, and by what is kept of the other."""
    limits, before = trials.case.depth_limits, trials.plan.depth
    low, high = (
        limit.value if limit and limit.level is Level.STOP else free
        for limit, free in ((limits.least, 0.0), (limits.most, np.inf))
    )
    if isinstance(before, Depth):
        low = low if finding.rule == "bed-thin" else min(low, max(0.0, before.least.value))
        high = high if finding.rule == "bed-thick" else max(high, before.most.value)
    return low - deep.least.value, deep.most.value - high


class _Sign(NamedTuple):
    """What a bed tells of those with the drain elsewhere: they are out [mm] less slope x distance from a place.

    room: where that has to be straight in it; cap: where that is less [mm]; walls: less what others differ from [mm].
    """

    place: Array
    out: float
    slope: float
    room: Shape | None = None
    cap: float = np.inf
    walls: float = 0.0


class _Left:
    """A drain's places that no bed rules out.

    With an even fall a place's way to the flange is by half its size, or half its diagonal at most, less than to its
    middle, and grows by no more than the drain is moved. Level walls' beds are, over a convex floor, its gauge from the
    drain (Minkowski's functional, subadditive) times their height, which the longest run tells.
    """

    def __init__(self, trials: Trials, finding: Finding, stands: Standing) -> None:
        self._trials, self._finding, self._stands = trials, finding, stands
        self._region, self._room = clear_of_others(trials, stands), clear_places(stands.floor, stands.flange)
        self._floor, self._edge = shapely.buffer(stands.floor.polygon, BESIDE), shapely.boundary(self._room)
        self._bends = shapely.multipoints(bends_of(stands.floor)[0])
        shapely.prepare([self._room, self._floor, self._edge, self._bends])
        is_level = trials.job.bed.shape is BedShape.LEVEL_WALLS
        self._walls = parting(trials, mark_step(trials.job)) if is_level else None
        self._tried, self._signs = list[Array](), list[_Sign]()
        self._add(stands.flange.centre, trials.plan.depth)

    def rule_out(self, deep: Depth | Needs | None) -> None:
        """Takes out the nearest place, with its bed's depth, and what that tells of others."""
        self._add(self.moves.form.lattice.spots(self.moves.found.pairs[:1])[0], deep)

    def _add(self, spot: Array, deep: Depth | Needs | None) -> None:
        self._tried.append(spot)
        if isinstance(deep, Depth):
            outs, bed = _outs(self._trials, self._finding, deep), deep.gap.bed
            if isinstance(bed, LevelWalls):
                fall, walls = bed.most_fall, bed.wall_height
                self._signs.append(_Sign(spot, max(outs), _LEAN * fall, None, walls / fall / _CAP, walls))
            elif isinstance(bed, EvenFall):
                is_set = _is_set(self._trials)  # else the height that is planned goes along
                self._signs.append(_Sign(spot, max(outs), bed.fall * (2 - is_set), self._room))
                self._signs += self._at_worst(bed, deep, outs) if is_set else ()
        self.moves = moves(self._trials, self._stands, self._region, self._judge)

    def _at_worst(self, bed: EvenFall, deep: Depth, outs: tuple[float, float]) -> Iterator[_Sign]:
        """What an even fall tells where it is thinnest, and where thickest."""
        half, number = self._stands.flange.half, self._stands.number
        for worst, out, way in ((deep.least, outs[0], 1), (deep.most, outs[1], -1)):
            at = np.array([[worst.x, worst.y]])
            height, own, head = float(bed.height(at)[0]), 0.0, 0.0
            if isinstance(bed.reach, SharedReach):
                own, head = bed.fall * float(bed.reach.each(at)[number, 0]), bed.fall * bed.reach.heads[number]
            if out > 0 and way > 0 and own > height + NOISE:  # another drain keeps it as low
                yield _Sign(at[0], out, 0.0)
            elif out > 0:
                rim = bed.fall * half * (1 if way > 0 else SQUARE)
                room = self._floor if way > 0 else None
                yield _Sign(at[0], out + way * (height - head + rim), way * bed.fall, room)

    def _judge(self, spots: Array, slack: Array) -> tuple[Array, Array]:
        over = np.zeros(len(spots))
        if self._walls is not None:
            by, is_sure = self._walls.excess(0, spots, slack)
            over[is_sure] = by[is_sure]
        away = np.hypot(*(spots[:, None] - np.array(self._tried)).T).min(axis=0) + slack
        over[away < self._trials.step / 2] = np.inf
        rows = np.flatnonzero(over <= BESIDE)
        walls = np.zeros((2, len(rows)))
        if self._walls is not None and len(rows):
            far = self._walls.parts(0, spots[rows], np.zeros(len(rows)))[0].far
            walls[:] = [self._walls.height(self._walls.fall * (far + way * slack[rows])) for way in (-SQUARE, SQUARE)]
        for sign in self._signs:
            out = self._out_at_least(sign, spots[rows], slack[rows]) - np.abs(walls - sign.walls).max(axis=0)
            over[rows] = np.maximum(over[rows], out)
            left = out <= BESIDE
            rows, walls = rows[left], walls[:, left]
        return over, np.full(len(spots), np.inf)

    def _out_at_least(self, sign: _Sign, spots: Array, slack: Array) -> Array:
        """How far out a bed is at least with the drain within a slack of places (k,) [mm]."""
        away = np.hypot(*(spots - sign.place).T)
        out: Array = sign.out - sign.slope * away - abs(sign.slope) * slack
        out[away + slack >= sign.cap] = 0.0
        rows = np.flatnonzero(out > 0)
        if sign.room is not None and not self._stands.floor.is_convex:
            out[rows] *= self._is_straight(sign.place, sign.room, spots[rows], slack[rows])
        return out

    def _is_straight(self, place: Array, room: Shape, spots: Array, slack: Array) -> Mask:
        """Whether no wall is between a place and all within a slack of places (k,), nor a corner round it."""
        points, half = shapely.points(spots), self._stands.flange.half
        is_open = ~shapely.dwithin(self._bends, points, slack + SQUARE * half)
        is_open &= (slack <= half) | ~shapely.dwithin(self._edge, points, slack)
        lines = shapely.linestrings(np.stack([spots, np.broadcast_to(place, spots.shape)], axis=1))
        return np.asarray((is_open | (slack == 0)) & shapely.covers(room, lines))
