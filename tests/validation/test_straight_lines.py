"""Level walls are straight along every line from the flange's edge, seen from its centre, to the wall.

Source: the job file's contract, stated here point by point with shapely's own intersection of ray and wall.
"""

from __future__ import annotations

import numpy as np
import pytest
import shapely

HEIGHT, SIZE, RAYS = 40.0, 110.0, 97
TOLERANCE = 1e-9  # [mm]
ROOMS = {
    "rectangle": ([(0, 0), (1500, 0), (1500, 900), (0, 900)], (400, 350)),
    "out of square": ([(0, 0), (1480, 35), (1530, 960), (-60, 870)], (610, 500)),
    "L": ([(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)], (450, 520)),
    "star": (
        [(0, 0), (700, 300), (1500, -100), (1200, 700), (1600, 1400), (700, 1100), (-100, 1500), (300, 700)],
        (720, 690),
    ),
}


def wall_met(ring, centre, direction):
    """The distance from a centre to the first wall in a direction."""
    ray = shapely.LineString([centre, centre + 1e4 * direction])
    return shapely.distance(shapely.Point(centre), shapely.intersection(ray, ring))


def rim(kind, direction, axis):
    if kind == "round":
        return SIZE / 2
    turned = np.array([direction @ axis, direction @ [-axis[1], axis[0]]])
    return SIZE / 2 / np.abs(turned).max()


@pytest.mark.parametrize("name", ROOMS)
@pytest.mark.parametrize("kind", ["round", "square"])
class TestLevelWalls:
    @pytest.fixture
    def bed(self, make_plan, name, kind):
        corners, centre = ROOMS[name]
        return make_plan(corners, at=centre, size=SIZE, kind=kind, bed=f"wall_height = {HEIGHT}").bed

    def test_heights_lie_on_the_line(self, bed, name, kind):
        corners, centre = ROOMS[name]
        ring = shapely.LinearRing(corners)
        axis = np.subtract(corners[1], corners[0]) / np.hypot(*np.subtract(corners[1], corners[0]))
        for angle in np.linspace(0, 2 * np.pi, RAYS, endpoint=False) + 0.01:
            direction = np.array([np.cos(angle), np.sin(angle)])
            far, near = wall_met(ring, centre, direction), rim(kind, direction, axis)
            parts = np.linspace(0, 1, 11)
            points = centre + (near + parts * (far - near))[:, None] * direction
            assert bed.height(points) == pytest.approx(HEIGHT * parts, abs=TOLERANCE)

    def test_the_walls_are_level_and_the_flange_is_the_datum(self, bed, name):
        corners, centre = ROOMS[name]
        ring = np.array(corners, dtype=float)
        walls = ring + np.linspace(0, 1, 41)[:, None, None] * (np.roll(ring, -1, axis=0) - ring)
        assert bed.height(walls.reshape(-1, 2)) == pytest.approx(HEIGHT, abs=TOLERANCE)
        on_flange = centre + np.random.default_rng(3).uniform(-SIZE / 3, SIZE / 3, (50, 2))
        assert (bed.height(on_flange) == 0).all()
