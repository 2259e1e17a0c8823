"""Room for the hand: how likely some line ends below the least fall, and the fall that leaves room.

A strip's ends are, each by itself, true to so much 19 times in 20, normally spread; the flange stands fast, and strips
are straight between ends: corners, and every mark where walls are not level. A line's fall is out by its wall's error
over its run; an end within a level's reach of the flange is out by less (`strips.share`). Mostly the run bends up along
a wall (any straight one toward one drain, round corners too), so no line between two ends has less room than they
foretell: the chance that all pass is exactly the product of the ends'. A line steeper than the most drains, and so
passes.

Where some line has less (ridges between drains, past islands, curved walls, fall measured square to walls, valleys:
`facets`), the same 20,000 rooms are simulated every time: the chance is known to 0.4 % (a standard error; 0.16 %
at 5 %).
"""

import math
from typing import NamedTuple

import numpy as np

from ..arrays import distinct
from ..bed.surfaces import Bed
from ..layout.marks import Mark
from ..records import record
from ..survey.spot import Spot
from ..types import Array, Index, Mask
from .facets import Facets, facets
from .strips import Strips, strips

PASSES = 0.95  # 19 times in 20
ROOMS = 20_000  # simulated
_SEED = 20270308
_TRUE = 1.9599639845400536  # standard deviations either side that hold 19 of 20 (any normal table)
_STEEPEST = 1.0  # [-] no fall is planned so steep
_FORETOLD = 0.05  # [mm] of room less than the ends foretell is none
_FAR = 5.0  # standard deviations: a line with so much room passes
_LEAST_SHARE = 1e-9  # [-]
_AT_ONCE = 64  # lines
_BLOCK = 4000  # rooms at once
_ONE_PLACE = 1.0  # [mm]


@record
class Room:
    """The room for a hand that is true to `trueness` [mm].

    chance: that some line ends below the least fall, 0 to 1; fall: the least to plan so that all pass 19 times in 20
    [-]; bare: the places of walls, ridges and valleys with less room [mm] than such a hand may be out, and that room,
    the least first; simulated: in how many rooms, 0 for exact.
    """

    trueness: float
    chance: float
    fall: float
    bare: tuple[Spot, ...]
    simulated: int

    @property
    def can_pass(self) -> bool:
        """Whether at any fall all pass 19 times in 20."""
        return self.fall < _STEEPEST


class _Task(NamedTuple):
    """Lines (m,): room, rises over the planned fall [mm]; the least fall [-], a spread [mm].

    facets: falls that hang on more; planned: the planned fall [-].
    """

    strips: Strips
    margins: Array
    shape: Array
    facets: Facets
    least: float
    planned: float
    spread: float

    def of(self, numbers: Index) -> "_Task":
        return self._replace(strips=self.strips.of(numbers), margins=self.margins[numbers], shape=self.shape[numbers])

    def at(self, fall: float) -> "_Task":
        rises = self.facets.rises * (fall / self.planned)
        return self._replace(
            margins=fall * self.shape - self.least * self.strips.lines.runs,
            facets=self.facets._replace(rises=rises),
            planned=fall,
        )

    @property
    def spreads(self) -> Array:
        return self.spread * self.strips.along(self.strips.shares)


def rooms(
    bed: Bed, marks: tuple[Mark, ...], least: float, truenesses: tuple[float, ...], *, square: bool
) -> tuple[Room, ...]:
    """The room that a bed leaves over a least fall [-] for hands so true [mm]; none without a long enough line.

    square: fall is measured square to walls. The fall to plan is solved for with heights in proportion to it: true but
    for rounding up to mark steps and where valleys run.
    """
    found = strips(bed, marks, square=square)
    lines, others, planned = found.lines, facets(bed, found, square=square), bed.least_fall
    if planned <= 0 or not len(lines.runs) + len(others.runs):
        return ()
    shape = (found.along(found.planned) - lines.heads) / planned
    margins = found.along(found.tops) - lines.heads - least * lines.runs
    return tuple(_room(_Task(found, margins, shape, others, least, planned, true / _TRUE), true) for true in truenesses)


def _room(task: _Task, trueness: float) -> Room:
    told = task.of(task.strips.at_ends)
    found, count = _exact(told), 0
    if found is None or not (_is_foretold(task) and _is_foretold(task.at(found[1]))):
        told = task.of(task.strips.telling)
        found, count = _simulated(told), ROOMS
    chance, fall = found
    fall = min(fall, task.planned) if chance <= 1 - PASSES else fall
    return Room(trueness, chance, fall, _bare(told, trueness), count)


def _bare(task: _Task, trueness: float) -> tuple[Spot, ...]:
    strips, others = task.strips, task.facets
    starts = np.vstack([strips.lines.starts, others.starts])
    margins = np.concatenate([task.margins, others.rises - task.least * others.runs])
    owners = np.concatenate([strips.first, len(strips.tops) + np.arange(len(others.runs))])
    outs = trueness * np.concatenate([strips.along(strips.shares), others.spreads])
    order = np.argsort(np.round(margins, 6), kind="stable")
    bare: list[Spot] = []
    told: set[int] = set()
    for number in order[(margins < outs)[order]].tolist():
        spot = Spot.at(margins[number], starts[number])
        strip = int(owners[number])
        if strip not in told and all(math.hypot(spot.x - one.x, spot.y - one.y) > _ONE_PLACE for one in bare):
            bare.append(spot)
        told.add(strip)
    return tuple(bare)


