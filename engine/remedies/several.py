"""One of several drains changed: set higher or lower, or moved off what makes its part too steep."""

from collections.abc import Iterator
from dataclasses import replace
from functools import reduce
from typing import NamedTuple

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
_EFFORT = 400.0  # [-] of all that are
_STRIDES = (25, 5)  # odd numbers, so that each of some drains' ups and downs has its turn
_INSIDE = 0.5  # [mm] off the walls


class _Height(NamedTuple):
    """One drain's change: whether it hardly does, how much it is [mm], the drain's number, how far up [mm]."""

    is_unlikely: bool
    by: float
    number: int
    up: float


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
    may = [height for height in may if height.by < sure[0].by] if sure else may
    tries = max(int(_EFFORT / effort(trials.job, floor)), _TRIES)
    best, spoiled, is_least = _least(trials, finding, may, tries)
    for height in [best] if best else [*sure[:_TRIES], *([spoiled] if spoiled else [])]:
        for idea in _set(trials, height.number, height.up):
            says = idea.says if is_least else phrase("{change}; a smaller change may do", change=idea.says)
            yield idea._replace(says=says)


def _heights(trials: Trials, own: Parting, bed: PartedWalls) -> tuple[list[_Height], list[_Height]]:
    """The changes of one drain's height that surely do, and those that may, the least first."""
    step, drops = trials.step, [drain.drop.value for drain in trials.job.drains if drain.drop is not None]
    found: tuple[list[_Height], list[_Height]] = [], []
    count = int((bed.wall_height + max(map(abs, own.heads))) / step)
    for number, drop in enumerate(drops if len(drops) == len(own.flanges) else ()):
        to = step * (round(drop / step) + np.arange(-count, count + 1))
        ups = (drop - to)[(to > 0) & (np.abs(to - drop) > NOISE)]
        over, is_parted = own.raised(number, ups)
        least, likely = _least_over(own, bed, number, ups)
        rows = np.flatnonzero(np.where(is_parted, over, least) <= NOISE)
        for up, is_sure, hope in zip(ups[rows].tolist(), is_parted[rows].tolist(), likely[rows].tolist(), strict=True):
            found[not is_sure].append(_Height(hope > NOISE and not is_sure, round(abs(up), 6), number, up))
    return sorted(found[0]), sorted(found[1])


def _least_over(own: Parting, bed: PartedWalls, number: int, ups: Array) -> tuple[Array, Array]:
    """By how much at least the walls stand too high for the most fall with a drain so much higher (k,) [mm].

    However the floor is parted: its water falls all its way to some drain, and from the nearest wall to a drain, or
    the ridge between two, as much as from the farthest. And what that is if ridges run square across.
    """
    heads = np.array(own.heads)[:, None] + np.zeros(len(ups))
    heads[number] += ups
    heads -= heads[0]
    places = shapely.get_coordinates(shapely.buffer(own.floor.polygon, -_INSIDE, join_style="mitre"))
    ways = np.array([reach.way(places) for reach in bed.reach.reaches])
    walls = own.height((heads[:, None] + own.fall * ways[..., None]).min(axis=0).max(axis=0))
    surely = walls - reduce(np.minimum, own.rooms(heads))
    parts = own.parts(0, np.repeat(own.flanges[0].centre[None], len(ups), axis=0), np.zeros(len(ups)), heads)
    likely = reduce(np.maximum, (walls - heads[i] - own.most * parts[i].near for i in own.held))
    # Measured square, of beds with valleys only facets at walls are judged.
    return np.full(len(ups), -np.inf) if own.square else surely, likely


def _least(
    trials: Trials, finding: Finding, may: list[_Height], tries: int
) -> tuple[_Height | None, _Height | None, bool]:
    """The least of changes that clears a finding with no stop, one with, whether each smaller than the first was tried.

    Of more than may be tried every so many at first, then those between that are smaller than what is found.
    """
    best, spoiled, left = None, None, set(may)
    likely, unlikely = ([height for height in may if height.is_unlikely is which] for which in (False, True))
    strides = [every for every in _STRIDES if every * tries < 2 * len(likely)] if len(likely) > tries else []
    for heights in (*(likely[::every] for every in strides), likely, unlikely):
        tries = min(tries, _TRIES) if heights is unlikely and best is None else tries
        for height in heights:
            if tries <= 0 or height not in left or (best and height.by >= best.by):
                continue
            tries -= 1
            left.remove(height)
            for idea in _set(trials, height.number, height.up):
                remedy = trials.tried(finding, idea)
                if remedy is not None and not remedy.brings:
                    best = height
                elif remedy is not None:
                    spoiled = min(spoiled or height, height)
    return best, spoiled, not any(best is None or height.by < best.by for height in left)


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
