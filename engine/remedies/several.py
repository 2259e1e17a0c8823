"""One of several drains changed: set higher or lower, or moved off what makes its part too steep."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

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

_TRIES = 4  # changes of height that are planned


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

    Where straight ridges square across part the floor, of all heights on the step as far as the walls are high; else
    the least changes are tried.
    """
    own, bed, step = _parting(trials, finding), trials.plan.bed, trials.step
    drops = [drain.drop.value for drain in trials.job.drains if drain.drop is not None]
    if own is None or not isinstance(bed, PartedWalls) or len(drops) < len(own.flanges):
        return
    steps = np.arange(-(count := int((bed.wall_height + max(map(abs, own.heads))) / step)), count + 1)
    found: list[Idea] = []
    for number, drop in enumerate(drops):
        to = step * (round(drop / step) + steps)
        ups = (drop - to)[(to > 0) & (np.abs(to - drop) > NOISE)]
        over, is_parted = own.raised(number, ups)
        for up in ups[(over <= NOISE) | ~is_parted].tolist():
            found += _set(trials, number, up)
    yield from sorted(found, key=lambda idea: idea.figure or 0.0)[:_TRIES]


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
