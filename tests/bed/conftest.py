"""Depression filling of a bed by an image library."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
import skimage


def pits(found, cell, also_drained=None):
    """The deepest water by depression filling of scikit-image on a raster [mm], seeded at the drains.

    also_drained: tells of places (k, 2) which of them are seeded too.
    """
    bed, polygon = found.bed, found.outline.polygon
    low, high = np.array(shapely.bounds(polygon)).reshape(2, 2)
    x, y = (np.arange(a - cell / 2, b + cell, cell) for a, b in zip(low, high, strict=True))
    grid = np.stack(np.meshgrid(x, y), axis=-1)
    on = shapely.contains_xy(polygon, grid[..., 0], grid[..., 1])
    heights, drained = np.full(on.shape, 1e6), np.zeros_like(on)
    heights[on] = bed.height(grid[on])
    drained[on] = np.min([flange.distance(grid[on]) for flange in bed.reach.flanges], axis=0) == 0
    if also_drained is not None:
        drained[on] |= also_drained(grid[on])
    filled = skimage.morphology.reconstruction(np.where(drained, heights, 1e6), heights, method="erosion")
    return (filled - heights)[on].max()


@pytest.fixture(scope="session", name="pits")
def make_pits():
    return pits
