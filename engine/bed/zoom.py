"""Least and most of a smooth function along many straight segments at once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Callable

    from engine.types import Array, Index

_SAMPLES = 17
_GRID = np.linspace(0.0, 1.0, _SAMPLES)
# Each round narrows the stretch by 8: of 16 steps two are kept.
SMOOTH = 2  # rounds that do where the parabola's tip can be trusted
KINKED = 8  # rounds that do where the function may have a kink: 1e-8 of the segment
_STRAIGHT = 1e-13  # three samples that bend less have no tip worth looking for


@dataclass(frozen=True, eq=False)
class Extremes:
    """The least and most value found, with their places (2,)."""

    least: float
    least_at: Array
    most: float
    most_at: Array


def extremes(
    function: Callable[[Array], Array],
    starts: Array,
    ends: Array,
    less: Array | None = None,
    rounds: int = SMOOTH,
) -> Extremes:
    """The least and most of `function` over segments from starts (k, 2) to ends (k, 2), k >= 1.

    `function` maps points (m, 2) to values (m,). `less` (k, 2) gives at both ends of each segment what is taken
    off, straight in between. Along each segment the difference should be smooth with at most a few turns; the
    place of an extreme is then found to 1e-5 of the segment by its parabola, its value to the square of that. Where
    it may have kinks, ask for KINKED rounds.
    """
    off = np.zeros((len(starts), 2)) if less is None else less
    search = _Search(function, starts, ends - starts, off[:, 0], off[:, 1] - off[:, 0], rounds)
    values = search.sampled(np.arange(len(starts)), np.broadcast_to(_GRID, (len(starts), _SAMPLES)))
    low, high = _hopeful(values)
    return search.narrowed(values, low, high)


def _hopeful(values: Array) -> tuple[Index, Index]:
    """Segments worth narrowing: those whose samples come as near to the best as their own steps could hide."""
    lows, highs = values.min(axis=1), values.max(axis=1)
    steps = np.abs(values[:, 1:] - values[:, :-1]).max(axis=1)
    return np.flatnonzero(lows - steps <= lows.min()), np.flatnonzero(highs + steps >= highs.max())


@dataclass(frozen=True, eq=False)
class _Search:
    function: Callable[[Array], Array]
    starts: Array
    along: Array
    off: Array
    slope: Array
    rounds: int

    def sampled(self, rows: Index, at: Array) -> Array:
        """Values at the parts `at` (r, s) of the way along segments `rows` (r,)."""
        points = self.starts[rows, None] + at[..., None] * self.along[rows, None]
        values = self.function(points.reshape(-1, 2)).reshape(at.shape)
        return np.asarray(values - self.off[rows, None] - at * self.slope[rows, None])

    def _settled(self, rows: Index, signs: Array, at: Array, found: Array) -> tuple[Array, Array]:
        """Values and parts of the way: the best sample, or the tip of the parabola through it and its neighbours."""
        index = np.arange(len(rows))
        best = (signs * found).argmin(axis=1)
        values, places = found[index, best], at[index, best]
        middle = np.clip(best, 1, _SAMPLES - 2)
        before, here, after = (found[index, middle + k] for k in (-1, 0, 1))
        bend = before - 2 * here + after
        lean = np.divide(before - after, 2 * bend, out=np.zeros_like(bend), where=np.abs(bend) > _STRAIGHT)
        step = at[:, 1] - at[:, 0]
        tips = np.clip(at[index, middle] + lean * step, at[:, 0], at[:, -1])
        tip_values = self.sampled(rows, tips[:, None])[:, 0]
        better = signs[:, 0] * tip_values < signs[:, 0] * values
        return np.where(better, tip_values, values), np.where(better, tips, places)

    def narrowed(self, values: Array, low: Index, high: Index) -> Extremes:
        """The least over segments `low` and the most over `high`, from their first samples on."""
        rows = np.concatenate([low, high])
        signs = np.where(np.arange(len(rows)) < len(low), 1.0, -1.0)[:, None]
        at, found = np.tile(_GRID, (len(rows), 1)), values[rows]
        index = np.arange(len(rows))
        for _ in range(self.rounds):
            best = (signs * found).argmin(axis=1)
            left = at[index, np.maximum(best - 1, 0)]
            right = at[index, np.minimum(best + 1, _SAMPLES - 1)]
            at = left[:, None] + _GRID * (right - left)[:, None]
            found = self.sampled(rows, at)
        values, at = self._settled(rows, signs, at, found)
        points = self.starts[rows] + at[:, None] * self.along[rows]
        least = int(values[: len(low)].argmin())
        most = len(low) + int(values[len(low) :].argmax())
        return Extremes(float(values[least]), points[least], float(values[most]), points[most])
