"""Shortest ways round corners and islands against exact geodesics on a mesh.

Source: Mitchell, Mount & Papadimitriou (1987), exact geodesic distances on a triangle mesh, as pygeodesic
computes them. On a flat mesh of the floor they are the shortest paths inside it.
"""

from __future__ import annotations

import numpy as np
import pytest
import shapely

geodesic = pytest.importorskip(
    "pygeodesic.geodesic", reason="from Python 3.14 on the library has to be compiled, so it is not installed"
)
TOLERANCE = 1e-9  # [mm] both are exact; sums of a few square roots differ in the last digits
RADIUS = 40.0  # [mm]
POINTS = 60  # on each floor, beside its corners
ROOMS = {  # outline, islands, drain
    "L": ([(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)], [], (1500, 400)),
    "spiral": (
        (
            *((0, 0), (2000, 0), (2000, 1700), (400, 1700), (400, 700), (1200, 700)),
            *((1200, 1100), (900, 1100), (900, 1300), (1600, 1300), (1600, 300), (0, 300)),
        ),
        [],
        (1063, 885),
    ),
    "post": (
        [(0, 0), (1500, 0), (1500, 1500), (0, 1500)],
        [[(600, 500), (900, 500), (900, 900), (600, 900)]],
        (300, 700),
    ),
    "bench and post": (
        [(0, 0), (2400, 100), (2300, 1500), (1300, 1400), (1200, 1900), (-100, 1800)],
        [
            [(500, 400), (1000, 450), (700, 900)],
            [(1500, 500), (1800, 500), (1800, 900), (1650, 1050), (1500, 900)],
        ],
        (250, 1200),
    ),
    "comb": (
        (
            *((0, 0), (2500, 0), (2500, 1200), (2100, 1200), (2050, 400), (1700, 400)),
            *((1650, 1250), (1200, 1150), (1150, 350), (800, 420), (750, 1200), (0, 1250)),
        ),
        [],
        (1400, 900),
    ),
}


def mesh_of(polygon, extra):
    """A triangle mesh of a floor whose vertices include extra points (k, 2): each splits the triangle it lies in."""
    parts = shapely.get_parts(shapely.constrained_delaunay_triangles(polygon))
    triangles = [np.array(part.exterior.coords)[:3] for part in parts]
    for point in extra:
        for i, (a, b, c) in enumerate(triangles):
            if shapely.Polygon([a, b, c]).contains(shapely.Point(point)):
                triangles[i : i + 1] = [
                    np.array([a, b, point]),
                    np.array([b, c, point]),
                    np.array([c, a, point]),
                ]
                break
    places, faces = np.unique(np.concatenate(triangles), axis=0, return_inverse=True)
    return places, faces.reshape(-1, 3)


def random_points(polygon, count):
    low, high = np.array(polygon.bounds).reshape(2, 2)
    points = np.random.default_rng(7).uniform(low, high, (20 * count, 2))
    return points[shapely.contains_xy(polygon, points)][:count]


@pytest.mark.parametrize("name", ROOMS)
def test_ways_are_exact(make_plan, name):
    corners, islands, centre = ROOMS[name]
    floor = make_plan(corners, islands=islands, at=centre, size=2 * RADIUS, shape="even-fall")
    polygon = shapely.Polygon(corners, islands)
    extra = np.vstack([[centre], random_points(polygon, POINTS)])
    places, faces = mesh_of(polygon, extra)
    assert len(places) == len(extra) + len(shapely.get_coordinates(polygon)) - 1 - len(islands)
    solver = geodesic.PyGeodesicAlgorithmExact(np.column_stack([places, np.zeros(len(places))]), faces)
    source = int(np.argmin(np.hypot(*(places - centre).T)))
    distances, _ = solver.geodesicDistances(np.array([source]), None)
    expected = np.maximum(distances - RADIUS, 0.0)
    assert np.isfinite(expected).all()
    assert floor.bed.reach.way(places) == pytest.approx(expected, abs=TOLERANCE)


def test_the_rooms_have_ways_round_several_corners(make_plan):
    """Else the comparison would prove little."""
    corners, _, centre = ROOMS["spiral"]
    reach = make_plan(corners, at=centre, size=2 * RADIUS, shape="even-fall").bed.reach
    ways = reach.way(np.array(corners, dtype=float))
    straight = np.hypot(*(np.array(corners) - centre).T) - RADIUS
    assert (ways - straight).max() > 2000
    assert np.isinf(reach.straight(np.array(corners, dtype=float))).sum() > 6
