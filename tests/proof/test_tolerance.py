"""How sure the depth is, by hand and in words; see tests/validation for error propagation and simulated floors."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from engine.job.model import Typed
from engine.plan import plan as plan_job
from engine.proof.tolerance import LINE_TILT, SURE, USUAL_ROUGHNESS, roughness, survey, surveyed
from engine.quantities import Units
from engine.sheets.json import plan_json
from engine.sheets.page.page import plan_page
from engine.sheets.text import plan_text
from engine.survey.typed_step import reading_step, typed_step

INCH = 25.4
SAMPLES = Path(__file__).parents[2] / "sample_jobs"
CORNERS = np.array([(0.0, 0.0), (1500.0, 0.0), (1500.0, 1200.0), (0.0, 1200.0)])
STATIONS = np.vstack([CORNERS[:3], [[200.0, 1000.0], [700.0, 500.0], [1100.0, 800.0]]])
HEIGHTS = np.array([-40.0, -43.0, -46.0, -41.0, -44.0, -42.0])
POINTS = np.array([(700.0, 500.0), (900.0, 600.0), (1300.0, 300.0), (0.0, 1200.0), (50.0, 1100.0)])  # two past the hull


@pytest.fixture(scope="module")
def floor(make_plan):
    return make_plan("rectangle = [1500, 1200]", at=(750, 600)).outline


@pytest.fixture(scope="module")
def found(floor):
    return survey(floor, STATIONS, HEIGHTS, 0.5, 0.02)


class TestReadings:
    def test_the_line_leans_more_the_farther_away(self, found):
        flange = np.array([750.0, 600.0])
        station = STATIONS[[4]]
        far = np.hypot(*(station[0] - flange))
        expected = 2 * found.reading**2 + (LINE_TILT * far) ** 2 / 3
        assert found.variance(station, flange)[0] == pytest.approx(expected)


class TestBetween:
    def test_half_way_between_two_readings_it_is_a_quarter_of_the_way(self, floor):
        """A bridge: roughness x L / 4 in its middle."""
        pair = survey(floor, CORNERS, np.zeros(4), 0.0, 1.0)
        _, gaps = pair.parts(np.array([[750.0, 0.0], [0.0, 0.0]]))
        assert gaps == pytest.approx([1500 / 4, 0.0])

    def test_few_readings_leave_it_as_slabs_are(self, floor):
        # 1/8 in in the middle of 2 ft is two errors: roughness x 24 in / 4 is (1/16 in) squared.
        assert roughness(floor, CORNERS[:3], np.zeros(3), 0.5) == USUAL_ROUGHNESS
        assert pytest.approx((INCH / 16) ** 2) == USUAL_ROUGHNESS * 24 * INCH / 4


@pytest.fixture(scope="module")
def sparse(make_plan):
    readings = [((0, 0), "540 mm"), ((1500, 0), "543 mm"), ((1500, 1200), "546 mm")]
    return make_plan("rectangle = [1500, 1200]", at=(750, 600), drop=500.0, readings=readings)


class TestPlan:
    def test_the_least_depth_is_told_with_how_sure_it_is(self, sparse):
        text = plan_text(sparse)
        assert "HOW SURE THE DEPTH IS, 19 TIMES IN 20" in text
        assert "sure to" in text
        figures = json.loads(plan_json(sparse))["sure"]
        assert figures["step"] == 1.0
        assert figures["assured"]["depth"] < sparse.depth.least.value
        assert figures["most_depth"] == round(sparse.sureness.sure_most, 3)
        assert re.search(r"Most depth: +[\d.]+ mm, sure to \d+ mm", text)

    def test_a_mark_over_the_floor_is_sure_to_what_the_depth_is_there(self, sparse):
        """At A, read to 1 mm as the flange is, the line's lean over the way between; D, which nobody read, is worst."""
        marks = json.loads(plan_json(sparse))["sure"]["marks"]
        lean = (LINE_TILT * np.hypot(750, 600)) ** 2 / 3
        assert marks[0] == pytest.approx(SURE * np.sqrt(2 / 12 + lean), abs=1e-3)
        assert len(marks) == len(sparse.marks)
        worst = sparse.marks[int(np.argmax(marks))]
        assert worst.at == "D"
        assert f"sure to {int(np.ceil(max(marks)))} mm or better" in " ".join(plan_text(sparse).split())
        assert "least sure at corner D" in " ".join(plan_page(sparse).split())

    def test_the_next_reading_is_where_none_is_and_is_worth_it(self, sparse):
        best = sparse.sureness.next
        assert not sparse.sureness.is_enough
        assert best.gain > 0.8
        assert "to the depth that can be counted on" in " ".join(plan_text(sparse).split())

    def test_taking_it_narrows_by_what_was_said(self, sparse, make_plan):
        best = sparse.sureness.next
        rough = float(sparse.rough.height(np.array([[best.x, best.y]]))[0])
        readings = [
            ((0, 0), 540),
            ((1500, 0), 543),
            ((1500, 1200), 546),
            ((best.x, best.y), round(500 - rough)),
        ]
        after = make_plan("rectangle = [1500, 1200]", at=(750, 600), drop=500.0, readings=readings)
        gained = after.sureness.assured.value - sparse.sureness.assured.value
        assert gained == pytest.approx(best.gain, abs=1.0)

    @pytest.mark.parametrize("kept", [(1, 2, 4), (0, 1, 2, 3, 4)])
    def test_no_reading_anywhere_would_narrow_it_much_more(self, kept, plan_of):
        """Places all over the floor of a sample with some of its readings, tried one by one."""
        job = plan_of(SAMPLES / "orchard_end.toml").job
        plan = plan_job(replace(job, readings=tuple(job.readings[i] for i in kept)))
        floor, flange = plan.outline, plan.drains[0].flange.centre
        stations = np.array([(station.x, station.y) for station in plan.readings])
        before = surveyed(plan.job, plan.rough, stations)
        low, high = floor.corners.min(axis=0), floor.corners.max(axis=0)
        x, y = (np.linspace(a + 10, b - 10, 14) for a, b in zip(low, high, strict=True))
        places = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
        depths = plan.depth.gap(places)
        assured = (depths - before.sure(places, flange)).min()
        best = 0.0
        for place in places[::5]:
            heights = np.append(before.heights, before.foretold(place[None]))
            after = survey(floor, np.vstack([before.mesh.stations, place]), heights, before.reading, before.roughness)
            best = max(best, (depths - after.sure(places, flange)).min() - assured)
        assert plan.sureness.next.gain > 0.75 * best - 0.4
        assert plan.sureness.is_enough == (plan.sureness.next.gain < INCH / 32)

    def test_many_readings_are_enough(self, make_plan):
        grid = [((x, y), 540) for x in range(0, 1501, 250) for y in range(0, 1201, 240)]
        found = make_plan(
            "rectangle = [1500, 1200]",
            at=(750, 600),
            drop=500.0,
            readings=[(at, f"{drop} mm") for at, drop in grid],
        )
        assert found.sureness.is_enough
        assert found.sureness.sure < 1.5
        assert "enough" in plan_text(found)

    def test_without_a_reading_nothing_is_said_to_be_sure(self, make_plan):
        assert make_plan("rectangle = [1500, 1200]", at=(750, 600), drop=500.0).sureness is None


