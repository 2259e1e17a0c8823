"""The error map's filled parts: as large as they have to be, by hand and by the water's own figures."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import shapely

from engine.sheets.page.contours import fine_triangles, over
from engine.sheets.page.error_map import pond_shape

COOPERS = Path(__file__).parents[2] / "sample_jobs" / "coopers_yard.toml"


def square(count):
    """A square of 100 mm in 2 x count x count triangles (t, 3, 2)."""
    cell = 100.0 / count
    x, y = (grid.ravel()[:, None] for grid in np.meshgrid(np.arange(count) * cell, np.arange(count) * cell))
    lower = np.concatenate([x, y, x + cell, y, x + cell, y + cell], axis=1)
    upper = np.concatenate([x, y, x + cell, y + cell, x, y + cell], axis=1)
    return np.concatenate([lower, upper]).reshape(-1, 3, 2)


@pytest.mark.parametrize(("level", "area"), [(50.0, 5000.0), (-1.0, 10_000.0), (100.0, 0.0), (33.0, 6700.0)])
def test_what_lies_over_a_level_of_a_slope(level, area):
    """A slope of one up the square: what is over a level is the strip past it."""
    triangles = square(7)
    found = over(triangles, triangles[..., 0], level)
    assert shapely.area(found) == pytest.approx(area, abs=1.0)
    assert found.is_empty is (area == 0)
    assert len(shapely.get_parts(found)) == 1


def test_what_lies_over_a_level_of_a_cone():
    """A circle of radius 30 round the middle, and its ring where the cone is hollow."""
    triangles = square(100)
    far = np.hypot(triangles[..., 0] - 50, triangles[..., 1] - 50)
    assert shapely.area(over(triangles, -far, -30.0)) == pytest.approx(np.pi * 900, rel=1e-3)
    ring = over(triangles, -np.abs(far - 30), -10.0)
    assert shapely.area(ring) == pytest.approx(np.pi * (1600 - 400), rel=2e-3)
    assert len(ring.interiors) == 1


def test_a_pond_is_filled_as_wide_as_the_water_is_reckoned(plan_of):
    built = plan_of(COOPERS).as_built
    (pond,) = built.ponds
    triangles = fine_triangles(built.surface.bed)
    heights = built.surface.height(triangles.reshape(-1, 2)).reshape(-1, 3)
    filled = pond_shape(triangles, heights, pond)
    assert shapely.area(filled) == pytest.approx(pond.area, rel=0.05)
