"""Water levels two ways: all at once, and by the flood from the outlets, lowest node first."""

import numpy as np
import pytest

from engine.proof.water import filled, flood


def grid(count):
    """The edges of a square grid of so many nodes a side."""
    ids = np.arange(count * count).reshape(count, count)
    across = np.stack([ids[:, 1:].ravel(), ids[:, :-1].ravel()], axis=1)
    return np.concatenate([across, np.stack([ids[1:].ravel(), ids[:-1].ravel()], axis=1)])


@pytest.mark.parametrize("seed", range(40))
def test_levels_are_those_of_the_flood(seed):
    """Rough ground, flat steps among it, and grounds that an outlet hardly reaches."""
    rng = np.random.default_rng(seed)
    count = int(rng.integers(2, 24))
    heights = rng.normal(size=count * count).round(rng.integers(0, 4))
    outlets = np.full(count * count, -1)
    outlets[rng.integers(0, count * count, rng.integers(1, 4))] = 0
    assert filled(heights, grid(count), outlets).tolist() == flood(heights, grid(count), outlets).level.tolist()


def test_without_an_outlet_it_fills_without_end():
    assert np.isinf(filled(np.zeros(9), grid(3), np.full(9, -1))).all()


def test_a_bowl_fills_to_its_rim():
    heights = np.array([2.0, 0.0, 1.0, -5.0])
    edges = np.array([[0, 1], [1, 2], [2, 3]])
    assert filled(heights, edges, np.array([-1, -1, -1, 7])).tolist() == [2.0, 1.0, 1.0, -5.0]
