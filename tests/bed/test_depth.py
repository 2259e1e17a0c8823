"""Depth: extremes and their places, volume, and the lowest drain that keeps the bed thick enough."""

from __future__ import annotations

import math

import numpy as np
import pytest

from engine.limits.findings import Level

S = 1 / 48
RECTANGLE = [(0, 0), (1500, 0), (1500, 900), (0, 900)]
LEVEL = [((0, 0), 500.0)]


def depths(plan):
    return plan.depth.least, plan.depth.most


class TestOverALevelFloor:
    @pytest.mark.parametrize("shape", ["level-walls", "even-fall"])
    def test_least_at_the_flange_and_most_at_the_walls(self, make_plan, shape):
        plan = make_plan(RECTANGLE, at=(600, 400), shape=shape, drop=450.0, readings=LEVEL)
        least, most = depths(plan)
        assert least.value == pytest.approx(50)
        assert most.value == pytest.approx(50 + plan.bed.wall_height)
        assert math.dist((least.x, least.y), (600, 400)) <= 50 + 1e-6

    def test_the_volume_is_the_beds_and_the_slab_under_it(self, make_plan):
        plan = make_plan(RECTANGLE, at=(600, 400), drop=450.0, readings=LEVEL)
        assert plan.depth.volume == pytest.approx(plan.bed.integral + 50 * 1500 * 900)


class TestOverASlope:
    def test_a_ramp_toward_the_drain_thins_the_rim_on_its_high_side(self, make_plan):
        """A floor rising steeper than the bed to the right: least where the rim faces it, at the wall."""
        readings = [((0, 0), 500.0), ((0, 900), 500.0), ((1500, 0), 425.0)]
        plan = make_plan(RECTANGLE, at=(750, 450), shape="even-fall", drop=420.0, readings=readings)
        slope = 75 / 1500
        least, _ = depths(plan)
        corner = math.dist((750, 450), (1500, 0)) - 50
        at_wall = (700 * S) - (420 - 425)
        assert slope > S
        assert least.value == pytest.approx(at_wall)
        assert (least.x, least.y) == pytest.approx((1500, 450), abs=1e-4)
        assert least.value < corner * S + 5

    def test_a_gentle_ramp_thins_it_at_the_rim(self, make_plan):
        readings = [((0, 0), 500.0), ((0, 900), 500.0), ((1500, 0), 485.0)]
        plan = make_plan(RECTANGLE, at=(750, 450), shape="even-fall", drop=420.0, readings=readings)
        least, _ = depths(plan)
        assert (least.x, least.y) == pytest.approx((800, 450), abs=1e-6)
        assert least.value == pytest.approx(500 - 0.01 * 800 - 420)

    def test_between_two_readings_a_cone_has_its_least_depth_off_both(self, make_plan):
        """On a straight edge past a drain: x = x0 + p g / sqrt(s^2 - g^2), g the floor's slope along the edge."""
        slope, square = 0.012, 300.0
        room = [(0, 0), (1500, 0), (1500, 750), (0, 750)]
        readings = [
            ((0, 750), 500.0),
            ((1500, 750), 500.0 - 1500 * slope),
            ((1500, 0), 640.0),
            ((0, 0), 640.0),
        ]
        plan = make_plan(room, at=(500, 450), shape="even-fall", drop=400.0, readings=readings)
        least, _ = depths(plan)
        expected = 500 + square * slope / math.sqrt(S**2 - slope**2)
        assert (least.x, least.y) == pytest.approx((expected, 750), abs=0.02)  # a flat bottom: 1e-5 of the wall
        rough = 400 - (500 - slope * expected)
        assert least.value == pytest.approx(S * (math.hypot(expected - 500, 300) - 50) - rough, abs=1e-9)

    def test_a_ridge_across_a_valley_is_covered_least_in_the_valley(self, make_plan):
        """Level walls have a crease on the ray to each corner; a level ridge of the floor crosses it."""
        room = [(0, 0), (1000, 0), (1000, 1000), (0, 1000)]
        readings = [((700, 1000), 480.0), ((1000, 700), 480.0), ((1000, 1000), 560.0), ((0, 0), 590.0)]
        centre = np.array([430.0, 510.0])
        plan = make_plan(room, at=tuple(centre), drop=470.0, readings=readings, bed="wall_height = 40.0")
        ray = np.array([1000.0, 1000.0]) - centre
        crossing = centre + (1700 - centre.sum()) / ray.sum() * ray
        far, run = math.dist(crossing, centre), float(np.hypot(*ray))
        least, _ = depths(plan)
        assert least.value == pytest.approx(40 * (far - 50) / (run - 50) + 10, abs=1e-9)
        assert (least.x, least.y) == pytest.approx(tuple(crossing), abs=1e-6)


