"""Water on a planned bed reaches the drain from everywhere: nothing stands.

The oracle is scikit-image's depression filling (reconstruction by erosion): the bed on a raster, walls closed, seeded
at the drain only; what it fills above the bed is standing water. A raster knows eight directions, so along a valley
between steep facets it dams up to about 0.3 x slope x cell of its own; cells are chosen so small that this stays
below what is asked.
"""

from __future__ import annotations

import numpy as np
import pytest
import shapely
import skimage
from hypothesis import assume, given, settings
from hypothesis import strategies as st

STANDING = 0.05  # [mm]
DAMMED = 0.3  # [-]
COARSEST, FINEST = 10.0, 1.2  # [mm] cells
WALL = 1e6  # [mm]


def raster(polygon, cell):
    """Cell centres (rows, columns, 2) over a floor with a rim of wall, and which lie on the floor."""
    low, high = np.array(polygon.bounds).reshape(2, 2)
    x, y = (np.arange(a - cell / 2, b + cell, cell) for a, b in zip(low, high, strict=True))
    grid = np.stack(np.meshgrid(x, y), axis=-1)
    shapely.prepare(polygon)
    return grid, shapely.contains_xy(polygon, grid[..., 0], grid[..., 1])


def standing(heights, drained):
    """The depth of water that stays on a raster of heights, walls WALL high, drained where marked."""
    seed = np.where(drained, heights, WALL)
    return skimage.morphology.reconstruction(seed, heights, method="erosion") - heights


def most_standing(plan, polygon, cell):
    grid, floor = raster(polygon, cell)
    heights = np.full(floor.shape, WALL)
    heights[floor] = plan.bed.height(grid[floor])
    flange = plan.drains[0].flange
    drained = np.zeros_like(floor)
    drained[floor] = shapely.contains_xy(flange.polygon, grid[floor])
    joined = skimage.measure.label(floor, connectivity=2)
    joined = joined == joined[drained][0]  # in a needle of a corner a cell may touch no other
    return float(standing(heights, drained)[joined].max())


def cell_for(slope):
    return float(np.clip(STANDING / (DAMMED * slope), FINEST, COARSEST))


def steepest(plan, polygon):
    """The steepest facet at a wall: the wall's height over its square distance from the flange."""
    if plan.bed.shape == "even-fall":
        return plan.bed.steepest
    away = shapely.distance(shapely.boundary(polygon), shapely.Point(plan.drains[0].flange.centre))
    return plan.bed.wall_height / (away - plan.drains[0].flange.size / 2)


FEW = settings().max_examples // 14


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        ("rectangles", {"most": 900}),
        ("stars", {"most": 500, "least": 300}),
        ("simple", {}),
    ],
)
@settings(derandomize=True, deadline=None, max_examples=FEW)
@given(data=st.data())
def test_water_runs_off(make_plan, rooms, kind, words, data):
    room = data.draw(getattr(rooms, kind)(**words))
    plan = room.planned(make_plan, mark_step=0.01, readings=[])
    cell = cell_for(steepest(plan, room.polygon))
    assume(room.polygon.buffer(-2 * cell).geom_type == "Polygon")  # no neck that a raster would dam
    assert most_standing(plan, room.polygon, cell) < STANDING


def test_the_oracle_sees_a_birdbath(make_plan):
    """A hollow pressed into a sound bed holds water to its lowest rim."""
    plan = make_plan("rectangle = [900, 700]", at=(450, 350), size=80.0, shape="even-fall")
    grid, floor = raster(plan.outline.polygon, 5.0)
    heights = np.full(floor.shape, WALL)
    heights[floor] = plan.bed.height(grid[floor])
    hollow = floor & (np.hypot(*(grid - [150, 150]).transpose(2, 0, 1)) < 40)
    heights[hollow] = heights[hollow].min() - 1.0
    drained = np.hypot(*(grid - [450, 350]).transpose(2, 0, 1)) < 40
    pond = standing(heights, drained)
    rim = 2 * 5.0 / 48  # it is lower than the hollow's edge by a cell or two of fall
    assert 1.0 - rim <= pond[hollow].max() <= 1.0
    assert pond[floor & ~hollow].max() < STANDING


def test_the_worked_example():
    """Eight neighbours fill this centre to 10: 10 12 10 / 12 9 12 / 10 12 10."""
    heights = np.array([[10, 12, 10], [12, 9, 12], [10, 12, 10]], dtype=float)
    drained = np.ones((3, 3), dtype=bool)
    drained[1, 1] = False
    assert standing(heights, drained)[1, 1] == 1.0