def _is_foretold(task: _Task) -> bool:
    own, others, ends = task.strips.own_lines, task.facets, len(task.strips.tops)
    at_ends = np.full(ends, np.inf)
    at_ends[own >= 0] = task.margins[own[own >= 0]]
    short = np.flatnonzero(task.margins < _FAR * task.spreads)
    room = others.rises - task.least * others.runs
    some = others.of(room < _FAR * task.spread * others.spreads)
    if some.aside.any() or some.weights[:, ends:].any() or (some.weights < 0).any():
        return False
    hung = some.weights[:, :ends] / np.maximum(task.strips.shares, _LEAST_SHARE)
    with np.errstate(invalid="ignore"):
        foretold = task.strips.of(short).along(at_ends)
        also = np.where(hung > 0, hung * at_ends, 0.0).sum(axis=1)
    at_own = np.isin(short, own)
    return bool(
        (at_own | (task.margins[short] >= foretold - _FORETOLD)).all()
        and (some.rises - task.least * some.runs >= also - _FORETOLD).all()
    )


def _exact(task: _Task) -> tuple[float, float] | None:
    """The chance that some end is too low, and the fall at which all pass 19 times in 20 [-], by halving to 1e-9.

    None where no line starts at an end.
    """
    if not len(task.shape):
        return None
    low, high = task.least, _STEEPEST
    wanted = task.least * task.strips.lines.runs
    while high - low > 1e-9:
        middle = (low + high) / 2
        if _all_pass((middle * task.shape - wanted) / task.spreads) < PASSES:
            low = middle
        else:
            high = middle
    return 1.0 - _all_pass(task.margins / task.spreads), high


def _all_pass(deviations: Array) -> float:
    """The product of the normal distribution's shares under so many standard deviations [-]."""
    return math.prod(0.5 * (1.0 + math.erf(deviation / math.sqrt(2.0))) for deviation in deviations.tolist())


def _simulated(task: _Task) -> tuple[float, float]:
    task = _telling(task)
    ends, others = task.strips, task.facets
    hung = (others.weights != 0).any(axis=0) | (others.aside != 0).any(axis=0)
    used = distinct(np.concatenate([ends.first, ends.second, np.flatnonzero(hung)]))
    rng = np.random.Generator(np.random.PCG64(_SEED))
    failed, fall = [], []
    for _ in range(0, ROOMS, _BLOCK):
        errors = np.zeros((_BLOCK, len(hung)))
        errors[:, used] = task.spread * rng.standard_normal((_BLOCK, len(used)))
        too_flat, needed = _in_rooms(task, errors)
        failed.append(too_flat)
        fall.append(needed)
    return float(np.mean(failed)), float(np.sort(fall, axis=None)[math.ceil(PASSES * ROOMS) - 1])


def _telling(task: _Task) -> _Task:
    lines, others = task.strips.lines, task.facets
    shape = others.rises / task.planned
    wanted, other = task.least * lines.runs, task.least * others.runs
    most = np.concatenate([_needed(wanted, task.shape), _needed(other, shape)]).max()
    needs = _needed(wanted + _FAR * task.spreads, task.shape) >= most
    also = _needed(other + _FAR * task.spread * others.spreads, shape) >= most
    short = others.rises - other < _FAR * task.spread * others.spreads
    task = task.of(np.flatnonzero(needs | (task.margins < _FAR * task.spreads)))
    return task._replace(facets=others.of(also | short))


def _in_rooms(task: _Task, errors: Array) -> tuple[Mask, Array]:
    """Which rooms of errors (k, n) [mm] have too flat a line (k,), and the fall each needs (k,) [-]."""
    failed, fall = np.zeros(len(errors), dtype=bool), np.full(len(errors), -np.inf)
    at_ends = errors[:, : len(task.strips.tops)] * task.strips.shares
    for start in range(0, len(task.shape), _AT_ONCE):
        part = task.of(np.arange(start, min(start + _AT_ONCE, len(task.shape))))
        off = part.strips.along(at_ends)
        failed |= (part.margins + off < 0).any(axis=1)
        needed = _needed(part.least * part.strips.lines.runs - off, part.shape)
        fall = np.maximum(fall, needed.max(axis=1))
    for start in range(0, len(task.facets.runs), _AT_ONCE):
        some = task.facets.of(np.arange(start, min(start + _AT_ONCE, len(task.facets.runs))))
        off, aside = errors @ some.weights.T, errors @ some.aside.T
        # hypot(rise + off, aside) = least x run
        wanted = np.sqrt(np.maximum((task.least * some.runs) ** 2 - aside**2, 0.0)) - off
        failed |= (some.rises < wanted).any(axis=1)
        fall = np.maximum(fall, _needed(wanted, some.rises / task.planned).max(axis=1))
    return failed, fall


def _needed(wanted: Array, shape: Array) -> Array:
    """The fall (...) [-] with which lines rise as wanted (...) [mm]: the steepest where none does.

    Between two marks beside a channel a strip lies flat at any fall.
    """
    return np.minimum(wanted / np.maximum(shape, _LEAST_SHARE), _STEEPEST)
