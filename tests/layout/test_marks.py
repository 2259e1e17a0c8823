"""Marks: at every corner and every step along the walls, rounded up, hung from the level line."""

from __future__ import annotations

import math

import pytest

S = 1 / 48
RECTANGLE = [(0, 0), (1500, 0), (1500, 900), (0, 900)]
READINGS = [((0, 0), 520.0), ((1500, 0), 516.0), ((1500, 900), 524.0), ((0, 900), 530.0)]


class TestPlaces:
    def test_walking_order(self, make_plan):
        marks = make_plan("rectangle = [700, 650]", at=(350, 300)).marks
        assert [(mark.at, mark.along) for mark in marks] == [
            *(("A", None), ("A-B", 300.0), ("A-B", 600.0)),
            *(("B", None), ("B-C", 300.0), ("B-C", 600.0)),
            *(("C", None), ("C-D", 300.0), ("C-D", 600.0)),
            *(("D", None), ("D-A", 300.0), ("D-A", 600.0)),
        ]
        assert [(mark.x, mark.y) for mark in marks[:5]] == [(0, 0), (300, 0), (600, 0), (700, 0), (700, 300)]
        assert [(mark.x, mark.y) for mark in marks[6:9]] == [(700, 650), (400, 650), (100, 650)]

    def test_a_step_that_ends_at_the_corner_is_the_corners(self, make_plan):
        marks = make_plan("rectangle = [900, 600]", at=(450, 300)).marks
        assert [mark.along for mark in marks if mark.at == "A-B"] == [300, 600]
        assert [mark.along for mark in marks if mark.at == "B-C"] == [300]

    def test_every_foot_in_an_inch_job(self, make_plan):
        at = '{ "A-B" = "18 in", "D-A" = "30 in" }'
        marks = make_plan('rectangle = ["60 in", "36 in"]', units="in", size="6 in", at=at, mark_step="1/16 in").marks
        assert [mark.along for mark in marks if mark.at == "A-B"] == pytest.approx([304.8, 609.6, 914.4, 1219.2])
        assert [mark.along for mark in marks if mark.at == "B-C"] == pytest.approx([304.8, 609.6])

    @pytest.mark.parametrize("way", [1, -1])
    def test_they_lie_on_their_walls_either_way_round(self, make_plan, way):
        room = [(0, 0), (1480, 35), (1530, 960), (-60, 870)][::way]
        plan = make_plan(room, at=(610, 500))
        floor = plan.outline
        for mark in plan.marks:
            if mark.along is None:
                assert (mark.x, mark.y) == pytest.approx(tuple(floor.corners[floor.names.index(mark.at)]))
            else:
                wall = floor.walls.index(mark.at)
                expected = floor.corners[wall] + mark.along * floor.directions[wall]
                assert (mark.x, mark.y) == pytest.approx(tuple(expected))


class TestHeights:
    def test_level_walls_are_marked_at_one_height(self, make_plan):
        plan = make_plan(RECTANGLE, at=(600, 400), drop=480.0, readings=READINGS)
        assert {mark.above_drain for mark in plan.marks} == {plan.bed.wall_height}

    def test_even_fall_is_marked_place_by_place_rounded_up(self, make_plan):
        plan = make_plan(RECTANGLE, at=(600, 400), shape="even-fall", mark_step=0.5)
        for mark in plan.marks:
            exact = (math.dist((mark.x, mark.y), (600, 400)) - 50) * S
            assert mark.above_drain == pytest.approx(math.ceil(exact / 0.5) * 0.5)
            assert exact <= mark.above_drain < exact + 0.5

    def test_a_height_already_on_a_step_is_not_raised(self, make_plan):
        """Corner A is hypot(45, 24) = 51 in from the middle: 48 in at 1/4 in per ft are 1 in exactly."""
        plan = make_plan(
            'rectangle = ["90 in", "60 in"]',
            units="in",
            size="6 in",
            at='{ "A-B" = "24 in", "D-A" = "45 in" }',
            shape="even-fall",
            fall="1/4 in/ft",
            mark_step="1/16 in",
        )
        assert plan.marks[0].above_drain == pytest.approx(25.4, abs=1e-9)

    def test_over_the_rough_floor_and_under_the_line(self, make_plan):
        plan = make_plan(RECTANGLE, at=(600, 400), drop=480.0, readings=READINGS)
        corners = {mark.at: mark for mark in plan.marks if mark.along is None}
        for name, (_, drop) in zip("ABCD", READINGS, strict=True):
            mark = corners[name]
            assert mark.above_rough == pytest.approx(mark.above_drain + drop - 480)
            assert mark.below_line == pytest.approx(480 - mark.above_drain)
        middle = next(mark for mark in plan.marks if (mark.at, mark.along) == ("A-B", 600.0))
        assert middle.above_rough == pytest.approx(middle.above_drain + 520 - 4 * 600 / 1500 - 480)

    def test_the_step_is_the_jobs(self, make_plan):
        heights = {
            step: make_plan(RECTANGLE, at=(600, 400), mark_step=step).marks[0].above_drain for step in (1.0, 2.5, 10.0)
        }
        exact = (math.dist((600, 400), (1500, 900)) - 50) * S
        assert heights == {step: math.ceil(exact / step) * step for step in heights}
