"""One of several drains changed: set higher or lower, or moved off what makes its part too steep."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from engine.bed.parted_walls import PartedWalls
from engine.bed.surfaces import Hidden
from engine.bed.valley_lines import valley_parts
from engine.job.defaults import mark_step
from engine.limits.checks.case import is_above
from engine.limits.checks.proud import proud_drains
from engine.limits.findings import Finding
from engine.phrases import phrase
from engine.quantities import round_down, round_up
from engine.remedies.places import least_moves, parting
from engine.remedies.remedy import Idea
from engine.remedies.trials import NOISE, Trials
from engine.survey.spot import Needs

_ROUND_CORNERS = 2  # drains, where corners point into the floor


def level_out(trials: Trials, finding: Finding) -> Iterator[Idea]:
    """A drain that stands over the bed lowered until it does not, or the one that its water runs to raised."""
    bed = trials.plan.bed
    if isinstance(bed, Needs | Hidden):
        return
    for proud in proud_drains(bed):
        if finding.key == f"drains[{proud.drain}].drop":
            yield from _set(trials, proud.drain, -proud.by)
            yield from _set(trials, proud.lower, proud.by)


def _tried(trials: Trials) -> PartedWalls | None:
    """The bed, where it has level walls, no valleys, and trials are soon made: not of many drains round corners."""
    bed = trials.plan.bed
    if not isinstance(bed, PartedWalls) or valley_parts(bed):
        return None
    return bed if len(bed.parts) <= _ROUND_CORNERS or bed.reach.floor.is_convex else None


def level_with_others(trials: Trials, finding: Finding) -> Iterator[Idea]:
    """With level walls and no valleys, one drain brought as little towards another's height as clears the finding."""
    bed = _tried(trials)
    drops = [None if drain.drop is None else drain.drop.value for drain in trials.job.drains]
    if bed is None or None in drops:
        return
    ways = {
        (number, own - other)
        for number, own in enumerate(drops)
        for other in drops
        if own is not None and other is not None and abs(own - other) > NOISE
    }
    found: list[Idea] = []
    for number, up in sorted(ways, key=lambda way: (abs(way[1]), way)):
        if not found or abs(up) < (found[-1].figure or 0.0):
            found += _least(trials, finding, number, up)
    yield from sorted(found, key=lambda idea: idea.figure or 0.0)[:1]


def _least(trials: Trials, finding: Finding, number: int, up: float) -> list[Idea]:
    """A drain's smallest change of height, at most `up` [mm], that clears a finding and brings no stop."""

    def clears(by: float) -> Idea | None:
        for idea in _set(trials, number, by):
            remedy = trials.tried(finding, idea)
            return idea if remedy is not None and not remedy.brings else None
        return None

    best = clears(up)
    step = trials.step
    low, high = 0, int(np.ceil(abs(up) / step))
    while best is not None and high - low > 1:
        middle = (low + high) // 2
        idea = clears(float(np.copysign(middle * step, up)))
        low, high, best = (middle, high, best) if idea is None else (low, middle, idea)
    return [] if best is None else [best]


def _set(trials: Trials, number: int, up: float) -> Iterator[Idea]:
    drop = trials.job.drains[number].drop
    if drop is None:
        return
    step, is_up = trials.step, up > 0
    to = (round_down if is_up else round_up)(drop.value - up, step)
    if to <= 0:
        return
    by, reading = abs(to - drop.value), trials.text(to)
    yield Idea(
        phrase(
            "raise drain {number} by {by}: line reading {reading}"
            if is_up
            else "lower drain {number} by {by}: line reading {reading}",
            number=number + 1,
            by=trials.text(round_up(by, step / 2)),
            reading=reading,
        ),
        ((f"drains[{number}].drop", reading),),
        by,
    )


def move_one(trials: Trials, finding: Finding) -> Iterator[Idea]:
    """With level walls, one drain moved as little as makes the part that is too steep gentle enough."""
    bed, most = trials.plan.bed, trials.plan.rulebook.most_fall
    if not isinstance(bed, PartedWalls) or most is None:
        return
    for number, part in enumerate(bed.beds):
        spot = part.most_fall_at
        if (spot.x, spot.y) == (finding.x, finding.y):
            gentle = (i for i, other in enumerate(bed.beds) if i == number or not is_above(other.most_fall, most.value))
            if own := parting(trials, tuple(gentle), mark_step(trials.job)):
                yield from least_moves(trials, finding, own, phrase("there its part is gentle enough"))
