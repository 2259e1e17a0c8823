"""The highest value of a function with ridges inside the floor."""

from collections.abc import Callable

import numpy as np
import shapely

from engine.boxes import box_round, grid_inside
from engine.types import Array, Shape

_GRID = 48  # samples across the floor's longer side
_TRIES = 4  # best samples to climb from
_LAST_STEP = 1e-4  # [mm]
_RING = np.array([[np.cos(a), np.sin(a)] for a in np.arange(8) * np.pi / 4])


def highest_inside(function: Callable[[Array], Array], polygon: Shape) -> Array:
    """The place (2,) [mm] of the highest value of `function` ((k, 2) to (k,)): the best grid samples, climbed by rings.

    Peaks narrower than a grid step may be missed.
    """
    low, high = box_round(polygon)
    step = float((high - low).max()) / _GRID
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
    picked = np.argmax(values.reshape(len(best), -1), axis=1)
    return np.asarray(tries[np.arange(len(best)), picked])
