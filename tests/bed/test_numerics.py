"""The small numerical tools: sums over triangles and sectors, and extremes along lines and inside."""

from __future__ import annotations

import numpy as np
import pytest
import scipy
import shapely

from engine.bed import quadrature
from engine.bed.flange import Flange
from engine.bed.quadrature import over_floor, over_sectors
from engine.bed.zoom import KINKED, extremes, highest_inside
from engine.job.model import DrainKind

ROOM = shapely.box(0, 0, 1000, 800)
HOLED = shapely.difference(ROOM, shapely.box(300, 300, 500, 400))


class TestOverFloor:
    @pytest.mark.parametrize("polygon", [ROOM, HOLED])
    def test_planes_and_their_squares_are_exact(self, polygon):
        centroid = polygon.centroid.x
        assert over_floor(polygon, lambda p: p[:, 0]) == pytest.approx(centroid * polygon.area, rel=1e-12)
        assert over_floor(ROOM, lambda p: p[:, 0] ** 2) == pytest.approx(1000**3 / 3 * 800, rel=1e-12)

    def test_a_kink_is_found(self):
        assert over_floor(ROOM, lambda p: np.abs(p[:, 0] - 333)) == pytest.approx((333**2 + 667**2) / 2 * 800, rel=1e-5)


class TestOverSectors:
    STARTS, ENDS = np.array([[0.0, -500], [0, 0]]), np.array([[0.0, 0], [0, 700]])

    def test_areas(self):
        """A triangle from the apex: half the far distance squared a radian."""
        apex = np.array([-300.0, 100])
        found = over_sectors(apex, self.STARTS, self.ENDS, lambda far, _: far**2 / 2)
        assert found == pytest.approx(300 * 1200 / 2, rel=1e-12)

    def test_nodes_and_weights_are_those_of_an_independent_library(self):
        """To the last bits: eigenvalues, which it finds them by, differ there from machine to machine."""
        nodes, weights = scipy.special.roots_legendre(24)
        assert pytest.approx(nodes, rel=1e-14) == quadrature._NODES
        assert pytest.approx(weights, rel=1e-13) == quadrature._WEIGHTS

    def test_a_wall_seen_edge_on_bounds_nothing(self):
        apex = np.array([0.0, 900])
        assert over_sectors(apex, self.STARTS, self.ENDS, lambda far, _: far**2) == 0

    def test_very_long_walls_stay_exact(self):
        apex, far = np.array([-10.0, 0]), 1e5
        found = over_sectors(apex, np.array([[0, -far]]), np.array([[0, far]]), lambda reach, _: reach**2 / 2)
        assert found == pytest.approx(10 * 2 * far / 2, rel=1e-9)


class TestExtremes:
    STARTS, ENDS = np.array([[0.0, 0], [0, 10]]), np.array([[1000.0, 0], [1000, 10]])

    def test_the_tips_of_smooth_curves(self):
        def curve(points):
            return np.hypot(points[:, 0] - 377.7, points[:, 1] - 50)

        found = extremes(curve, self.STARTS, self.ENDS)
        assert found.least == pytest.approx(40, abs=1e-9)
        assert found.least_at == pytest.approx([377.7, 10], abs=1e-3)
        assert found.most == pytest.approx(np.hypot(1000 - 377.7, 50), abs=1e-9)

    def test_what_is_taken_off_is_straight_in_between(self):
        found = extremes(lambda points: points[:, 0] * 0.0, self.STARTS, self.ENDS, np.array([[1.0, 3.0], [2.0, 2.0]]))
        assert found.most == pytest.approx(-1)
        assert found.least == pytest.approx(-3)
        assert found.least_at == pytest.approx([1000, 0])

    def test_a_ridge_is_found_to_the_end(self):
        def roof(points):
            return np.minimum(points[:, 0], 2 * (613.13 - points[:, 0]) + 613.13)

        assert extremes(roof, self.STARTS, self.ENDS, rounds=KINKED).most == pytest.approx(613.13, abs=1e-6)


class TestHighestInside:
    def test_a_roof_over_a_room_with_a_hole(self):
        def roof(points):
            return 500 - np.abs(points[:, 0] - 612.3) - 0.5 * np.abs(points[:, 1] - 123.4)

        assert highest_inside(roof, HOLED) == pytest.approx([612.3, 123.4], abs=1e-2)


class TestFlange:
    AXIS = np.array([0.8, 0.6])

    def flange(self, kind, length=0.0):
        return Flange(kind, np.array([100.0, 200.0]), 60.0, self.AXIS, length)

    @pytest.mark.parametrize(
        ("kind", "length"), [(DrainKind.ROUND, 0.0), (DrainKind.SQUARE, 0.0), (DrainKind.CHANNEL, 250.0)]
    )
    def test_its_questions_agree_with_its_outline(self, kind, length):
        flange = self.flange(kind, length)
        points = np.random.default_rng(0).uniform(-200, 500, (400, 2))
        inside = shapely.contains_xy(flange.polygon, points)
        rim = 0.05  # [mm] the drawn circle has straight sides
        distance = flange.distance(points)
        assert distance == pytest.approx(shapely.distance(flange.polygon, shapely.points(points)), abs=rim)
        assert ((flange.stretch(points) <= 1) == (distance == 0)).all()
        assert (inside <= (distance == 0)).all()
        offset = points - flange.centre
        far = np.hypot(*offset.T)
        assert far / flange.stretch(points) == pytest.approx(flange.rim(offset / far[:, None]))

    def test_a_squares_corners_lie_along_its_axis(self):
        flange = self.flange(DrainKind.SQUARE)
        sides = np.roll(flange.corners, -1, axis=0) - flange.corners
        assert sides[0] == pytest.approx(60 * self.AXIS)
        assert np.hypot(*sides.T) == pytest.approx(60)

    def test_a_foot_is_the_nearest_point(self):
        flange = self.flange(DrainKind.CHANNEL, 250.0)
        points = np.random.default_rng(1).uniform(-200, 500, (50, 2))
        assert np.hypot(*(points - flange.foot(points)).T) == pytest.approx(flange.distance(points))
