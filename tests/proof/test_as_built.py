"""The finished bed against the plan: by hand, and on beds that were built as planned."""

from __future__ import annotations

import json
import re
from pathlib import Path

import numpy as np
import pytest

from engine.limits.findings import Level
from engine.proof.mesh import mesh_of
from engine.proof.surface import LEAST_POND
from engine.proof.water import Pond
from engine.proof.words import extent
from engine.quantities import Units
from engine.sheets.json import plan_json
from engine.sheets.text import plan_text
from engine.survey.spot import Needs

INCH = 25.4
SAMPLE = Path(__file__).parents[2] / "sample_jobs" / "coopers_yard.toml"
ALL_ROUND = [("A", 0), ("B", 0), ("C", 0), ("D", 0)]
ELL = [(0, 0), (1800, 0), (1800, 800), (900, 800), (900, 1600), (0, 1600)]


def of_rule(found, rule):
    return [finding for finding in found.findings if finding.rule == rule]


@pytest.fixture(scope="module")
def sample(plan_of):
    return plan_of(SAMPLE)


def test_a_pond_is_never_told_as_no_wider_than_nothing():
    sizes = [(22.0, 0.4), (3.0, 0.4), (0.2, 0.2)]
    for units, none in ((Units.INCH, "0 in"), (Units.MM, "0 mm")):
        told = [extent(Pond(1.0, 1.0, 0, 0, 0, 1.0, long, wide), units) for long, wide in sizes]
        assert [words for words in told if f" {none}" in words] == []


class TestBirdbath:
    """sample_jobs/coopers_yard.toml: 60 x 48 in, a 6 in flange in the middle, walls 3/4 in up.

    By hand, along the line from the middle of A-B to the drain: 24 in from wall to centre, 21 in to the flange's
    edge. The station 13 1/2 in off the wall reads 20 3/16, the flange 20: it lies 3/16 in under the flange, so water
    stands there up to the flange's edge, 3/16 in deep. Planned is 3/4 x (21 - 13 1/2) / 21 = 15/56 in up: 15/56 +
    3/16 = 51/112 in low. From the wall's 3/4 in down to -3/16 in the bed passes 0 at 13 1/2 x 3/4 / (15/16) = 10.8
    in, so the water reaches from there to the flange's edge at 21 in.
    """

    def test_is_as_deep_and_where_a_person_finds_it(self, sample):
        (pond,) = sample.as_built.ponds
        assert pond.depth == pytest.approx(3 / 16 * INCH, abs=1e-9)
        assert (pond.x, pond.y) == pytest.approx((30 * INCH, 13.5 * INCH))
        assert pond.level == pytest.approx(0.0, abs=1e-9)
        assert max(pond.long, pond.wide) < 1.2 * (21 - 10.8) * INCH
        assert min(pond.long, pond.wide) > 0.9 * (21 - 10.8) * INCH

    def test_the_worst_error_is_that_station(self, sample):
        worst = sample.as_built.worst
        assert worst.value == pytest.approx(-51 / 112 * INCH)
        assert (worst.x, worst.y) == pytest.approx((30 * INCH, 13.5 * INCH))

    def test_the_walls_are_as_planned_so_every_line_falls_as_planned(self, sample):
        built = sample.as_built
        assert built.least_fall.value == pytest.approx(sample.bed.least_fall)
        assert built.most_fall.value == pytest.approx(sample.bed.most_fall)

    def test_the_installer_is_told_what_to_do(self, sample):
        (finding,) = of_rule(sample, "ponding")
        assert finding.level is Level.STOP
        assert finding.says.startswith("water would stand 3/16 in deep 13 1/2 in from A-B and 30 in from B-C")
        assert finding.remedy.startswith("fill 7/16 in 13 1/2 in from A-B and 30 in from B-C while the mud is green")
        text = plan_text(sample)
        assert "THE MEND LIST\n- fill 7/16 in 13 1/2 in from A-B" in text
        orders = "until the line reads 19 3/4 in; once it is set, cut it out and pack it anew"
        assert orders in " ".join(text.split())
        assert "With that done no water stands" in text
        assert "Once it is set" in text

    def test_the_plan_as_json_has_the_contracts_keys(self, sample):
        built = json.loads(plan_json(sample))["as_built"]
        assert set(built) >= {"ponds", "worst", "least_fall"}
        assert set(built["ponds"][0]) >= {"depth", "area", "x", "y"}
        assert built["ponds"][0]["depth"] == 4.763  # 3/16 in is 4.7625 mm
        assert set(built["worst"]) == {"error", "x", "y"}
        assert built["worst"]["error"] == pytest.approx(-11.566)
        assert built["least_fall"] == pytest.approx(0.75 / (np.hypot(30, 24) - 3), abs=5e-7)


