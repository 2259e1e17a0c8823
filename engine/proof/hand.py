"""Room for the hand: how likely it is that some line ends below the least fall, and the fall that leaves room.

A strip is true to so much at its ends 19 times in 20, each end by itself, normally spread; the flange is where it
is, and a straight strip is straight between its ends. Then a line's fall is at fault by its wall's error over its
run, and lines from ends hang on one error each: the chance that all pass is the product of each one's, which is
exact. Between the ends of a level strip a line falls no worse than the worse end's, for the run is convex along a
straight wall. Where walls are not level strips follow the wall marks, so every mark is an end.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from engine.job.model import BedShape
from engine.proof.falls import lines_from
from engine.records import dataclass
from engine.survey.spot import Spot

if TYPE_CHECKING:
    from engine.bed.surfaces import Bed
    from engine.layout.marks import Mark
    from engine.types import Array

PASSES = 0.95  # 19 times in 20
_TRUE = 1.9599639845400536  # standard deviations on either side that 19 of 20 lie within (any normal table)
_STEEPEST = 1.0  # [-]
_ONE_END = 1.0  # [mm] a mark this near another is the same end of a strip


@dataclass(frozen=True, slots=True)
class Room:
    """The room for a hand that is true to `trueness` [mm].

    chance: that some line ends below the least fall, 0 to 1; fall: the least fall to plan so that all pass 19 times in
    20 [-]; bare: the walls' places that may be low by less than such a hand may be out, each with how much [mm], the
    one with least room first.
    """

    trueness: float
    chance: float
    fall: float
    bare: tuple[Spot, ...]


def room(bed: Bed, marks: tuple[Mark, ...], least: float, trueness: float) -> Room | None:
    """The room that a bed leaves over a least fall [-]; None where no line is long enough to tell.

    The fall to plan is solved for with the bed's heights in proportion to it, as they are but for rounding up to whole
    mark steps.
    """
    lines = lines_from(bed, _ends(bed, marks))
    if not len(lines.runs):
        return None
    spread = trueness / _TRUE
    rises = bed.height(lines.starts) - lines.heads
    margins = rises - least * lines.runs
    order = np.argsort(np.round(margins, 6), kind="stable")
    bare = [Spot(float(margins[i]), *lines.starts[i].tolist()) for i in order if margins[i] < trueness]
    planned = float((rises / lines.runs).min())
    fall = _fall_for(rises / planned, lines.runs, least, spread)
    return Room(trueness, 1.0 - _all_pass(margins, spread), fall, tuple(bare))


def _ends(bed: Bed, marks: tuple[Mark, ...]) -> Array:
    """Where strips end (k, 2) [mm]: at corners, and where walls are not level at every mark."""
    if bed.shape is BedShape.LEVEL_WALLS:
        floor = bed.reach.floor
        return np.vstack([floor.corners, *floor.islands])
    places = np.array([[mark.x, mark.y] for mark in marks]).reshape(-1, 2)
    away = np.hypot(*(places[:, None] - places).transpose(2, 0, 1))
    return np.asarray(places[~np.triu(away < _ONE_END, 1).any(axis=0)])


def _all_pass(margins: Array, spread: float) -> float:
    """The chance that no end is lower than its margin [mm] allows."""
    return math.prod(_share_below(margin / spread) for margin in margins.tolist())


def _share_below(deviations: float) -> float:
    """The normal distribution's share below so many standard deviations over its mean [-]."""
    return 0.5 * (1.0 + math.erf(deviations / math.sqrt(2.0)))


def _fall_for(shape: Array, runs: Array, least: float, spread: float) -> float:
    """The fall [-] at which all lines pass 19 times in 20, rises being shape x fall; by halving, to 1e-9."""
    low, high = least, _STEEPEST
    for _ in range(60):
        middle = (low + high) / 2
        if _all_pass(middle * shape - least * runs, spread) < PASSES:
            low = middle
        else:
            high = middle
        if high - low < 1e-9:
            break
    return high
