"""Extremes of a function: a smooth one along many segments at once, one with ridges inside the floor."""

from collections.abc import Callable

import numpy as np
import shapely

from ..boxes import box_round, grid_inside
from ..records import result
from ..types import Array, Index, Shape

_SAMPLES = 17
_GRID = np.linspace(0.0, 1.0, _SAMPLES)
# Each round narrows the stretch by 8: of 16 steps two are kept.
_FINE = np.linspace(0.0, 1.0, 8 * (_SAMPLES - 1) + 1)  # two rounds in one
_FEW = 16  # segments; with so few, eight times the points cost less than asking twice
SMOOTH = 2  # rounds that do where the parabola's tip holds
KINKED = 8  # rounds that do where there may be a kink: 1e-8 of the segment
_AROUND = np.array([[-1], [0], [1]])  # a sample and its neighbours
_STRAIGHT = 1e-13  # three samples that bend less have no tip
_ACROSS = 48  # samples across the floor's longer side
_TRIES = 4  # best samples to climb from
_LAST_STEP = 1e-4  # [mm]
_RING = np.array([[np.cos(a), np.sin(a)] for a in np.arange(8) * np.pi / 4])


@result
class Extremes:
    """The least and most value found, with their places (2,)."""

    least: float
    least_at: Array
    most: float
    most_at: Array


def extremes(
    function: Callable[[Array], Array], starts: Array, ends: Array, less: "Array | None" = None, rounds: int = SMOOTH
) -> Extremes:
    """The least and most of `function` over segments from starts (k, 2) to ends (k, 2), k >= 1.

    `function` maps points (m, 2) to values (m,); `less` (k, 2): what is taken off at each segment's ends, straight
    between. Where the difference is smooth with few turns, a parabola finds an extreme's place to 1e-5 of the segment,
    its value to that squared; with kinks, ask for KINKED rounds.
    """
    off = np.zeros((len(starts), 2)) if less is None else less
    search = _Search(function, starts, ends - starts, off[:, 0, None], (off[:, 1] - off[:, 0])[:, None])
    values = search.sampled(np.broadcast_to(_GRID, (len(starts), _SAMPLES)))
    low, high = _hopeful(values)
    rows = np.concatenate([low, high])
    return search.only(rows).narrowed(values[rows], len(low), rounds)


def _hopeful(values: Array) -> tuple[Index, Index]:
    lows, highs = values.min(axis=1), values.max(axis=1)
    steps = np.abs(values[:, 1:] - values[:, :-1]).max(axis=1)
    return (lows - steps <= lows.min()).nonzero()[0], (highs + steps >= highs.max()).nonzero()[0]


@result
class _Search:
    function: Callable[[Array], Array]
    starts: Array
    along: Array
    off: Array
    slope: Array

    def only(self, rows: Index) -> "_Search":
        return _Search(self.function, self.starts[rows], self.along[rows], self.off[rows], self.slope[rows])

    def sampled(self, at: Array) -> Array:
        points = self.starts.T[..., None] + at * self.along.T[..., None]
        values = self.function(points.reshape(2, -1).T).reshape(at.shape)
        return values - self.off - at * self.slope

    def _settled(self, signs: Array, at: Array, found: Array) -> tuple[Array, Array]:
        index = np.arange(len(at))
        best = (signs * found).argmin(axis=1)
        values, places = found[index, best], at[index, best]
        middle = np.minimum(np.maximum(best, 1), at.shape[1] - 2)
        before, here, after = found[index, middle + _AROUND]
        bend = before - 2 * here + after
        lean = (before - after) / (2 * np.where(np.abs(bend) > _STRAIGHT, bend, np.inf))
        step = at[:, 1] - at[:, 0]
        tips = np.minimum(np.maximum(at[index, middle] + lean * step, at[:, 0]), at[:, -1])
        if (tips == places).all():
            return values, places
        tip_values = self.sampled(tips[:, None])[:, 0]
        better = signs[:, 0] * tip_values < signs[:, 0] * values
        return np.where(better, tip_values, values), np.where(better, tips, places)

    def narrowed(self, found: Array, lows: int, rounds: int) -> Extremes:
        """The least over the first `lows` segments, the most over the others, from first samples on."""
        index = np.arange(len(found))
        signs = np.where(index < lows, 1.0, -1.0)[:, None]
        at = np.broadcast_to(_GRID, found.shape)
        while rounds > 0:
            best = (signs * found).argmin(axis=1)
            left = at[index, np.maximum(best - 1, 0)][:, None]
            right = at[index, np.minimum(best + 1, at.shape[1] - 1)][:, None]
            twice = rounds > 1 and len(found) <= _FEW
            at = left + (_FINE if twice else _GRID) * (right - left)
            found = self.sampled(at)
            rounds -= 2 if twice else 1
        values, at = self._settled(signs, at, found)
        points = self.starts + at[:, None] * self.along
        least, most = int(values[:lows].argmin()), lows + int(values[lows:].argmax())
        return Extremes(float(values[least]), points[least], float(values[most]), points[most])


def highest_inside(function: Callable[[Array], Array], polygon: Shape) -> Array:
    """The place (2,) where `function` ((k, 2) to (k,)) is highest: the best grid samples, climbed by rings.

    Peaks narrower than a grid step may be missed.
    """
    low, high = box_round(polygon)
    step = float((high - low).max()) / _ACROSS
    places = grid_inside(polygon, step)
    best = places[np.argsort(-function(places), kind="stable")[:_TRIES]]
    while step > _LAST_STEP:
        best = _climbed(function, polygon, best, step)
        step *= 0.6
    return np.asarray(best[int(np.argmax(function(best)))])


def _climbed(function: Callable[[Array], Array], polygon: Shape, best: Array, step: float) -> Array:
    ring = np.vstack([[[0.0, 0.0]], _RING * step])
    tries = best[:, None] + ring
    flat = tries.reshape(-1, 2)
    values = np.full(len(flat), -np.inf)
    inside = shapely.covers(polygon, shapely.points(flat))
    values[inside] = function(flat[inside])
    return np.asarray(tries[np.arange(len(best)), np.argmax(values.reshape(len(best), -1), axis=1)])
