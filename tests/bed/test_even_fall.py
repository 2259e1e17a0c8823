"""Even fall: one fall along every way, on any floor."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely

from engine.plan import plan

S = 1 / 48
STEP = 1e-3  # [mm] slopes are taken over twice this
ELL = [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)]
ROOM = [(0, 0), (1000, 0), (1000, 1000), (0, 1000)]
POST = [(400, 400), (600, 400), (600, 600), (400, 600)]


def test_the_farthest_wall_place_is_a_corner(make_plan):
    bed = make_plan(ELL, at=(1500, 400), shape="even-fall").bed
    longest = math.dist((1500, 400), (900, 900)) + math.dist((900, 900), (0, 1800)) - 50
    assert bed.longest_run == pytest.approx(longest)
    assert bed.wall_height == pytest.approx(longest * S)
    assert (bed.least_fall_at.x, bed.least_fall_at.y) == (0, 1800)
    assert bed.least_fall == bed.most_fall == bed.steepest == S


def test_behind_a_post_it_may_be_the_middle_of_a_wall(make_plan):
    """A long post across the room: the ways round its two ends meet at the far wall's middle."""
    bar = [(300, 100), (400, 100), (400, 900), (300, 900)]
    bed = make_plan(ROOM, islands=[bar], at=(150, 500), size=40.0, shape="even-fall").bed
    ways = {
        place: math.dist((150, 500), (300, 900)) + 100 + math.dist((400, 900), place) - 20
        for place in [(1000, 500), (1000, 1000)]
    }
    assert bed.longest_run == pytest.approx(max(ways.values()))
    assert bed.farthest.x == pytest.approx(1000)
    assert bed.farthest.y == pytest.approx(500)


def test_slope_is_the_fall_everywhere(make_plan):
    bed = make_plan(ELL, islands=[[(300, 300), (500, 300), (400, 500)]], at=(1500, 400), shape="even-fall").bed
    points = np.random.default_rng(0).uniform(0, 1800, (4000, 2))
    floor = shapely.Polygon(ELL, [[(300, 300), (500, 300), (400, 500)]]).buffer(-1)
    points = points[shapely.contains_xy(floor, points)]
    east, north = np.eye(2) * STEP
    across = bed.height(points + east) - bed.height(points - east)
    up = bed.height(points + north) - bed.height(points - north)
    slope = np.hypot(across, up) / (2 * STEP)
    off_flange = np.hypot(*(points - [1500, 400]).T) > 51
    assert slope.max() <= S * (1 + 1e-6)
    assert (np.abs(slope[off_flange] - S) < 1e-6 * S).mean() > 0.995  # all but the ridges behind the post


@pytest.mark.parametrize("kind", ["round", "square"])
def test_a_fall_of_the_users_own(make_plan, kind):
    bed = make_plan(ROOM, at=(300, 300), shape="even-fall", fall="3 %", kind=kind).bed
    assert bed.height(np.array([[300.0, 950.0]])) == pytest.approx([0.03 * 600])


def test_the_rulebooks_least_where_it_is_left_out(make_job):
    job = make_job(ROOM, at=(300, 300), shape="even-fall", rulebook="au-ncc")
    assert plan(replace(job, bed=replace(job.bed, fall=None))).bed.fall == 1 / 80


def test_the_integral_of_a_room_with_a_post(make_plan):
    """Against a dense average over the floor."""
    plan = make_plan(ROOM, islands=[POST], at=(150, 500), shape="even-fall")
    centres = np.arange(0.5, 1000, 1.0) + 0.25
    points = np.stack(np.meshgrid(centres, centres), axis=-1).reshape(-1, 2)
    points = points[~((np.abs(points - 500) < 100).all(axis=1))]
    mean = plan.bed.height(points).mean()
    assert plan.bed.integral == pytest.approx(mean * (1e6 - 4e4), rel=1e-3)


def test_a_hair_from_a_line_with_a_hiding_corner_it_holds_as_much(make_plan):
    """The wall C-D, 1e-6 mm off the drain's middle, is seen edge-on: no sector, and no division by nothing."""
    on, off = (make_plan(ELL, at=(450, y), shape="even-fall").bed.integral for y in (900.0, 900.0 - 1e-6))
    assert off == pytest.approx(on, rel=1e-9)


class TestSeveralDrains:
    def test_the_watershed_is_where_the_ways_are_equal(self, make_plan):
        extra = '[[drains]]\nkind = "round"\nsize = 100\nat = { x = 1500, y = 450 }\n'
        bed = make_plan([(0, 0), (1800, 0), (1800, 900), (0, 900)], at=(300, 450), shape="even-fall", extra=extra).bed
        assert bed.height(np.array([[900.0, 0.0]])) == pytest.approx([S * (math.hypot(600, 450) - 50)])
        assert bed.height(np.array([[700.0, 450.0], [1100, 450]])) == pytest.approx([S * 350, S * 350])
        assert bed.longest_run == pytest.approx(math.hypot(600, 450) - 50)
