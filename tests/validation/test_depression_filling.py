"""Filling depressions: a worked example, and real ground against an independent library, to the last bit; then a bed.

Reference: reconstruction by erosion in scikit-image (Robinson and Whelan's algorithm), which is an image method and
knows no graph. The ground is the elevation model of the Jacksboro fault that matplotlib ships among its sample data.
"""

from __future__ import annotations

import numpy as np
import pytest
import shapely
import skimage
from matplotlib import cbook

from engine.proof.surface import BuiltSurface
from engine.proof.water import filled as filled_at_once
from engine.proof.water import flood, has_pits

FOUR = ((0, 1), (1, 0))
EIGHT = (*FOUR, (1, 1), (1, -1))


def edges_of(rows, columns, steps):
    """Pairs of neighbouring cells of a grid, numbered row by row."""
    numbers = np.arange(rows * columns).reshape(rows, columns)
    pairs = []
    for down, across in steps:
        first = numbers[: rows - down, max(0, -across) : columns - max(0, across)]
        second = numbers[down:, max(0, across) : columns + min(0, across)]
        pairs.append(np.column_stack([first.ravel(), second.ravel()]))
    return np.vstack(pairs)


def filled(heights, steps, drained):
    """The level as the plan finds it: lowest cell first, and by rounds over all cells at once, which are the same."""
    outlets = np.where(drained, 0, -1).ravel()
    edges, tops = edges_of(*heights.shape, steps), heights.ravel().astype(float)
    level = flood(tops, edges, outlets).level
    assert (filled_at_once(tops, edges, outlets) == level).all()
    return level.reshape(heights.shape)


def rim_of(shape):
    rim = np.ones(shape, dtype=bool)
    rim[1:-1, 1:-1] = False
    return rim


@pytest.mark.parametrize(("steps", "level"), [(EIGHT, 10.0), (FOUR, 12.0)])
def test_the_worked_example_fills_to_its_lowest_rim(steps, level):
    """10 12 10 / 12 9 12 / 10 12 10: the centre fills to 10 with eight neighbours, to 12 with four (reasoned)."""
    heights = np.array([[10, 12, 10], [12, 9, 12], [10, 12, 10]], dtype=float)
    assert filled(heights, steps, rim_of(heights.shape))[1, 1] == level


@pytest.fixture(scope="module")
def ground():
    with cbook.get_sample_data("jacksboro_fault_dem.npz") as model:
        return model["elevation"][60:180, 80:220].astype(float)


@pytest.mark.parametrize(("steps", "connected"), [(EIGHT, np.ones((3, 3))), (FOUR, None)])
def test_real_ground_fills_as_the_image_library_fills_it(ground, steps, connected):
    seed = np.where(rim_of(ground.shape), ground, ground.max())
    plus = np.array([[0, 1, 0], [1, 1, 1], [0, 1, 0]])
    expected = skimage.morphology.reconstruction(
        seed, ground, method="erosion", footprint=plus if connected is None else connected
    )
    found = filled(ground, steps, rim_of(ground.shape))
    assert (found == expected).all()
    assert (found > ground).sum() > 20  # there is something to fill


def test_drained_at_one_cell_as_a_floor_is(ground):
    """Walls closed all round: everything runs to one cell in the middle."""
    drained = np.zeros(ground.shape, dtype=bool)
    drained[60, 70] = True
    seed = np.where(drained, ground, ground.max())
    expected = skimage.morphology.reconstruction(seed, ground, method="erosion", footprint=np.ones((3, 3)))
    assert (filled(ground, EIGHT, drained) == expected).all()


def test_ground_without_a_pit_is_known_at_once(ground):
    edges, outlets = edges_of(*ground.shape, EIGHT), np.where(rim_of(ground.shape), 0, -1).ravel()
    assert has_pits(ground.ravel(), edges, outlets)
    slope = np.add.outer(np.arange(120.0), np.arange(140.0) / 7)
    assert not has_pits(slope.ravel(), edges, outlets)


def test_a_bed_holds_the_water_that_the_image_library_finds_on_a_fine_raster(make_plan):
    """Three hollows and a hump on a 5 mm raster; its own dams are up to 0.3 x slope x cell deep."""
    found = make_plan("rectangle = [1500, 1200]", at=(750, 600), size=150.0, drop=500.0, shape="even-fall")
    off = {(350, 300): -14, (1150, 300): -11, (750, 900): 9, (750, 1100): -5}
    off |= dict.fromkeys(map(tuple, found.outline.corners.tolist()), 0)
    surface = BuiltSurface(found.bed, np.array(list(off), dtype=float), np.array(list(off.values()), dtype=float))
    grid = np.stack(np.meshgrid(np.arange(-2.5, 1505, 5.0), np.arange(-2.5, 1205, 5.0)), axis=-1)
    floor = shapely.contains_xy(found.outline.polygon, grid[..., 0], grid[..., 1])
    heights = np.full(floor.shape, 1e6)
    heights[floor] = surface.height(grid[floor])
    drained = found.bed.reach.flange.stretch(grid.reshape(-1, 2)).reshape(floor.shape) <= 1
    seed = np.where(drained, heights, 1e6)
    level = skimage.morphology.reconstruction(seed, heights, method="erosion", footprint=np.ones((3, 3)))
    depth = np.where(floor, level - heights, 0.0)
    ponds = surface.ponds
    assert len(ponds) >= 2
    assert ponds[0].depth == pytest.approx(depth.max(), abs=0.4)
    assert sum(pond.area for pond in ponds) == pytest.approx((depth > 0.01).sum() * 25.0, rel=0.1)
    assert sum(pond.volume for pond in ponds) == pytest.approx(depth.sum() * 25.0, rel=0.1)
