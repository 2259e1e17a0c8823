"""Miters and bevels against closed forms: regular polygons and pyramids.

Source: plane geometry. A regular n-gon's corner is 180 (n - 2) / n degrees, so a miter is half of that, and the inner
face of a frame t thick is the n-gon t nearer to the centre, its sides 2 (p - t) tan(pi / n) for an apothem p. A
pyramid's face over an edge at p from the axis rises at atan(H / p); cut off level at r from the axis, at
atan(H / (p - r)).
"""

from __future__ import annotations

import math

import pytest

T = 12.0  # [mm] the strips' thickness in a mm job
WALL_HEIGHT = 30.0
ROUNDED = 1e-5  # [deg], [mm] corners are typed to ten decimals


def regular(count, apothem, turn=0.0):
    """A regular polygon's corners; turned by an angle [deg]."""
    far = apothem / math.cos(math.pi / count)
    angles = [math.radians(turn) + 2 * math.pi * k / count for k in range(count)]
    return [(far * math.cos(angle), far * math.sin(angle)) for angle in angles]


def built(make_plan, corners, size, **words):
    return make_plan(corners, at=(0, 0), size=size, bed=f"wall_height = {WALL_HEIGHT}", **words)


POLYGONS = [(count, turn) for count in (3, 4, 5, 6, 8, 12, 24) for turn in (0.0, 17.0)]
APOTHEM = 500.0


@pytest.fixture(params=POLYGONS, ids=str)
def polygon(request, make_plan):
    """How many sides, and the strips along them."""
    count, turn = request.param
    return count, built(make_plan, regular(count, APOTHEM, turn), 100).strips


class TestRegularPolygons:
    def test_miters_are_half_the_corners_angle(self, polygon):
        count, strips = polygon
        half = 90 * (count - 2) / count
        assert [strip.miters for strip in strips] == [pytest.approx((half, half), abs=ROUNDED)] * count

    def test_the_saw_turns_by_half_of_what_the_walls_turn(self, polygon):
        count, strips = polygon
        half = pytest.approx((180 / count, 180 / count), abs=ROUNDED)
        assert [strip.saw_settings for strip in strips] == [half] * count

    def test_inner_faces_are_the_sides_of_the_smaller_polygon(self, polygon):
        count, strips = polygon
        outer, inner = (2 * p * math.tan(math.pi / count) for p in (APOTHEM, APOTHEM - T))
        assert [strip.length for strip in strips] == [pytest.approx(outer, abs=ROUNDED)] * count
        assert [strip.inner_length for strip in strips] == [pytest.approx(inner, abs=ROUNDED)] * count

    def test_bevels_are_a_cut_off_cones(self, polygon):
        """Square to every side the bed falls from the wall to the round flange, 50 from the axis."""
        count, strips = polygon
        expected = math.degrees(math.atan(WALL_HEIGHT / (APOTHEM - 50)))
        assert [strip.bevel for strip in strips] == [pytest.approx(expected, abs=ROUNDED)] * count


class TestPyramids:
    def test_a_whole_one(self, make_plan):
        """A flange 0.002 mm wide is a point: four faces of a 900 x 600 pyramid upside down."""
        corners = [(-450, -300), (450, -300), (450, 300), (-450, 300)]
        bevels = [strip.bevel for strip in built(make_plan, corners, 0.002).strips]
        long, wide = (math.degrees(math.atan(WALL_HEIGHT / p)) for p in (300, 450))
        assert bevels == pytest.approx([long, wide, long, wide], abs=1e-4)

    def test_one_cut_off_square(self, make_plan):
        """On a square flange, 60 from the axis on every side."""
        corners = [(-450, -300), (450, -300), (450, 300), (-450, 300)]
        bevels = [strip.bevel for strip in built(make_plan, corners, 120, kind="square").strips]
        long, wide = (math.degrees(math.atan(WALL_HEIGHT / (p - 60))) for p in (300, 450))
        assert bevels == pytest.approx([long, wide, long, wide], abs=1e-9)

    def test_off_its_middle_each_face_has_its_own(self, make_plan):
        corners = [(-200, -300), (700, -300), (700, 500), (-200, 500)]
        bevels = [strip.bevel for strip in built(make_plan, corners, 100).strips]
        expected = [math.degrees(math.atan(WALL_HEIGHT / (p - 50))) for p in (300, 700, 500, 200)]
        assert bevels == pytest.approx(expected, abs=1e-9)
