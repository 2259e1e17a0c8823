"""The box round a shape, even grids over it, and even steps along lines and rings."""

import numpy as np
import shapely

from .arrays import following
from .types import Array, Shape

_NOISE = 1e-9  # of a step: a whole number of them is not one more for noise


def box_round(shape: Shape) -> tuple[Array, Array]:
    """The lowest and highest corners of the box round a shape, (2,) each [mm]."""
    low, high = np.array(shapely.bounds(shape)).reshape(2, 2)
    return low, high


def grid(low: Array, high: Array, step: float) -> Array:
    """Places (k, 2) [mm], row by row, every `step` from the lowest corner up to the highest."""
    x, y = (np.arange(a, b, step) for a, b in zip(low, high, strict=True))
    return np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)


def grid_inside(polygon: Shape, step: float) -> Array:
    """Places (k, 2) [mm] of such a grid in a polygon, the first half a step from the box round it."""
    low, high = box_round(polygon)
    places = grid(low + step / 2, high, step)
    return np.asarray(places[shapely.contains_xy(polygon, *places.T)])


def along(start: Array, end: Array, step: float) -> Array:
    """Places (k, 2) [mm] evenly from start to end, (2,), both among them, at most `step` apart."""
    count = max(int(np.ceil(np.hypot(*(end - start)) / step - _NOISE)), 1)
    return start + np.linspace(0.0, 1.0, count + 1)[:, None] * (end - start)


def along_ring(ring: Array, step: float) -> Array:
    """Places (k, 2) [mm] so along each side of a ring, its corners among them."""
    return np.vstack([along(a, b, step)[:-1] for a, b in zip(ring, following(ring), strict=True)])