class TestBuiltAsPlanned:
    @pytest.mark.parametrize(
        "words",
        [
            {},
            {"shape": "even-fall"},
            {"kind": "square", "size": 120.0},
            {"outline": ELL, "shape": "even-fall", "at": (450.0, 400.0)},
            {"at": (250.0, 300.0)},
        ],
    )
    def test_no_water_stands_and_every_line_falls_as_planned(self, built, words):
        found = built([*ALL_ROUND, ((500.0, 150.0), 0), ((200.0, 650.0), 0)], **words)
        assert found.as_built.ponds == ()
        assert found.as_built.worst.value == pytest.approx(0.0, abs=1e-5)
        assert found.as_built.least_fall.value == pytest.approx(found.bed.least_fall, rel=1e-4)
        assert of_rule(found, "ponding") == []
        assert found.as_built.mending.mends == ()

    def test_one_reading_off_says_so_at_its_place(self, built):
        found = built([*ALL_ROUND, ((400.0, 300.0), -2.0)])
        assert found.as_built.worst.value == pytest.approx(-2.0, abs=1e-5)


class TestWater:
    def test_a_hollow_that_drains_holds_nothing(self, built):
        """A station that is low but still falls to the flange."""
        assert built([*ALL_ROUND, ((375.0, 300.0), -4)]).as_built.ponds == ()

    def test_water_no_deeper_than_the_readings_are_sure_to_is_read_again_first(self, read):
        found = read(_inches("20 in"))
        (finding,) = of_rule(found, "ponding")
        assert found.as_built.ponds[0].depth > LEAST_POND
        assert finding.level is Level.CAUTION
        assert finding.remedy.startswith("read it again; if it is so, fill")

    def test_readings_to_a_thirty_second_are_told_as_sure_to_one_and_not_to_nothing(self, read):
        found = read(_inches("20 1/32 in"))
        assert 1 / 64 < found.as_built.sure / INCH < 1 / 32
        assert re.search(r"Sure to: +1/32 in, 19 times in 20", plan_text(found))


def _inches(drop):
    """The birdbath sample with another reading at its low station."""
    return SAMPLE.read_text(encoding="utf-8").replace("20 3/16 in", drop)


def test_no_place_beside_the_floor_hides_what_stands_on_it(make_plan):
    """A line in which the error bends ends 2 um past a wall: from there no way leads to the drain."""
    laid = "".join(
        f'[[as_built]]\nat = "{corner}"\ndrop = {drop}\n' for corner, drop in zip("ABC", (470, 480, 480), strict=True)
    )
    built = make_plan(ELL, at=(400, 400), drop=500, readings=[('"A"', 560)], shape="even-fall", extra=laid).as_built
    crease = np.array([[(1200.0, 300.0), (1200.0, 800.0 + 0.0019)]])
    mesh = mesh_of(built.surface.bed, built.surface.stations, crease)
    assert np.isfinite(built.surface.bed.height(mesh.nodes)).all()


class TestCatchments:
    TWO = '[[drains]]\nkind = "round"\nsize = 100\nat = { x = 2100, y = 600 }\ndrop = 500\n'

    def test_each_drain_takes_its_half(self, built):
        """2500 x 1200 with drains as far from either end: 1.5 m2 each, built as planned."""
        found = built(
            ALL_ROUND,
            outline="rectangle = [2500, 1200]",
            at=(400.0, 600.0),
            size=100.0,
            shape="even-fall",
            extra=self.TWO,
        )
        areas = found.as_built.surface.catchment_areas
        assert areas == pytest.approx([1.5e6, 1.5e6], rel=2e-3)
        assert areas.sum() == pytest.approx(3e6, rel=1e-6)
        assert json.loads(plan_json(found))["as_built"]["catchments"] == [round(area) for area in areas]
        assert re.search(
            r"Runs to drain 2: the water of about 1\.5 m2, 50 % of the floor; planned 50 %",
            " ".join(plan_text(found).split()),
        )


class TestLine:
    def test_a_line_set_up_anew_is_taken_from_the_flange(self, built):
        found = built([((750.0, 600.0), 0), *ALL_ROUND, ((400.0, 300.0), 3)], line=530.0)
        assert found.as_built.moved == pytest.approx(30.0)
        assert found.as_built.worst.value == pytest.approx(3.0, abs=1e-5)
        (finding,) = of_rule(found, "line-moved")
        assert "30 mm higher" in finding.says

    def test_an_eighth_of_an_inch_is_no_move(self, built):
        found = built([((750.0, 600.0), 0), *ALL_ROUND], line=503.0)
        assert found.as_built.moved == 0.0
        assert found.as_built.worst.value == pytest.approx(-3.0, abs=1e-5)

    def test_without_a_drop_of_the_drain_the_flange_has_to_be_read(self, built):
        assert isinstance(built(ALL_ROUND, drop=None).as_built, Needs)
        found = built([((750.0, 600.0), 0), *ALL_ROUND], drop=None)
        assert found.as_built.worst.value == pytest.approx(0.0, abs=1e-5)


