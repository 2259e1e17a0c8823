"""Taped outlines: corners moved until walls, diagonals and intended angles fit best."""

from collections.abc import Sequence
from itertools import combinations

import numpy as np
import shapely

from ..arrays import turns_between
from ..records import record
from ..types import Array, Shape

_ANGLE_SURE = np.radians(2.0)  # [rad] stated corner angles are intentions (the job file's note on tape)
_SETTLED = 1e-10  # [mm]
_CHECKED = 1e-6  # a share of checking below this is none
_MOST_STEPS = 100
_MOST_CORNERS = 40


@record
class Measured:
    """A length between corners `start` and `end` (indices) as measured [mm]; `name` such as "A-C"."""

    name: str
    start: int
    end: int
    length: float


@record
class Residual:
    """How a measured length fits the adjusted outline: measured and adjusted, [mm].

    oddness: the misfit over its own standard deviation, 0 where nothing else checks the length.
    """

    name: str
    measured: float
    adjusted: float
    oddness: float

    @property
    def misfit(self) -> float:
        """How much longer the adjusted outline has it [mm]."""
        return self.adjusted - self.measured


def adjusted(
    corners: Array, lengths: Sequence[Measured], turns: Array, length_sure: float
) -> tuple[Array, tuple[Residual, ...]]:
    """The corners (n, 2) [mm] that fit best, and how each length fits them.

    corners: a first guess; lengths are sure to `length_sure` [mm], turns (n,) [rad] (left positive, nan where unstated)
    to 2 degrees. The first corner and the way to the second stay.

    Least squares by Gauss-Newton steps with halving (Nocedal & Wright, Numerical Optimization, ch. 10).
    """
    frame = _Frame(corners, lengths, turns, length_sure)
    moved = frame.solved()
    found = np.hypot(*(moved[frame.ends] - moved[frame.starts]).T)
    rows = zip(lengths, found.tolist(), frame.oddness(moved).tolist(), strict=True)
    return moved, tuple(Residual(m.name, m.length, length, odd) for m, length, odd in rows)


def worst_first(residuals: Sequence[Residual]) -> list[tuple[int, Residual]]:
    """The measured lengths with their numbers, the worst fit first."""
    return sorted(enumerate(residuals), key=lambda row: (-round(row[1].oddness, 6), -round(abs(row[1].misfit), 6)))


@record
class Fix:
    """What taping one more diagonal would do: between corners `start` and `end` (indices).

    unsure, left: the least sure corner's standard deviation in its worst direction, without and with it [mm]; corner:
    that one, without it.
    """

    start: int
    end: int
    corner: int
    unsure: float
    left: float


def best_diagonal(
    floor: Shape, corners: Array, lengths: Sequence[Measured], turns: Array, length_sure: float
) -> Fix | None:
    """The diagonal over the floor whose taping leaves the least sure corner surest, the first of equals.

    corners (n, 2) [mm]: as adjusted; the rest as for `adjusted`. Corners are reckoned against the first and the way to
    the second. One more measurement changes the covariance by rank one (Sherman and Morrison 1950), by where it runs,
    not what is read. None where all are taped, or past 40 corners.
    """
    count = len(corners)
    if count > _MOST_CORNERS:
        return None
    taken = {frozenset((m.start, m.end)) for m in lengths} | {frozenset((i, (i + 1) % count)) for i in range(count)}
    pairs = [pair for pair in combinations(range(count), 2) if frozenset(pair) not in taken]
    free = np.array(pairs, dtype=int).reshape(-1, 2)
    # A tape bends round a corner that is in its way by less than it is sure to.
    roomy = shapely.buffer(floor, length_sure, join_style="mitre")
    free = free[shapely.covers(roomy, shapely.linestrings(corners[free]))]
    if not len(free):
        return None
    spread = _Frame(corners, lengths, turns, length_sure).spread(corners)
    first, last = free.T
    away = corners[last] - corners[first]
    unit = away / np.hypot(*away.T)[:, None] / length_sure
    rows = np.zeros((len(free), count, 2))
    numbers = np.arange(len(free))
    rows[numbers, last], rows[numbers, first] = unit, -unit
    moved = rows.reshape(len(free), -1) @ spread
    gain = 1.0 + (moved * rows.reshape(len(free), -1)).sum(axis=1)
    pulled = moved.reshape(len(free), count, 2)
    before = np.stack([spread[k : k + 2, k : k + 2] for k in range(0, 2 * count, 2)])
    after = before - pulled[..., :, None] * pulled[..., None, :] / gain[:, None, None, None]
    unsure, left = _widest(before), _widest(after).max(axis=1)
    best = int(np.argmin(np.round(left, 6)))
    worst = int(np.argmax(np.round(unsure, 6)))
    return Fix(int(first[best]), int(last[best]), worst, float(unsure[worst]), float(left[best]))


