"""Where a drain may stand: its flange clear of the walls, the floor in its sight, its runs within the limits."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import shapely

from engine.bed.flange import Flange
from engine.bed.kernel import kernel
from engine.boxes import box_round, grid
from engine.quantities import round_up
from engine.rings import following
from engine.survey.outline import FloorOutline
from engine.types import Array, Shape

_OFF_LINE = 2.0  # [mm] kept between the flange and the line of every wall
_CLEAR = 0.01  # [mm] kept between flange and wall
_ROUND = 32  # segments of a quarter circle
_GRID = 24  # samples across the region's longer side
_ROUNDS = 7  # each narrows the search by 4
_FINER = np.linspace(-1.0, 1.0, 9)
_NEARLY = 0.02  # [mm] an excess that a place on the building step near by may not have


def clear_places(floor: FloorOutline, flange: Flange) -> Shape:
    """The places for a flange's middle at which it stands wholly on the floor, clear of walls and islands.

    The floor less each wall spread by the flange (their Minkowski sum, convex for a straight wall).
    """
    starts = np.vstack(floor.rings)
    ends = np.vstack([following(ring) for ring in floor.rings])
    if flange.is_round:
        lines = shapely.linestrings(np.stack([starts, ends], axis=1))
        spread = shapely.buffer(lines, (flange.half + _CLEAR) / np.cos(np.pi / 4 / _ROUND), quad_segs=_ROUND)
    else:
        reach = (flange.corners - flange.centre) * (1 + _CLEAR / flange.half)
        both = np.stack([starts, ends], axis=1)
        spread = shapely.convex_hull(shapely.multipoints((both[:, :, None] + reach).reshape(len(starts), -1, 2)))
    return shapely.difference(floor.polygon, shapely.union_all(spread))


def seeing_places(floor: FloorOutline, flange: Flange) -> Shape:
    """The clear places from which one drain sees the whole floor, no wall of it edge-on; empty where there is none."""
    ring = kernel(floor, flange.half + _OFF_LINE)
    clear = clear_places(floor, flange)
    return shapely.intersection(clear, shapely.polygons(ring)) if len(ring) else shapely.Polygon()


class Runs:
    """The longest and the shortest run from a flange to the walls, for many places of its middle at once."""

    def __init__(self, floor: FloorOutline, flange: Flange, *, square: bool) -> None:
        self._starts = np.vstack(floor.rings)
        self._ends = np.vstack([following(ring) for ring in floor.rings])
        along = self._ends - self._starts
        along = along / np.hypot(*along.T)[:, None]
        self._inward = np.column_stack([-along[:, 1], along[:, 0]])
        self._flange, self._square = flange, square

    def __call__(self, centres: Array) -> tuple[Array, Array]:
        """The longest and shortest run (k,) [mm] each, from places (k, 2) that see the whole floor."""
        if self._square:
            away = ((centres[:, None] - self._starts) * self._inward).sum(axis=2)
            runs = away - self._flange.rim(-self._inward)
            return runs.max(axis=1), runs.min(axis=1)
        return self._to(self._starts - centres[:, None]).max(axis=1), self._to(
            self._nearest(centres) - centres[:, None]
        ).min(axis=1)

    def _nearest(self, centres: Array) -> Array:
        along = self._ends - self._starts
        part = ((centres[:, None] - self._starts) * along).sum(axis=2) / (along * along).sum(axis=1)
        return np.asarray(self._starts + np.clip(part, 0.0, 1.0)[..., None] * along)

    def _to(self, offset: Array) -> Array:
        far = np.maximum(np.hypot(offset[..., 0], offset[..., 1]), np.finfo(float).tiny)
        rim = self._flange.rim((offset / far[..., None]).reshape(-1, 2)).reshape(far.shape)
        return far - rim


def excess_fall(runs: Runs, fall: float, most: float, step: float) -> Callable[[Array], Array]:
    """By how much the walls stand too high for the most fall over the shortest run (k,) [mm]; 0 or less is allowed.

    The walls stand at the fall over the longest run, rounded up to the mark step.
    """

    def excess(centres: Array) -> Array:
        longest, shortest = runs(centres)
        heights = np.array([round_up(height, step) for height in (fall * longest).tolist()])
        return heights - most * shortest * (1 + 1e-9)

    return excess


def nearest_allowed(region: Shape, excess: Callable[[Array], Array], place: Array) -> Array | None:
    """The place (2,) [mm] of a region nearest to a given one at which the excess is next to none; None for none.

    Found on a grid and on ever finer ones round the best, to a thousandth of the region; a pocket narrower than a
    grid step may be missed.
    """
    if shapely.is_empty(region):
        return None
    low, high = box_round(region)
    step = max(float((high - low).max()) / _GRID, 1e-3)
    best = _best(region, excess, np.vstack([place[None], grid(low, high + step / 2, step)]), place)
    for _ in range(_ROUNDS):
        if best is None:
            return None
        around = best + np.stack(np.meshgrid(_FINER * step, _FINER * step), axis=-1).reshape(-1, 2)
        best = _best(region, excess, np.vstack([best[None], around]), place)
        step /= 4
    return best if best is not None and excess(best[None])[0] <= _NEARLY else None


def _best(region: Shape, excess: Callable[[Array], Array], places: Array, place: Array) -> Array | None:
    """Of the places in the region the nearest that is allowed; where none is, the one with the least excess."""
    inside = places[shapely.intersects_xy(region, *places.T)]
    if not len(inside):
        return None
    over = excess(inside)
    allowed = over <= _NEARLY
    rank = np.hypot(*(inside - place).T) if allowed.any() else over
    return np.asarray(inside[int(np.argmin(np.where(allowed | ~allowed.any(), rank, np.inf)))])
