"""One of several drains changed: set higher or lower, or moved off what makes its part too steep."""

from collections.abc import Iterator
from dataclasses import replace
from functools import reduce
from typing import TypeAlias

import numpy as np
import shapely

from engine.bed.effort import effort
from engine.bed.parted_walls import PartedWalls
from engine.bed.surfaces import Hidden
from engine.job.defaults import mark_step
from engine.limits.checks.case import is_above
from engine.limits.checks.proud import proud_drains
from engine.limits.findings import Finding
from engine.phrases import phrase
from engine.remedies.drain_height import drains_moved
from engine.remedies.parted_moves import Parting
from engine.remedies.places import least_moves, parting
from engine.remedies.remedy import Idea
from engine.remedies.trials import NOISE, Trials
from engine.survey.spot import Needs
from engine.types import Array

_TRIES = 4  # changes of height that are planned at least, or of those that surely do at most
_EFFORT = 300.0  # [-] of all that are
_FINER = 5  # an odd number, so that each of some drains' ups and downs has its turn
_INSIDE = 0.5  # [mm] off the walls

Height: TypeAlias = tuple[float, int, float]  # a change [mm], of which drain, up [mm]


def level_out(trials: Trials, finding: Finding) -> Iterator[Idea]:
    """A drain that stands over the bed lowered until it does not, or the one that its water runs to raised."""
    bed = trials.plan.bed
    if isinstance(bed, Needs | Hidden):
        return
    for proud in proud_drains(bed):
        if finding.drains == (proud.drain,):
            yield from _set(trials, proud.drain, -proud.by)
            yield from _set(trials, proud.lower, proud.by)


def level_with_others(trials: Trials, finding: Finding) -> Iterator[Idea]:
    """With level walls, one drain set as little higher or lower as makes the part that is too steep gentle enough.

    Of all heights on the step as far as the walls are high: a formula tells those that do where straight ridges square
    across part the floor; of the others those that no bound rules out are planned.
    """
    own, bed, floor = _parting(trials, finding), trials.plan.bed, trials.plan.outline
    if own is None or not isinstance(bed, PartedWalls) or isinstance(floor, Needs):
        return
    sure, may = _heights(trials, own, bed)
    may = [height for height in may if height < sure[0]] if sure else may
    tries = max(int(_EFFORT / effort(trials.job, floor)), _TRIES)
    found, is_least = _least(trials, finding, may, tries)
    for number, up in [found[1:]] if found else [height[1:] for height in sure[:_TRIES]]:
        for idea in _set(trials, number, up):
            says = idea.says if is_least else phrase("{change}; a smaller change may do", change=idea.says)
            yield idea._replace(says=says)


def _heights(trials: Trials, own: Parting, bed: PartedWalls) -> tuple[list[Height], list[Height]]:
    """The changes of one drain's height that surely do, and those that may, the least first."""
    step, drops = trials.step, [drain.drop.value for drain in trials.job.drains if drain.drop is not None]
    found: tuple[list[Height], list[Height]] = [], []
    count = int((bed.wall_height + max(map(abs, own.heads))) / step)
    for number, drop in enumerate(drops if len(drops) == len(own.flanges) else ()):
        to = step * (round(drop / step) + np.arange(-count, count + 1))
        ups = (drop - to)[(to > 0) & (np.abs(to - drop) > NOISE)]
        over, is_parted = own.raised(number, ups)
        least = np.where(is_parted, over, _least_over(own, bed, number, ups))
        for up, is_sure in zip(ups[least <= NOISE].tolist(), is_parted[least <= NOISE].tolist(), strict=True):
            found[not is_sure].append((round(abs(up), 6), number, up))
    return sorted(found[0]), sorted(found[1])


def _least_over(own: Parting, bed: PartedWalls, number: int, ups: Array) -> Array:
    """By how much at least the walls stand too high for the most fall with a drain so much higher (k,) [mm].

    However the floor is parted: its water falls all its way to some drain, and from the nearest wall to a drain, or
    the ridge between two, as much as from the farthest.
    """
    if own.square:
        return np.full(len(ups), -np.inf)  # of beds with valleys only facets at walls are judged
    heads = np.array(own.heads)[:, None] + np.zeros(len(ups))
    heads[number] += ups
    heads -= heads[0]
    places = shapely.get_coordinates(shapely.buffer(own.floor.polygon, -_INSIDE, join_style="mitre"))
    ways = np.array([reach.way(places) for reach in bed.reach.reaches])
    walls = own.height((heads[:, None] + own.fall * ways[..., None]).min(axis=0).max(axis=0))
    return np.asarray(walls - reduce(np.minimum, own.rooms(heads)))


def _least(trials: Trials, finding: Finding, may: list[Height], tries: int) -> tuple[Height | None, bool]:
    """The least of changes that clears a finding and brings no stop, and whether each smaller one was planned.

    Of more than may be tried every so many at first, then those between that are smaller than what is found.
    """
    every, end, done, spoiled = 1, len(may), set[int](), []
    while every * tries < 2 * end and end > tries:
        every *= _FINER
    while every:
        for at in range(0, end, every):
            if at in done or len(done) >= tries:
                continue
            done.add(at)
            remedies = (trials.tried(finding, idea) for idea in _set(trials, *may[at][1:]))
            remedy = next(remedies, None)
            if remedy is not None and not remedy.brings:
                end = at
                break
            spoiled += [] if remedy is None else [at]
        every //= _FINER
    is_least = len(done & set(range(end))) == end
    if end < len(may):
        return may[end], is_least
    return (may[min(spoiled)] if spoiled else None), is_least


def _parting(trials: Trials, finding: Finding) -> Parting | None:
    """What the bed is held to so that the part told of is gentle enough, and those that are stay so."""
    bed, most = trials.plan.bed, trials.plan.rulebook.most_fall
    if not isinstance(bed, PartedWalls) or most is None:
        return None
    steep = [i for i, part in enumerate(bed.beds) if is_above(part.most_fall, most.value)]
    others = set(steep) - set(finding.drains)
    return parting(trials, tuple(i for i in range(len(bed.beds)) if i not in others), mark_step(trials.job))


def _set(trials: Trials, number: int, up: float) -> Iterator[Idea]:
    return drains_moved(trials, [number], up, phrase("drain {number}", number=number + 1))


def move_one(trials: Trials, finding: Finding) -> Iterator[Idea]:
    """With level walls, one drain moved as little as makes the part that is too steep gentle enough, or every part."""
    own, is_found = _parting(trials, finding), False
    if own is None:
        return
    for idea in least_moves(trials, finding, own, phrase("there its part is gentle enough")):
        is_found = True
        yield idea
    if is_found and len(own.held) < len(own.flanges):
        every = replace(own, held=tuple(range(len(own.flanges))))
        yield from least_moves(trials, finding, every, phrase("there every part is gentle enough"))