class TestFalls:
    def test_a_wall_that_ended_low_breaks_the_least_fall(self, built):
        found = built([("A", -9), ("B", 0), ("C", 0), ("D", 0)])
        run = np.hypot(750, 600) - 75
        assert found.as_built.least_fall.value == pytest.approx((found.bed.wall_height - 9) / run, rel=1e-4)
        (finding,) = of_rule(found, "built-fall-low")
        assert (finding.level, finding.key) == (Level.STOP, "as_built[0].drop")
        assert "at corner A" in finding.says
        text = " ".join(plan_text(found).split())
        assert "% from A, too low" in text
        falls = json.loads(plan_json(found))["as_built"]["falls"]
        assert [fall["at"] for fall in falls] == [mark.at for mark in found.marks]
        assert falls[0]["fall"] == pytest.approx((found.bed.wall_height - 9) / run, abs=1e-6)
        assert "% from B Fall" in text

    def test_a_fall_short_by_less_than_the_readings_tell_is_a_caution(self, built):
        found = built([("A", -0.9), ("B", 0), ("C", 0), ("D", 0)], fall="1:48", mark_step=0.01)
        assert [finding.level for finding in of_rule(found, "built-fall-low")] in (
            [Level.CAUTION],
            [Level.STOP],
        )

    def test_where_the_book_measures_square_lines_run_square(self, built):
        found = built(ALL_ROUND, rulebook="au-ncc", fall="1:60", at=(750.0, 600.0))
        assert found.as_built.least_fall.value == pytest.approx(found.bed.least_fall, rel=1e-4)
        assert found.as_built.most_fall.value == pytest.approx(found.bed.most_fall, rel=1e-4)


class TestMends:
    def test_what_is_far_off_is_mended_and_what_is_near_is_left(self, built):
        found = built([*ALL_ROUND, ((400.0, 300.0), 6), ((1100.0, 300.0), -1)])
        mends = found.as_built.mending.mends
        assert [(m.x, m.y) for m in mends] == [(400.0, 300.0)]
        assert mends[0].add == pytest.approx(-6.0, abs=1e-5)
        text = " ".join(plan_text(found).split())
        reading = round(500 - found.bed.height(np.array([[400.0, 300.0]]))[0])
        assert "shave off 6 mm" in text
        assert f"until the line reads {reading} mm; once it is set, rub it down wet" in text

    def test_where_there_are_several_the_list_is_named_once(self, built):
        found = built([*ALL_ROUND, ((350.0, 300.0), -14), ((600.0, 430.0), 9)])
        assert len(found.as_built.mending.mends) > 1
        assert [finding.remedy.count("see the mend list") for finding in of_rule(found, "ponding")] == [1]

    def test_after_mending_nothing_stands(self, built):
        found = built([*ALL_ROUND, ((350.0, 300.0), -14), ((600.0, 430.0), 9)])
        assert found.as_built.ponds
        assert found.as_built.mending.ponds_left == 0


class TestNeeds:
    def test_without_a_bed_it_cannot_be_judged(self, read):
        text = _inches("20 3/16 in").replace('shape = "level-walls"\n', "")
        found = read(text)
        assert isinstance(found.as_built, Needs)
        assert "It cannot be judged yet" in plan_text(found)
        assert json.loads(plan_json(found))["as_built"] is None

    def test_a_reading_off_the_floor_is_told_and_left_out(self, built):
        found = built([*ALL_ROUND, ((400.0, 300.0), 0)])
        text = "\n[[as_built]]\nat = { x = 5000, y = 5000 }\ndrop = 400\n"
        strayed = built([*ALL_ROUND, ((400.0, 300.0), 0)], extra=text)
        assert len(strayed.as_built.stations) == len(found.as_built.stations)
        assert [f.key for f in of_rule(strayed, "reading-odd")] == ["as_built[0].at"]

    def test_without_readings_nothing_is_added(self, built):
        found = built([])
        assert found.as_built is None
        assert "as_built" not in json.loads(plan_json(found))


def test_measured_square_a_bed_built_as_planned_falls_as_planned(built):
    """One wall is faced from the drain beside its end: the square distance counts there, as in the plan."""
    corners = [(0, 0), (1500, 0), (1500, 1100), (1400, 1200), (0, 1200)]
    words = {
        "outline": corners,
        "at": (300.0, 600.0),
        "rulebook": "au-ncc",
        "fall": "1:79",
        "mark_step": 0.01,
    }
    found = built([(corner, 0.0) for corner in "ABCDE"], **words)
    assert found.as_built.least_fall.value == pytest.approx(found.bed.least_fall, rel=1e-9)
    assert found.as_built.most_fall.value == pytest.approx(found.bed.most_fall, rel=1e-9)
    assert ", too low" not in " ".join(plan_text(found).split())