class TestBelowTheFloor:
    def test_negative_depth_is_a_stop_and_counts_as_nothing(self, make_plan):
        plan = make_plan(RECTANGLE, at=(600, 400), drop=600.0, readings=LEVEL)
        assert plan.depth.least.value == pytest.approx(-100)
        assert plan.depth.volume == 0
        below = next(finding for finding in plan.findings if finding.rule == "bed-below-floor")
        assert below.level is Level.STOP

    def test_a_bed_that_dips_under_in_part(self, make_plan):
        """A cone of 1:48 from the rim, ten millimetres sunk: mud only beyond 480 mm from the rim, to the corners."""
        room = [(-2000, -2000), (2000, -2000), (2000, 2000), (-2000, 2000)]
        plan = make_plan(room, at=(0, 0), shape="even-fall", drop=510.0, readings=LEVEL)
        assert plan.depth.least.value == pytest.approx(-10)
        dry = 50 + 480
        sunk = math.pi * (10 * dry**2 - S * (dry**3 / 3 - 50 * dry**2 / 2 + 50**3 / 6) * 2)
        assert plan.depth.volume == pytest.approx(plan.bed.integral - 10 * 4000**2 + sunk, rel=1e-5)


class TestPlannedDrain:
    READINGS = (
        ((0, 0), 520.0),
        ((1500, 0), 516.0),
        ((1500, 900), 524.0),
        ((0, 900), 530.0),
        ((700, 500), 519.0),
    )

    @pytest.mark.parametrize("shape", ["level-walls", "even-fall"])
    @pytest.mark.parametrize("kind", ["round", "square"])
    def test_the_lowest_flange_that_keeps_the_least_depth(self, make_plan, shape, kind):
        words = {"at": (600, 400), "shape": shape, "kind": kind, "readings": list(self.READINGS)}
        plan = make_plan(RECTANGLE, **words, bed="least_depth = 30.0")
        assert plan.drains[0].planned
        assert plan.depth.least.value == pytest.approx(30, abs=1e-9)
        drop = plan.drains[0].drop
        again = make_plan(RECTANGLE, **words, drop=drop, bed="least_depth = 30.0")
        assert not again.drains[0].planned
        assert again.depth.least.value == pytest.approx(30, abs=1e-6)
        lower = make_plan(RECTANGLE, **words, drop=drop + 0.01, bed="least_depth = 30.0")
        assert lower.depth.least.value < 30

    def test_the_rulebooks_least_where_the_user_says_none(self, make_plan):
        """Bonded to concrete: 3/4 in."""
        plan = make_plan(RECTANGLE, at=(600, 400), readings=list(self.READINGS))
        assert plan.depth.least.value == pytest.approx(0.75 * 25.4)
        assert "bed-thin" not in {finding.rule for finding in plan.findings}

    def test_marks_hang_from_the_planned_line(self, make_plan):
        plan = make_plan(RECTANGLE, at=(600, 400), readings=list(self.READINGS))
        for mark in plan.marks:
            assert mark.below_line == pytest.approx(plan.drains[0].drop - mark.above_drain)

    def test_without_readings_there_is_no_line(self, make_plan):
        plan = make_plan(RECTANGLE, at=(600, 400))
        assert plan.drains[0].drop is None
        assert plan.drains[0].above_rough == pytest.approx(0.75 * 25.4)
        assert {mark.below_line for mark in plan.marks} == {None}

    def test_above_rough_is_over_the_floor_under_its_middle(self, make_plan):
        plan = make_plan(RECTANGLE, at=(700, 500), drop=480.0, readings=list(self.READINGS))
        assert plan.drains[0].above_rough == pytest.approx(519 - 480)


def test_ties_name_the_same_place_each_time(make_plan):
    """A symmetric room: many places are as deep; one is named, and noise does not choose it."""
    spots = set()
    for shift in (0.0, 1e-9, -1e-9):
        plan = make_plan(RECTANGLE, at=(750 + shift, 450), drop=450.0, readings=LEVEL)
        spots.add((round(plan.depth.most.x, 3), round(plan.depth.most.y, 3)))
    assert len(spots) == 1
    assert np.isfinite(list(spots)).all()
