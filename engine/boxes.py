"""The box round a shape, and even grids over it."""

import numpy as np
import shapely

from .types import Array, Shape


def box_round(shape: Shape) -> tuple[Array, Array]:
    """The lowest and the highest corner of the box round a shape, (2,) each [mm]."""
    low, high = np.array(shapely.bounds(shape)).reshape(2, 2)
    return low, high


def grid(low: Array, high: Array, step: float) -> Array:
    """Places (k, 2) [mm], row by row, every `step` from the lowest corner on up to the highest."""
    x, y = (np.arange(a, b, step) for a, b in zip(low, high, strict=True))
    return np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)


def grid_inside(polygon: Shape, step: float) -> Array:
    """Places (k, 2) [mm] of such a grid inside a polygon, the first half a step from the box round it."""
    low, high = box_round(polygon)
    places = grid(low + step / 2, high, step)
    return np.asarray(places[shapely.contains_xy(polygon, *places.T)])