@pytest.mark.parametrize(
    ("text", "units", "step"),
    [
        ("21 5/16 in", Units.INCH, INCH / 16),
        ("21 5/8", Units.INCH, INCH / 8),
        ("3' 4 1/2\"", Units.INCH, INCH / 2),
        ("21½", Units.INCH, INCH / 2),
        ("545", Units.MM, 1.0),
        (545.5, Units.MM, 0.1),
        ("54,8 cm", Units.MM, 1.0),
        ("1.0287 m", Units.MM, 0.1),
    ],
)
def test_the_step_is_told_by_how_a_length_was_typed(text, units, step):
    assert typed_step(text, units) == pytest.approx(step)


def test_of_a_survey_the_finest_step_counts_within_reason():
    inches = [Typed(text, 0.0) for text in ("21 1/2", "21 3/4", "21 5/16", "22")]
    assert reading_step(inches, Units.INCH) == pytest.approx(INCH / 16)
    assert reading_step([Typed("22 in", 0.0)], Units.INCH) == pytest.approx(INCH / 8)
    assert SURE == 2.0


class TestSlips:
    """What slip would show stands beside how sure the depth is: in the text, as JSON, and on the wizard's page."""

    GRID = tuple((x, y) for x in range(0, 1501, 375) for y in range(0, 1201, 400))

    @pytest.fixture
    def dense(self, make_plan):
        readings = [(at, f"{540 + (number * 7) % 5} mm") for number, at in enumerate(self.GRID)]
        return make_plan("rectangle = [1500, 1200]", at=(750, 600), drop=500.0, readings=readings)

    def test_the_size_that_shows_is_told_with_the_worst_place(self, dense):
        slip = dense.sureness.slip
        figures = json.loads(plan_json(dense))["sure"]["slip"]
        assert figures["shows"] == round(slip.usual, 3)
        assert figures["worst"]["shows"] == round(slip.worst.value, 3)
        text = " ".join(plan_text(dense).split())
        assert f"Slip that shows: {int(np.ceil(slip.usual))} mm or more, in any reading" in text
        assert "A place read a second time shows any slip over 3.2 mm; begin at corner" in text
        assert figures["move"] == round(slip.move, 3)
        assert f"Move of the line: {int(np.ceil(slip.move))} mm or more, with two readings" in text

    def test_a_reading_that_no_others_judge_is_told_of(self, make_plan):
        """Five along one wall and one in the middle, which alone says how the floor leans: by hand."""
        along = [((x, 0.0), "540 mm") for x in (0.0, 300.0, 600.0, 900.0, 1500.0)]
        found = make_plan(
            "rectangle = [1500, 1200]", at=(750, 600), drop=500.0, readings=[*along, ((300, 900), "541 mm")]
        )
        assert found.sureness.slip.unjudged == (5,)
        assert "Never shows: a slip in 1 reading, which the others do not judge" in " ".join(plan_text(found).split())

    def test_too_few_readings_show_none(self, sparse):
        assert sparse.sureness.slip is None
        assert json.loads(plan_json(sparse))["sure"]["slip"] is None
        assert "it takes 5 readings to judge each other" in " ".join(plan_text(sparse).split())

    def test_a_place_read_a_second_time_shows_what_it_says(self, make_plan):
        """Three corners judge nothing, and yet a slip of 4 mm in one shows against its second reading."""
        readings = [((0, 0), "540 mm"), ((1500, 0), "543 mm"), ((0, 0), "544 mm")]
        found = make_plan("rectangle = [1500, 1200]", at=(750, 600), drop=500.0, readings=readings)
        assert [one.rule for one in found.findings if one.rule == "line-moved"] == ["line-moved"]

    def test_the_printed_page_says_how_sure_the_thinnest_place_is(self, dense):
        assert re.search(r"Thinnest</dt><dd>[\d.]+ mm, sure to \d+ mm, ", plan_page(dense))
