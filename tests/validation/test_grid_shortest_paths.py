"""Shortest ways bounded by paths on a grid.

Source: scipy.sparse.csgraph.dijkstra on a grid of eight neighbours. A grid path is a path, so no exact way is
longer; and along eight directions a straight line is lengthened by at most 1 / cos(22.5 deg) = 1.0824.
"""

from __future__ import annotations

import numpy as np
import pytest
import scipy
import shapely

STEP = 25  # [mm]
LENGTHENED = 1 / np.cos(np.radians(22.5))
ROUND_CORNERS = 6 * STEP  # [mm] a grid path may have to swing a few steps wide of each corner
CORNERS = [(0, 0), (2000, 0), (2000, 1600), (1200, 1600), (1200, 800), (800, 800), (800, 1600), (0, 1600)]
POST = [(300, 600), (500, 600), (500, 1000), (300, 1000)]
CENTRE, RADIUS = (1700, 1300), 50


@pytest.fixture(scope="module")
def floor():
    return shapely.Polygon(CORNERS, [POST])


@pytest.fixture(scope="module")
def grid(floor):
    """Grid points on the floor and their distances along grid steps to the drain's centre."""
    low, high = np.array(floor.bounds).reshape(2, 2)
    points = np.stack(np.meshgrid(*(np.arange(a, b + 1, STEP) for a, b in zip(low, high, strict=True))), axis=-1)
    points = points.reshape(-1, 2)[shapely.intersects_xy(floor, points.reshape(-1, 2))]
    tree = shapely.STRtree(shapely.points(points))
    pairs = tree.query(shapely.points(points), predicate="dwithin", distance=1.5 * STEP)
    pairs = pairs[:, shapely.covers(floor, shapely.linestrings(points[pairs].transpose(1, 0, 2)))]
    lengths = np.hypot(*(points[pairs[0]] - points[pairs[1]]).T)
    graph = scipy.sparse.coo_matrix((lengths, pairs), shape=(len(points), len(points))).tocsr()
    source = int(np.argmin(np.hypot(*(points - CENTRE).T)))
    return points, scipy.sparse.csgraph.dijkstra(graph, indices=source)


def test_ways_lie_within_the_grids_bounds(make_plan, grid):
    points, along_grid = grid
    reach = make_plan(CORNERS, islands=[POST], at=CENTRE, size=2 * RADIUS, shape="even-fall").bed.reach
    ways = reach.way(points) + RADIUS
    far = np.hypot(*(points - CENTRE).T) > RADIUS
    assert np.isfinite(along_grid).all()
    assert (ways[far] <= along_grid[far] + 1e-6).all()
    assert (along_grid[far] <= LENGTHENED * ways[far] + ROUND_CORNERS).all()
