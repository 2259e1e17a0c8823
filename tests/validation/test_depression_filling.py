"""Filling depressions: a worked example, and real ground against an independent library, to the last bit.

Reference: reconstruction by erosion in scikit-image (Robinson and Whelan's algorithm), which is an image method and
knows no graph. The ground is the elevation model of the Jacksboro fault that matplotlib ships among its sample data.
"""

from __future__ import annotations

import numpy as np
import pytest
from matplotlib import cbook
from skimage.morphology import reconstruction

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
    outlets = np.where(drained, 0, -1).ravel()
    edges = edges_of(*heights.shape, steps)
    return flood(heights.ravel().astype(float), edges, outlets).level.reshape(heights.shape)


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
    expected = reconstruction(
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
    expected = reconstruction(seed, ground, method="erosion", footprint=np.ones((3, 3)))
    assert (filled(ground, EIGHT, drained) == expected).all()


def test_ground_without_a_pit_is_known_at_once(ground):
    edges, outlets = edges_of(*ground.shape, EIGHT), np.where(rim_of(ground.shape), 0, -1).ravel()
    assert has_pits(ground.ravel(), edges, outlets)
    slope = np.add.outer(np.arange(120.0), np.arange(140.0) / 7)
    assert not has_pits(slope.ravel(), edges, outlets)
