"""Ranges of the rough floor against a general library that carries errors through arithmetic.

Source: uncertainties (linear propagation of independent errors, JCGM 100:2008, 5.1.2), on the contract's formula for
the rough floor put together from scipy.spatial.Delaunay and numpy's least squares: linear over the triangles; outside
them the least-squares plane plus the misfit at the nearest place of the hull.
"""

from __future__ import annotations

import numpy as np
import pytest
import scipy
import shapely
from uncertainties import ufloat

from engine.proof.tolerance import LINE_TILT, survey

STATIONS = np.array([(0.0, 0.0), (1500.0, 0.0), (1500.0, 1200.0), (200.0, 1000.0), (700.0, 500.0), (1100.0, 800.0)])
HEIGHTS = np.array([-40.0, -43.0, -46.0, -41.0, -44.0, -42.0])
FLANGE = np.array([750.0, 600.0])
POINTS = np.array([(700.0, 500.0), (900.0, 600.0), (1300.0, 300.0), (0.0, 1200.0), (50.0, 1100.0)])
PAST_THE_HULL = [False, False, False, True, True]
READING = 0.5  # [mm] one reading's standard error
TRIANGLES = scipy.spatial.Delaunay(STATIONS)
HULL = shapely.convex_hull(shapely.multipoints(STATIONS))


def over_triangles(point, figures):
    """The figures at the stations, straight over the triangle that a point lies in."""
    triangle = TRIANGLES.find_simplex(point, tol=1e-9)
    turn, corner = TRIANGLES.transform[triangle, :2], TRIANGLES.transform[triangle, 2]
    two = turn @ (point - corner)
    return np.append(two, 1 - two.sum()) @ figures[TRIANGLES.simplices[triangle]]


def on_plane(point, figures):
    """The figures' least-squares plane at a point."""
    design = np.column_stack([np.ones(len(STATIONS)), STATIONS])
    return np.append(1.0, point) @ np.linalg.pinv(design) @ figures


def rough(point, figures):
    """The rough floor at a point by the job file's contract."""
    if HULL.covers(shapely.Point(point)):
        return over_triangles(point, figures)
    nearest = shapely.get_coordinates(shapely.shortest_line(HULL, shapely.Point(point)))[0]
    inward = nearest + 1e-7 * (STATIONS.mean(axis=0) - nearest)
    return on_plane(point, figures) + over_triangles(inward, figures) - on_plane(nearest, figures)


@pytest.fixture(scope="module")
def found(make_plan):
    floor = make_plan("rectangle = [1500, 1200]", at=tuple(FLANGE)).outline
    return survey(floor, STATIONS, HEIGHTS, READING, 0.0)


@pytest.mark.parametrize(("point", "is_past"), list(zip(POINTS, PAST_THE_HULL, strict=True)))
def test_a_depth_is_sure_to_what_the_library_propagates(found, point, is_past):
    """Every drop, the flange's and the line's lean as figures with their errors, through one formula."""
    assert is_past is not HULL.covers(shapely.Point(point))
    drops = np.array([ufloat(height, READING) for height in HEIGHTS])
    lean = ufloat(0.0, LINE_TILT / np.sqrt(3))  # anywhere within the laser's tolerance
    far = float(np.hypot(*(point - FLANGE)))
    depth = ufloat(0.0, READING) - rough(point, drops) + lean * far
    assert np.sqrt(found.variance(point[None], FLANGE)[0]) == pytest.approx(depth.std_dev, rel=1e-6)
    assert found.foretold(point[None])[0] == pytest.approx(rough(point, HEIGHTS), abs=1e-6)
