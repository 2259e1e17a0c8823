"""The fall, or the wall height, at which a depth limit is just met."""

from collections.abc import Iterator
from dataclasses import replace
from typing import TypeAlias

import numpy as np

from ..bed.depth import Gap, extreme_depths
from ..bed.even_fall import EvenFall
from ..bed.level_walls import LevelWalls
from ..bed.plane import PlaneBed
from ..job.defaults import mark_step
from ..limits.findings import Finding
from ..limits.rulebook import Figure
from ..phrases import phrase
from ..quantities import Dimension, format_fall, parse, round_down, round_up
from ..survey.rough_floor import RoughFloor
from ..survey.spot import Needs
from .remedy import Idea
from .trials import FALL_STEP, NOISE, Trials

OneFall: TypeAlias = LevelWalls | EvenFall | PlaneBed  # beds with one fall or wall height to change

_MOST_ROUNDS = 24
_MOST_TIMES = 10.0  # a bed more than so many times as steep is no remedy


def set_fall(trials: Trials, finding: Finding) -> Iterator[Idea]:
    """A bed so steep that it is nowhere too thin, so gentle that it is nowhere too thick, or no open edge too high."""
    is_up, limits = finding.rule in ("bed-thin", "bed-below-floor"), trials.case.depth_limits
    sunk = trials.case.book.find(Figure.SUNK_MOST) if finding.rule == "floor-sunk" else None
    found = limits.least if is_up else sunk or limits.most
    bed, rough, drains = trials.plan.bed, trials.plan.rough, trials.plan.drains
    if found is None or isinstance(rough, Needs) or isinstance(drains, Needs) or len(drains) > 1:
        return
    if (drains[0].planned and not sunk) or not isinstance(bed, OneFall):
        return  # a height that is planned moves along, and the depth with it
    place = np.array([[finding.x, finding.y]], dtype=float)
    factor = sunk.value / float(bed.height(place)[0]) if sunk else _factor(bed, rough, found.value, is_up=is_up)
    if factor is None:
        return
    if isinstance(bed, LevelWalls):
        yield from _walls(trials, bed, factor * bed.wall_height, is_up=is_up)
    else:
        fall = (round_up if is_up else round_down)(factor * bed.fall, FALL_STEP[trials.units])
        yield from _fall(trials, fall, is_up=is_up)


def _factor(bed: OneFall, rough: RoughFloor, limit: float, *, is_up: bool) -> float | None:
    """How many times as steep the bed is when its extreme depth is at the limit; None where no fall gives that.

    Each place's height goes straight with the fall, so the least depth is concave in it, the most convex: from where
    the limit is broken no tangent's root lies past the true one, which they reach as places take turns in being the
    extreme.
    """
    factor = 1.0
    for _ in range(_MOST_ROUNDS):
        least, most = extreme_depths(Gap(_times(bed, factor), rough), only_least=is_up)
        spot = least if is_up else most
        short = limit - spot.value
        if abs(short) <= NOISE:
            return factor
        height = bed.height(np.array([[spot.x, spot.y]]))[0]
        if height <= NOISE:
            return None  # on the flange no fall changes the depth
        factor += short / float(height)
        if not 0.0 < factor < _MOST_TIMES:
            return None
    return None


def _times(bed: OneFall, factor: float) -> OneFall:
    if isinstance(bed, LevelWalls):
        return replace(bed, wall_height=factor * bed.wall_height)
    return replace(bed, fall=factor * bed.fall)


def _walls(trials: Trials, bed: LevelWalls, height: float, *, is_up: bool) -> Iterator[Idea]:
    """Level walls at another height on the mark step: the user's own height, or the fall that comes to it."""
    step, units = mark_step(trials.job), trials.units
    on_step = (round_up if is_up else round_down)(height, step)
    by = abs(on_step - bed.wall_height)
    if on_step <= 0:
        return
    if trials.job.bed.wall_height is not None:
        text = trials.text(on_step)
        if abs(parse(text, Dimension.LENGTH, units) - on_step) <= NOISE:
            says = phrase(
                "raise the walls' height to {height}" if is_up else "lower the walls' height to {height}", height=text
            )
            yield Idea(says, (("bed.wall_height", text),), by)
        return
    run, fine = bed.longest_run, FALL_STEP[units]
    # The fall nearest to the job's that is rounded up to just that height.
    fall = round_down((on_step - step) / run, fine) + fine if is_up else round_down(on_step / run, fine)
    sets = phrase(", which sets the walls at {height}", height=trials.text(on_step))
    yield from _fall(trials, fall, is_up=is_up, also=sets)


def _fall(trials: Trials, fall: float, *, is_up: bool, also: str = "") -> Iterator[Idea]:
    text = format_fall(fall, trials.units)
    if fall > 0:
        says = phrase(
            "raise the fall to {fall}{also}" if is_up else "lower the fall to {fall}{also}", fall=text, also=also
        )
        yield Idea(says, (("bed.fall", text),), fall)
