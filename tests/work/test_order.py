"""The order of work: days that add up, dates by the Gregorian calendar, what one needs and has to mind at each step."""

from __future__ import annotations

from datetime import date

import pytest

from engine.work.cautions import Hazard
from engine.work.order import dated
from engine.work.steps import Task, Wait

ROOM = {"at": (600, 400), "drop": 470.0, "readings": [(f'"{name}"', 520.0) for name in "ABCD"]}
BETWEEN = '[build]\nwaterproofing = "between-beds"\nupper_bed = 40\n'


def task(title="x", *, hours=None, wait=None):
    return Task(title, (), hours=hours, wait=None if wait is None else Wait(wait, "wait", "test"))


def days(*tasks, start=None):
    return [(step.day, step.days) for step in dated(tasks, start)]


class TestDays:
    def test_what_has_no_wait_shares_a_day(self):
        assert days(task(), task(), task()) == [(0, 0)] * 3

    @pytest.mark.parametrize(("hours", "taken"), [(1, 1), (24, 1), (24.5, 2), (72, 3), (168, 7)])
    def test_a_wait_ends_on_the_day_after_it_at_the_latest(self, hours, taken):
        assert days(task(wait=hours), task()) == [(0, taken), (taken, 0)]

    def test_more_than_eight_hours_of_packing_fill_another_day_and_then_it_cures(self):
        assert days(task(hours=8, wait=24), task()) == [(0, 1), (1, 0)]
        assert days(task(hours=8.5, wait=24), task()) == [(0, 2), (2, 0)]
        assert days(task(hours=20, wait=24), task()) == [(0, 3), (3, 0)]

    def test_a_flood_stands_by_the_clock(self):
        assert days(task(hours=24), task()) == [(0, 1), (1, 0)]

    @pytest.mark.parametrize(
        ("start", "end"),
        [
            (date(2028, 2, 28), date(2028, 2, 29)),  # a leap year
            (date(2027, 2, 28), date(2027, 3, 1)),
            (date(2099, 12, 31), date(2100, 1, 1)),
            (date(2100, 2, 28), date(2100, 3, 1)),  # not a leap year: divisible by 100 and not by 400
            (date(2199, 12, 31), date(2200, 1, 1)),  # the last start that a job may have
        ],
    )
    def test_dates_are_gregorian(self, start, end):
        first, last = dated((task(wait=24), task()), start)
        assert (first.date, last.date) == (start, end)


class TestSteps:
    def test_a_bed_under_a_membrane(self, make_plan):
        titles = [step.task.title for step in make_plan("rectangle = [1500, 900]", **ROOM).work.order]
        assert titles == [
            "Check the floor and the plan",
            "Set the drain",
            "Mark the walls and fix the strips",
            "Carry in and mix the mud",
            "Pack the bed",
            "Check the bed",
            "Bond the membrane",
            "Flood test",
            "Drain and dry",
            "Set the tile",
            "Grout and seal",
            "First shower",
        ]

    def test_a_liner_is_flooded_before_the_upper_bed_lies_on_it(self, make_plan):
        work = make_plan("rectangle = [1500, 900]", **ROOM, extra=BETWEEN).work
        titles = [step.task.title for step in work.order]
        wanted = ["Pack the pre-slope", "Lay the liner", "Flood test", "Pack the upper bed", "Set the tile"]
        assert [title for title in titles if title in wanted] == wanted
        # Two beds cure a day each; a liner need not set before it is flooded.
        by_title = {step.task.title: step for step in work.order}
        assert by_title["Lay the liner"].day == by_title["Flood test"].day == 1
        assert by_title["Set the tile"].day == 3

    def test_every_wait_and_caution_has_its_source(self, make_plan):
        for step in make_plan("rectangle = [1500, 900]", **ROOM, extra=BETWEEN).work.order:
            assert all(caution.source for caution in step.task.cautions)
            if step.task.wait:
                assert step.task.wait.source

    def test_hazards_stand_where_they_can_hurt(self, make_plan):
        work = make_plan("rectangle = [1500, 900]", **ROOM).work
        at = {step.task.title: {caution.hazard for caution in step.task.cautions} for step in work.order}
        assert at["Check the floor and the plan"] == {Hazard.LOCAL_CODE, Hazard.STRUCTURE}
        assert at["Set the drain"] == {Hazard.PLUMBING}
        assert at["Carry in and mix the mud"] == {Hazard.SILICA, Hazard.WET_CEMENT, Hazard.LIFTING}
        assert at["Pack the bed"] == {Hazard.WET_CEMENT}
        assert at["Flood test"] == {Hazard.LOCAL_CODE}

    @pytest.mark.parametrize("book", ["us-accessible", "de-din18040"])
    def test_accessible_books_send_to_a_designer(self, make_plan, book):
        first = make_plan("rectangle = [1500, 900]", **ROOM, rulebook=book).work.order[0]
        assert Hazard.ACCESS in {caution.hazard for caution in first.task.cautions}

    @pytest.mark.parametrize(
        ("bag", "words"), [("60 lb", "is more: lift it by two"), ("50 lb", "is no more than that")]
    )
    def test_a_bag_over_51_pounds_is_for_two(self, make_plan, bag, words):
        order = make_plan("rectangle = [1500, 900]", **ROOM, extra=f'[mortar]\nbag = "{bag}"').work.order
        said = [c.says for step in order for c in step.task.cautions if c.hazard is Hazard.LIFTING]
        assert words in said[0]
        assert "at most 23 kg" in said[0]  # NIOSH: 51 lb, rounded down

    def test_a_large_tile_asks_for_a_flatter_bed(self, make_plan):
        # 1/4 in in 10 ft, and 1/8 in for edges of 15 in and more (ANSI A108.02).
        for edge, out in (("14.9 in", "6 mm out in 10 ft"), ("15 in", "3 mm out in 10 ft")):
            order = make_plan("rectangle = [1500, 900]", **ROOM, extra=f'[build]\ntile_edge = "{edge}"').work.order
            check = next(step.task for step in order if step.task.title == "Check the bed")
            assert out in " ".join(said.text for said in check.says)


def test_the_grate_is_set_as_high_as_the_finished_heights_tell_and_no_prouder(make_plan):
    """8 mm of tile on 3.2 mm: 11.2 mm over the flange; a grate 0.8 mm proud of its tile keeps water out."""
    work = make_plan("rectangle = [1500, 900]", **ROOM, extra='[build]\ntile = "8 mm"\ntile_setting = "3.2 mm"').work
    told = " ".join(str(said.text) for step in work.order for said in step.task.says)
    assert "The drain's grate stands 11.2 mm over the flange" in told
