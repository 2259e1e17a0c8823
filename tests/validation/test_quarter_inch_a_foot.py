"""A quarter inch a foot is 1:48 exactly, and 2 % is less.

Sources: IRC 2021 P2709.1 (at least 1/4 in per 12 in, at most 1/2 in per 12 in); ADA 2010 Standards 305.2 and
404.2.4.4 read across to 608 (no steeper than 1:48). 1/4 : 12 = 1/48 = 2.0833 %.
"""

from __future__ import annotations

import json
from fractions import Fraction

import pytest

from engine.job.model import RulebookName
from engine.limits.findings import Level
from engine.limits.rulebook import rulebook
from engine.quantities import Dimension, Units, parse
from engine.sheets.json import plan_json

QUARTER_IN_A_FOOT = Fraction(1, 4) / 12
PRINTED = 1e-6  # [-] JSON prints ratios to six decimals
INCHES = {"units": "in", "size": "6 in", "at": '{ "A-B" = "20 in", "D-A" = "24 in" }', "mark_step": "1/16 in"}
FLOOR = 'rectangle = ["48 in", "40 in"]'


def stops(plan):
    return {finding.rule for finding in plan.findings if finding.level is Level.STOP}


def test_the_ratio_itself():
    assert Fraction(1, 48) == QUARTER_IN_A_FOOT


@pytest.mark.parametrize("text", ["1/4 in/ft", "1:48", "0.25 in/ft", "1/4 in per ft", '1/4"/ft', "1 in/4 ft"])
@pytest.mark.parametrize("units", list(Units))
def test_every_way_to_write_it_is_exact(text, units):
    assert parse(text, Dimension.FALL, units) == 1 / 48


def test_the_two_codes_meet_in_one_point():
    book = rulebook(RulebookName.US_ACCESSIBLE)
    assert book.least_fall.value == 1 / 48
    assert book.most_fall.value == 1 / 48


@pytest.mark.parametrize("fall", ["1/4 in/ft", "1:48"])
@pytest.mark.parametrize("kind", ["round", "square"])
def test_an_even_fall_passes_between_them(make_plan, fall, kind):
    plan = make_plan(FLOOR, shape="even-fall", fall=fall, kind=kind, rulebook="us-accessible", **INCHES)
    assert plan.bed.least_fall == plan.bed.most_fall == 1 / 48
    assert {"fall-low", "fall-steep"}.isdisjoint({finding.rule for finding in plan.findings})


def test_level_walls_with_unequal_runs_do_not(make_plan):
    plan = make_plan(FLOOR, rulebook="us-accessible", fall="1/4 in/ft", **INCHES)
    assert "fall-steep" in stops(plan)


@pytest.mark.parametrize(("fall", "rule"), [("1:47", "fall-steep"), ("1:49", "fall-low"), ("2 %", "fall-low")])
def test_a_hair_to_either_side_does_not(make_plan, fall, rule):
    plan = make_plan(FLOOR, shape="even-fall", fall=fall, rulebook="us-accessible", **INCHES)
    assert rule in stops(plan)


def test_two_percent_is_below_a_quarter_inch(make_plan):
    assert "fall-low" in stops(make_plan(FLOOR, shape="even-fall", fall="2 %", **INCHES))
    assert "fall-low" not in stops(make_plan(FLOOR, shape="even-fall", fall="1/4 in/ft", **INCHES))


def test_the_json_prints_the_ratio(make_plan):
    bed = json.loads(plan_json(make_plan(FLOOR, shape="even-fall", fall="1/4 in/ft", **INCHES)))["bed"]
    assert bed["least_fall"] == pytest.approx(1 / 48, abs=PRINTED / 2)
    assert bed["most_fall"] == bed["least_fall"]


class TestLongRoom:
    """60 x 32 in, central point drain, sized at the corner: derived."""

    CORNER = (30**2 + 16**2) ** 0.5  # 34 in
    RISE = CORNER / 48  # 0.708 in
    FACET = RISE / 16 * 12  # 0.531 in per ft
    POINT = 0.000001  # [in] a flange of no size

    @pytest.fixture
    def plan(self, make_plan):
        words = {**INCHES, "size": f"{self.POINT:.6f} in", "at": '{ "A-B" = "16 in", "D-A" = "30 in" }'}
        return make_plan('rectangle = ["60 in", "32 in"]', fall="1/4 in/ft", **{**words, "mark_step": "1/48 in"})

    def test_the_arithmetic(self):
        assert self.CORNER == 34
        assert pytest.approx(0.708, abs=5e-4) == self.RISE
        assert pytest.approx(0.531, abs=5e-4) == self.FACET

    def test_the_long_walls_are_too_steep(self, plan):
        assert plan.bed.wall_height / 25.4 == pytest.approx(self.RISE, abs=self.POINT)
        assert plan.bed.most_fall * 12 == pytest.approx(self.FACET, abs=self.POINT)
        assert "fall-steep" in stops(plan)
