"""Room for the hand: how likely it is that some line ends below the least fall, and the fall that leaves room.

A strip is true to so much at its ends 19 times in 20, each end by itself, normally spread; the flange is where it
is, and a strip is straight between its ends: corners, and where walls are not level every mark. A line's fall is at
fault by its wall's error over its run. Mostly the run bends up along a wall (it does along any straight one toward one
drain, round corners too), so that no line between two ends has less room than they foretell: then all lines pass just
where those from the ends do, and the chance is the product of each end's, which is exact.

Where some line between ends has less room than that, as at a ridge between two drains, past an island, on a curved
wall, or where a rulebook measures square to walls, strips are simulated instead: 20,000 rooms, the same ones every
time. The chance is then known to 0.4 % (a standard error; 0.16 % at 5 %).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from engine.distinct import distinct
from engine.job.model import BedShape
from engine.proof.strips import Strips, strips
from engine.records import record
from engine.survey.spot import Spot

if TYPE_CHECKING:
    from engine.bed.surfaces import Bed
    from engine.layout.marks import Mark
    from engine.types import Array, Index

PASSES = 0.95  # 19 times in 20
ROOMS = 20_000  # simulated
_SEED = 20270308
_TRUE = 1.9599639845400536  # standard deviations on either side that 19 of 20 lie within (any normal table)
_STEEPEST = 1.0  # [-]
_FORETOLD = 0.05  # [mm] of room less than the ends foretell is none
_FAR = 5.0  # standard deviations: a line with so much room always passes
_AT_ONCE = 64  # lines
_ONE_PLACE = 1.0  # [mm]


@record
class Room:
    """The room for a hand that is true to `trueness` [mm].

    chance: that some line ends below the least fall, 0 to 1; fall: the least fall to plan so that all pass 19 times in
    20 [-]; bare: the walls' places that may be low by less than such a hand may be out, each with how much [mm], the
    one with least room first; simulated: in how many rooms, 0 where it is exact.
    """

    trueness: float
    chance: float
    fall: float
    bare: tuple[Spot, ...]
    simulated: int


class _Task(NamedTuple):
    """Lines (m,) with their room [mm], their rises [mm] over the fall as planned, the least fall [-], a spread [mm]."""

    strips: Strips
    margins: Array
    shape: Array
    least: float
    spread: float

    def of(self, numbers: Index) -> _Task:
        """The same of some lines alone."""
        return self._replace(
            strips=self.strips.of(numbers), margins=self.margins[numbers], shape=self.shape[numbers]
        )


def rooms(
    bed: Bed, marks: tuple[Mark, ...], least: float, truenesses: tuple[float, ...], *, square: bool
) -> tuple[Room, ...]:
    """The room that a bed leaves over a least fall [-] for hands so true [mm]; none where no line is long enough.

    square: the rulebook measures fall square to the walls. The fall to plan is solved for with the bed's heights in
    proportion to it, as they are but for rounding up to whole mark steps.
    """
    found = strips(bed, marks, square=square)
    lines = found.lines
    if not len(lines.runs):
        return ()
    rises = found.along(found.planned) - lines.heads
    falls = rises / lines.runs
    is_level = bed.shape is BedShape.LEVEL_WALLS or not len(found.at_ends)
    planned = float((falls if is_level else falls[found.at_ends]).min())
    if planned <= 0:
        return ()
    margins = found.along(found.tops) - lines.heads - least * lines.runs
    return tuple(
        _room(_Task(found, margins, rises / planned, least, true / _TRUE), true, planned)
        for true in truenesses
    )


def _room(task: _Task, trueness: float, planned: float) -> Room:
    is_exact = _is_foretold(task)
    task = task.of(task.strips.at_ends if is_exact else task.strips.telling)
    chance, fall = _exact(task) if is_exact else _simulated(task)
    fall = min(fall, planned) if chance <= 1 - PASSES else fall
    return Room(trueness, chance, fall, _bare(task, trueness), 0 if is_exact else ROOMS)


def _bare(task: _Task, trueness: float) -> tuple[Spot, ...]:
    """The places with less room than a hand may be out, on each strip the one with least, least room first."""
    lines, margins = task.strips.lines, task.margins
    order = np.argsort(np.round(margins, 6), kind="stable")
    order = order[margins[order] < trueness]
    bare: list[Spot] = []
    told: set[int] = set()
    for number, strip in zip(order.tolist(), task.strips.first[order].tolist(), strict=True):
        spot = Spot(float(margins[number]), *lines.starts[number].tolist())
        if strip not in told and all(math.hypot(spot.x - one.x, spot.y - one.y) > _ONE_PLACE for one in bare):
            bare.append(spot)
        told.add(strip)
    return tuple(bare)


def _is_foretold(task: _Task) -> bool:
    """Whether no line that may fail has less room than the strip's ends on either side of it foretell."""
    own = task.strips.own_lines
    at_ends = np.where(own >= 0, task.margins[own], np.inf)
    short = np.flatnonzero(task.margins < _FAR * task.spread)
    with np.errstate(invalid="ignore"):
        foretold = task.strips.of(short).along(at_ends)
    at_own = np.isin(short, own)
    return bool((at_own | (task.margins[short] >= foretold - _FORETOLD)).all())


def _exact(task: _Task) -> tuple[float, float]:
    """The chance that some end is lower than its room allows, and the fall at which all pass 19 times in 20 [-].

    By halving, to 1e-9.
    """
    low, high = task.least, _STEEPEST
    wanted = task.least * task.strips.lines.runs
    while high - low > 1e-9:
        middle = (low + high) / 2
        if _all_pass(middle * task.shape - wanted, task.spread) < PASSES:
            low = middle
        else:
            high = middle
    return 1.0 - _all_pass(task.margins, task.spread), high


def _all_pass(margins: Array, spread: float) -> float:
    """The chance that no end is lower than its margin [mm] allows."""
    return math.prod(_share_below(margin / spread) for margin in margins.tolist())


def _share_below(deviations: float) -> float:
    """The normal distribution's share below so many standard deviations over its mean [-]."""
    return 0.5 * (1.0 + math.erf(deviations / math.sqrt(2.0)))


def _simulated(task: _Task) -> tuple[float, float]:
    """The same by simulated rooms: each needs the fall [-] that its worst line needs."""
    wanted = task.least * task.strips.lines.runs
    needs = (wanted + _FAR * task.spread) / task.shape >= (wanted / task.shape).max()
    task = task.of(np.flatnonzero(needs | (task.margins < _FAR * task.spread)))
    rng = np.random.Generator(np.random.PCG64(_SEED))
    ends = distinct(np.concatenate([task.strips.first, task.strips.second]))
    errors = np.zeros((ROOMS, len(task.strips.tops)))
    errors[:, ends] = task.spread * rng.standard_normal((ROOMS, len(ends)))
    failed, fall = np.zeros(ROOMS, dtype=bool), np.full(ROOMS, -np.inf)
    for start in range(0, len(task.shape), _AT_ONCE):
        part = task.of(np.arange(start, min(start + _AT_ONCE, len(task.shape))))
        off = part.strips.along(errors)
        failed |= (part.margins + off < 0).any(axis=1)
        needed = (part.least * part.strips.lines.runs - off) / part.shape
        fall = np.maximum(fall, needed.max(axis=1))
    return float(failed.mean()), float(np.sort(fall)[math.ceil(PASSES * ROOMS) - 1])
