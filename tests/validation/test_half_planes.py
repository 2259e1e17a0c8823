"""The kernel, the places that see a whole floor, against half-plane intersection by a general-purpose library.

Source: scipy.spatial.HalfspaceIntersection (Qhull; Barber, Dobkin and Huhdanpaa 1996), started from the deepest inner
point by scipy.optimize.linprog.
"""

from __future__ import annotations

import numpy as np
import pytest
import scipy
import shapely

from engine.bed.kernel import kernel
from engine.job.model import EdgeKind
from engine.survey.outline import FloorOutline, corner_names


def floor_of(corners):
    count = len(corners)
    return FloorOutline(np.array(corners, dtype=float), corner_names(count), (EdgeKind.WALL,) * count)


def by_half_planes(floor, clear):
    """The same meet of half-planes by scipy's qhull, about the point deepest inside by its linear program."""
    outward = -floor.inward
    offset = -(outward * floor.corners).sum(axis=1) + clear
    deepest = scipy.optimize.linprog(
        [0, 0, -1],
        A_ub=np.column_stack([outward, np.ones(len(outward))]),
        b_ub=-offset,
        bounds=[(None, None), (None, None), (0, None)],
    )
    if deepest.status != 0 or deepest.x[2] < 0.1:
        return None
    halves = scipy.spatial.HalfspaceIntersection(np.column_stack([outward, offset]), deepest.x[:2])
    return shapely.MultiPoint(halves.intersections).convex_hull


@pytest.mark.parametrize("clear", [0.0, 150.0])
def test_is_the_meet_of_half_planes_by_an_independent_library(clear, star):
    found = 0
    for seed in range(200):
        floor = floor_of(star(seed))
        expected = by_half_planes(floor, clear)
        ring = kernel(floor, clear)
        if expected is None:
            assert len(ring) == 0 or shapely.Polygon(ring).area < 1000
            continue
        found += 1
        ours = shapely.Polygon(ring)
        assert shapely.hausdorff_distance(ours.exterior, expected.exterior) < 1e-5
        assert ours.exterior.is_ccw
        assert ours.is_valid
    assert 30 < found < 200
