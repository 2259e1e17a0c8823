"""Between which heights the drains may stand, against figures worked by hand."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from engine.job.edit import with_entry
from engine.job.toml_file import parse_job, read_job
from engine.limits.drain_range import Decides
from engine.plan import plan
from engine.sheets.json import plan_json
from engine.sheets.text import plan_text
from engine.why import explained

INCH = 25.4
SAMPLE = Path(__file__).parents[2] / "sample_jobs" / "tithe_barn.toml"
# Tithe Barn: a round flange (radius 3 in) in the middle of 42 x 42 in, 1/4 in/ft.
#   to a corner: 21 sqrt(2) - 3 = 26.698 in, / 48 = 0.556, up to 9/16 in
#   the hump is 9 in from the middle, towards D-A: 6 of the 18 in from rim to wall, so the bed is 3/16 in high there
#   its drop is 20 3/4 in and 3/4 in of mud must lie on it: so the flange is at 20 3/4 - 3/4 + 3/16 = 20 3/16 in
#   the curb's top at 16 in, over it 1/8 + 5/16 in of tile, 2 in of height: 16 + 7/16 + 2 = 18 7/16 in
LOWEST_DROP = (20 + 3 / 16) * INCH
HIGHEST_DROP = (18 + 7 / 16) * INCH


@pytest.fixture(scope="module")
def sample():
    return read_job(SAMPLE)


class TestADrainToBeSet:
    def test_stands_as_low_as_the_hump_lets_it(self, sample):
        planned = plan(sample)
        lowest = planned.drain_range.lowest
        assert planned.bed.wall_height == pytest.approx(9 / 16 * INCH)
        assert planned.drains[0].drop == pytest.approx(LOWEST_DROP, abs=1e-6)
        assert (lowest.by, lowest.height) == (Decides.LEAST_DEPTH, pytest.approx(0.0, abs=1e-9))
        assert lowest.drop == pytest.approx(LOWEST_DROP, abs=1e-6)
        assert (lowest.spot.x, lowest.spot.y) == pytest.approx((12 * INCH, 21 * INCH), abs=1e-3)

    def test_may_be_raised_until_the_curb_is_too_low(self, sample):
        highest = plan(sample).drain_range.highest
        assert (highest.by, highest.spot) == (Decides.CURB, None)
        assert highest.drop == pytest.approx(HIGHEST_DROP, abs=1e-6)

    @pytest.mark.parametrize(("drop", "is_low"), [("18 7/16 in", False), ("18 3/8 in", True)])
    def test_set_there_the_curb_is_just_high_enough(self, sample, drop, is_low):
        rules = {finding.rule for finding in plan(with_entry(sample, "drains[0].drop", drop)).findings}
        assert ("curb-low" in rules) is is_low

    @pytest.mark.parametrize(("drop", "is_thin"), [("20 3/16 in", False), ("20 1/4 in", True)])
    def test_set_there_the_bed_is_just_thick_enough(self, sample, drop, is_thin):
        rules = {finding.rule for finding in plan(with_entry(sample, "drains[0].drop", drop)).findings}
        assert ("bed-thin" in rules) is is_thin

    def test_the_text_and_why_say_what_decides_it_and_where(self, sample):
        planned = plan(sample)
        text = " ".join(plan_text(planned).split())
        assert "line reading 20 3/16 in, decided by the least depth of 3/4 in, 12 in from D-A" in text
        assert "line reading 18 7/16 in, decided by the curb" in text
        words = " ".join(paragraph for _, paragraph in explained(planned, "drain")[1])
        assert "decided by the least depth of 3/4 in, 12 in from D-A and 21 in from A-B" in words


class TestMeasuredDrains:
    def test_the_range_does_not_hang_on_where_the_drain_is_now(self, sample):
        set_higher = plan(with_entry(sample, "drains[0].drop", "19 in")).drain_range
        assert set_higher.lowest.drop == pytest.approx(LOWEST_DROP, abs=1e-6)
        assert set_higher.highest.drop == pytest.approx(HIGHEST_DROP, abs=1e-6)
        assert set_higher.lowest.height == pytest.approx(19 * INCH - LOWEST_DROP, abs=1e-6)

    def test_most_depth_may_decide_the_highest(self, sample):
        job = with_entry(with_entry(sample, "bed.most_depth", "2 in"), "curb.drop", "")
        # At B the floor is 21 1/2 in under the line and the bed 9/16 in over the flange: 2 in of mud at 19 in + 1/16.
        highest = plan(job).drain_range.highest
        assert highest.by is Decides.MOST_DEPTH
        assert highest.drop == pytest.approx((21.5 - 2 + 9 / 16) * INCH, abs=1e-6)
        assert plan(job).drain_range.curb is None

    def test_what_the_curb_allows_is_told_where_the_most_depth_decides(self, sample):
        found = plan(with_entry(sample, "bed.most_depth", "2 in"))
        assert found.drain_range.highest.by is Decides.MOST_DEPTH
        assert found.drain_range.curb.by is Decides.CURB
        assert found.drain_range.curb.drop == pytest.approx(HIGHEST_DROP, abs=1e-6)
        text = " ".join(plan_text(found).split())
        assert text.count("Highest it may stand: ") == 1
        assert "line reading 18 7/16 in, decided by the curb, which must stand 2 in over the finished drain" in text
        told = json.loads(plan_json(found))["drain_range"]
        assert (told["highest"]["decided_by"], told["curb"]["decided_by"]) == ("most-depth", "curb")
        assert told["curb"]["drop"] == pytest.approx(HIGHEST_DROP, abs=1e-3)

    def test_where_the_curb_decides_it_is_told_once(self, sample):
        found = plan(sample)
        assert found.drain_range.curb == found.drain_range.highest
        assert " ".join(plan_text(found).split()).count("decided by the curb") == 1

    @pytest.mark.parametrize(
        ("changes", "drop", "too_low", "why"),
        [
            # the curb's top at 10 in, tile as above, 9 in of height at most: 10 + 7/16 + 9 = 19 7/16 in
            ({"curb.drop": "10 in"}, 19 + 7 / 16, "19 1/2 in", "at most 9 in over the finished drain"),
            # at 16 in, 1/2 in at most over the floor beside it, which is 9/16 in high: 16 + 7/16 + 9/16 + 1/2 = 17 1/2
            (
                {"curb.drop": "16 in", "job.rulebook": "us-accessible"},
                17.5,
                "17 9/16 in",
                "at most 1/2 in over the finished floor beside it",
            ),
        ],
    )
    def test_no_lower_than_a_curb_that_must_not_stand_high_allows(self, sample, changes, drop, too_low, why):
        job = sample
        for key, text in changes.items():
            job = with_entry(job, key, text)
        lowest = plan(job).drain_range.lowest
        assert lowest.drop == pytest.approx(drop * INCH, abs=1e-6)
        assert why in " ".join(plan_text(plan(job)).split())
        for text, is_high in ((f"{drop} in", False), (too_low, True)):
            rules = {finding.rule for finding in plan(with_entry(job, "drains[0].drop", text)).findings}
            assert ("curb-high" in rules) is is_high

    def test_says_so_where_no_height_meets_both(self, sample):
        planned = plan(with_entry(sample, "bed.most_depth", "1 in"))
        assert planned.drain_range.is_empty
        # The bed is 1 7/8 in thick at B where it is 3/4 in on the hump: 7/8 in more than 1 in.
        assert "no height meets both limits: they miss each other by 7/8 in" in " ".join(plan_text(planned).split())

    def test_there_is_none_before_there_is_a_bed(self):
        assert plan(parse_job('format = 1\n[job]\nname = "x"\n')).drain_range is None


def test_with_several_drains_the_heights_are_the_first_ones(make_plan):
    """Drain 2, 30 lower than drain 1, is over 30 mm of mud: both may sink until it is over the book's 3/4 in."""
    second = '[[drains]]\nkind = "round"\nsize = 100\nat = { x = 1800, y = 450 }\ndrop = 530\n'
    words = {"shape": "even-fall", "at": (600, 450), "size": 100, "drop": 500, "extra": second}
    found = make_plan("rectangle = [2400, 900]", readings=[((0, 0), 560)], **words)
    assert found.drain_range.lowest.drop == pytest.approx(500 + 30 - 0.75 * INCH)
    told = " ".join(plan_text(found).split())
    assert (
        "Lowest it may stand: drain 1 49.1 mm above the rough floor there, line reading 510.9 mm, the others with"
        in told
    )