def _widest(spread: Array) -> Array:
    mean = (spread[..., 0, 0] + spread[..., 1, 1]) / 2
    lean = np.hypot((spread[..., 0, 0] - spread[..., 1, 1]) / 2, spread[..., 0, 1])
    return np.sqrt(np.maximum(mean + lean, 0.0))


class _Frame:
    def __init__(self, corners: Array, lengths: Sequence[Measured], turns: Array, length_sure: float) -> None:
        self.first = corners
        self.starts = np.array([m.start for m in lengths])
        self.ends = np.array([m.end for m in lengths])
        self.measured = np.array([m.length for m in lengths])
        self.sure = length_sure
        self.at = np.flatnonzero(~np.isnan(turns))
        self.turns = turns[self.at]
        self.free = self._free()

    def _free(self) -> Array:
        """Directions (2 n - 3, 2 n) to move in: not the first corner, the second only along its wall."""
        count = len(self.first)
        along = self.first[1] - self.first[0]
        free = np.zeros((2 * count - 3, 2 * count))
        free[0, 2:4] = along / np.hypot(*along)
        free[np.arange(1, 2 * count - 3), np.arange(4, 2 * count)] = 1.0
        return free

    def solved(self) -> Array:
        corners = self.first
        misfits = self.misfits(corners)
        for _ in range(_MOST_STEPS):
            step = np.linalg.lstsq(self.slopes(corners), -misfits, rcond=None)[0] @ self.free
            corners, misfits, size = self._stepped(corners, misfits, step.reshape(-1, 2))
            if size < _SETTLED:
                break
        return corners

    def _stepped(self, corners: Array, misfits: Array, step: Array) -> tuple[Array, Array, float]:
        for part in 0.5 ** np.arange(12):
            tried = corners + part * step
            found = self.misfits(tried)
            if found @ found <= misfits @ misfits:
                return tried, found, float(np.abs(part * step).max())
        return corners, misfits, 0.0

    def misfits(self, corners: Array) -> Array:
        lengths = np.hypot(*(corners[self.ends] - corners[self.starts]).T)
        turned = (turns_between(*self._sides(corners)) - self.turns + np.pi) % (2 * np.pi) - np.pi
        return np.concatenate([(lengths - self.measured) / self.sure, turned / _ANGLE_SURE])

    def oddness(self, corners: Array) -> Array:
        """Each length's misfit over that misfit's own standard deviation.

        With leverage h that is its sureness times sqrt(1 - h) (Baarda's test of single observations).
        """
        basis, _ = np.linalg.qr(self.slopes(corners))
        checked = 1.0 - (basis * basis).sum(axis=1)[: len(self.starts)]
        misfits = np.abs(self.misfits(corners)[: len(self.starts)])
        return np.where(checked > _CHECKED, misfits / np.sqrt(np.maximum(checked, _CHECKED)), 0.0)

    def spread(self, corners: Array) -> Array:
        """The covariance (2 n, 2 n) [mm2] of the corners' coordinates."""
        slopes = self.slopes(corners)
        return self.free.T @ np.linalg.pinv(slopes.T @ slopes, hermitian=True) @ self.free

    def _sides(self, corners: Array) -> tuple[Array, Array]:
        count = len(corners)
        here = corners[self.at]
        return here - corners[self.at - 1], corners[(self.at + 1) % count] - here

    def slopes(self, corners: Array) -> Array:
        """Each misfit's change along each direction to move in, (observations, 2 n - 3)."""
        count = len(corners)
        rows = np.arange(len(self.starts))
        table = np.zeros((len(rows) + len(self.at), count, 2))
        away = corners[self.ends] - corners[self.starts]
        unit = away / np.hypot(*away.T)[:, None] / self.sure
        table[rows, self.ends] += unit
        table[rows, self.starts] -= unit
        rows = len(rows) + np.arange(len(self.at))
        before, after = (_swing(side) / _ANGLE_SURE for side in self._sides(corners))
        table[rows, (self.at + 1) % count] += after
        table[rows, self.at] -= after + before
        table[rows, self.at - 1] += before
        return table.reshape(len(table), -1) @ self.free.T


def _swing(sides: Array) -> Array:
    return np.asarray(np.column_stack([-sides[:, 1], sides[:, 0]]) / (sides * sides).sum(axis=1)[:, None])
