"""The least bed: by hand on plain floors, never over a bed that keeps the limits, and what it asks of the drain."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from engine.bed.least_bed import Demands, least_bed, water_ways
from engine.job.toml_file import parse_job, read_job
from engine.plan import plan
from engine.sheets.least_bed import least_bed_figures, least_bed_words, saving

LEAST, MOST = 1 / 48, 1 / 24
SAMPLES = Path(__file__).parents[2] / "sample_jobs"
ROOM = "rectangle = [1200, 900]"
FLAT = [(f'"{corner}"', 500.0) for corner in "ABCD"]
ELL = [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)]

LEFT_OPEN = """
format = 1
[floor]
kind = "concrete"
bond_coat = true
[outline]
rectangle = ["48", "40 1/2"]
[[drains]]
kind = "round"
size = "6 in"
at = { "A-B" = "20 1/4 in", "D-A" = "24 in" }
[[readings]]
at = "A"
drop = "21 5/8"
[[readings]]
at = "B"
drop = "21 1/2"
[[readings]]
at = "C"
drop = "21 9/16"
[[readings]]
at = "D"
drop = "21 1/2"
[[readings]]
at = { "A-B" = "20 1/4 in", "D-A" = "24 in" }
drop = "21 1/2"
[bed]
shape = "level-walls"
"""


def least(planned, depth=20.0, most=MOST):
    heads = [drain.height for drain in planned.drains]
    return least_bed(planned.bed.reach, planned.rough, Demands(LEAST, most, depth), heads)


class TestByHand:
    def test_on_a_flat_floor_it_is_the_even_fall(self, make_plan):
        planned = make_plan(ROOM, at=(600, 450), drop=470.0, readings=FLAT, shape="even-fall")
        found = least(planned)
        assert found.rise == 0
        assert found.heights == pytest.approx(LEAST * found.ways.ways, abs=1e-9)
        assert found.at(np.array([[0.0, 0.0]]))[0] == pytest.approx((750 - 50) * LEAST)

    def test_with_too_little_under_the_drain_it_says_by_how_much_the_drain_must_rise(self, make_plan):
        planned = make_plan(ROOM, at=(600, 450), drop=485.0, readings=FLAT, shape="even-fall")
        found = least(planned)
        assert found.rise == pytest.approx(20 - 15)
        raised = least(make_plan(ROOM, at=(600, 450), drop=480.0, readings=FLAT, shape="even-fall"))
        assert raised.rise == pytest.approx(0, abs=1e-9)
        assert found.heights - 5 == pytest.approx(raised.heights, abs=1e-9)

    def test_a_hump_lifts_what_drains_over_it_and_nothing_else(self, make_plan):
        """A reading 15 mm up at (900, 450), 250 mm from the rim: 5.2 mm of bed there are 9.8 mm short of 20 of mud."""
        readings = [*FLAT, ((900, 450), 485.0), ((750, 450), 500.0), ((900, 300), 500.0), ((900, 600), 500.0)]
        planned = make_plan(ROOM, at=(600, 450), drop=485.0 - 5.0, readings=readings, shape="even-fall")
        found = least(planned, most=None)
        at = found.at(np.array([[900.0, 450.0], [1200.0, 450.0], [0.0, 0.0]]))
        assert at[0] == pytest.approx(-5 + 20)
        assert at[1] == pytest.approx(-5 + 20 + 300 * LEAST)
        assert at[2] == pytest.approx((750 - 50) * LEAST)

    def test_the_most_fall_makes_it_rise_before_the_hump(self, make_plan):
        """On the way to the hump, 100 mm nearer to the drain, it may be no more than 100 / 24 mm lower."""
        readings = [*FLAT, ((900, 450), 485.0), ((750, 450), 500.0), ((900, 300), 500.0), ((900, 600), 500.0)]
        planned = make_plan(ROOM, at=(600, 450), drop=480.0, readings=readings, shape="even-fall")
        found = least(planned)
        places, heights = found.ways.places, found.heights
        on_way = (np.abs(places[:, 1] - 450) < 1e-6) & (places[:, 0] > 650) & (places[:, 0] <= 900)
        assert on_way.sum() > 3
        assert (heights[on_way] >= 15 - MOST * (900 - places[on_way, 0]) - 1e-9).all()


class TestLimits:
    @pytest.fixture(params=["round a corner", "two drains", "round a post"])
    def found(self, request, make_plan):
        readings = [*((corner, 500.0) for corner in ELL), ((400, 400), 490.0), ((1300, 300), 492.0)]
        words = {"at": (1500, 400), "drop": 470.0, "readings": readings, "shape": "even-fall"}
        if request.param == "two drains":
            words["extra"] = '[[drains]]\nkind = "square"\nsize = 100\nat = { x = 400, y = 1500 }\ndrop = 468\n'
        if request.param == "round a post":
            words["islands"] = [[(300, 600), (500, 600), (500, 800), (300, 800)]]
        planned = make_plan(ELL, **words)
        return planned, least(planned)

    def test_all_are_kept(self, found):
        planned, bed = found
        ways = bed.ways
        assert (bed.heights - planned.rough.height(ways.places) >= 20 - 1e-9).all()
        below = np.flatnonzero(ways.down >= 0)
        rise = bed.heights[below] - bed.heights[ways.down[below]]
        assert (rise >= LEAST * (ways.ways[below] - ways.ways[ways.down[below]]) - 1e-9).all()
        first, second = ways.edges.T
        apart = np.hypot(*(ways.places[first] - ways.places[second]).T)
        assert (np.abs(bed.heights[first] - bed.heights[second]) <= MOST * apart + 1e-9).all()

    def test_its_places_cover_the_floor_and_their_ways_are_the_waters(self, found):
        planned, bed = found
        assert bed.ways.weights.sum() == pytest.approx(planned.outline.area, rel=2e-3)
        reach = planned.bed.reach
        if len(planned.drains) == 1:
            assert bed.ways.ways == pytest.approx(reach.way(bed.ways.places), abs=1e-6)

    def test_the_same_twice(self, found):
        planned, bed = found
        assert (least(planned).heights == bed.heights).all()


@pytest.mark.parametrize("seed", range(6))
def test_never_over_a_planned_bed_that_keeps_the_limits(make_plan, seed):
    """Even fall at any fall within the limits, over any floor that leaves it its depth."""
    rng = np.random.default_rng(seed)
    corners = ELL if seed % 2 else [(0, 0), (1300, 0), (1300, 1100), (0, 1100)]
    readings = [(corner, float(drop)) for corner, drop in zip(corners, rng.uniform(495, 520, 6).round(1), strict=False)]
    at = (400, 300) if seed % 3 else (600, 450)
    planned = make_plan(corners, at=at, drop=460.0, readings=readings, shape="even-fall", fall="3 %")
    assert planned.depth.least.value >= 20
    found = least(planned)
    above = found.heights - planned.bed.height(found.ways.places)
    assert found.rise == 0
    assert above.max() <= 1e-9
    assert found.saves(planned.bed) > 0


def test_level_walls_that_keep_the_limits_are_never_under_it(make_plan):
    planned = make_plan([(0, 0), (1000, 0), (1000, 1000), (0, 1000)], at=(500, 500), drop=470.0, readings=[])
    found = least(planned, depth=19.0)
    assert planned.bed.least_fall >= LEAST
    assert planned.bed.most_fall <= MOST
    assert (found.heights <= planned.bed.height(found.ways.places) + 1e-9).all()


def test_what_it_saves_is_the_planned_volume_less_its_own(make_plan):
    planned = make_plan(ROOM, at=(600, 450), drop=470.0, readings=FLAT, shape="even-fall", fall="3 %")
    found = plan(planned.job).least_bed
    saved = saving(planned, found)
    assert saved.volume == pytest.approx(planned.depth.volume - found.volume, rel=2e-3)
    assert saved.mass > 0
    assert saved.bags == pytest.approx(saved.volume * 1.1 / 0.0125e9)


def test_where_nothing_can_be_saved_it_takes_what_is_planned(make_plan):
    """An even fall at the least fall is the least bed, though between its places that is reckoned a hair higher."""
    planned = make_plan(ELL, at=(1500, 400), drop=470.0, shape="even-fall", fall="1:48")
    found = planned.least_bed
    assert found.volume > planned.depth.volume
    told = least_bed_figures(planned)["least_bed"]
    assert told["volume"] == round(planned.depth.volume)
    assert told["saves"]["volume"] == 0


def test_there_is_none_without_a_bed(make_plan):
    assert make_plan(ROOM, at=(600, 450), shape=None).least_bed is None


def test_ways_end_on_flanges_and_step_no_farther_than_said(make_plan):
    planned = make_plan(ELL, at=(1500, 400), drop=470.0, shape="even-fall")
    ways = water_ways(planned.bed.reach, planned.rough)
    below = np.flatnonzero(ways.down >= 0)
    assert (ways.ways[below] - ways.ways[ways.down[below]] <= ways.step + 1e-9).all()
    assert ways.ways[ways.down < 0] == pytest.approx(0, abs=1e-9)


def test_a_drain_that_was_planned_by_the_least_depth_need_not_rise():
    """The depth at the flange is the least but for the last bits of a float; no one raises a drain by 0 in."""
    planned = plan(parse_job(LEFT_OPEN))
    assert least_bed_figures(planned)["least_bed"]["exists"]
    told = dict(least_bed_words(planned))
    assert "The drain" not in told
    assert "of what the planned bed takes" in told["It saves"]
    assert told["It saves"].endswith(" of dry mix, not a whole bag")


def _told(planned):
    return dict(least_bed_words(planned)), least_bed_figures(planned)["least_bed"]


def test_a_bed_that_keeps_its_limits_square_to_the_walls_is_compared(make_plan):
    """Along the ways to the corners it is flatter than 1:80, and so is under the least bed there."""
    readings = [(f'"{corner}"', drop) for corner, drop in zip("ABCD", (530.0, 534.0, 536.0, 535.0), strict=True)]
    words = {"at": (950, 650), "drop": 500.0, "readings": readings, "fall": "1:80", "rulebook": "au-ncc"}
    planned = make_plan("rectangle = [1900, 1300]", **words)
    says, told = _told(planned)
    assert planned.findings == ()
    assert planned.least_bed.is_over(planned.bed)
    exact = planned.depth.volume - planned.least_bed.volume
    assert told["saves"]["volume"] == pytest.approx(exact, rel=5e-3)
    assert "of what the planned bed takes" in says["It saves"]


def test_a_plane_to_a_channel_short_of_the_walls_takes_as_much():
    planned = plan(read_job(SAMPLES / "tram_depot.toml"))
    says, told = _told(planned)
    assert planned.least_bed.is_over(planned.bed)
    assert told["saves"]["volume"] == 0
    assert -2000 < told["planned_takes_more"] < 0
    assert says["It saves"] == "next to nothing"


def test_beside_a_bed_that_is_too_flat_the_mud_is_told_all_the_same(make_plan):
    words = {"at": (600, 450), "drop": 470.0, "readings": FLAT, "bed": "wall_height = 9"}
    planned = make_plan(ROOM, **words)
    says, told = _told(planned)
    less = planned.least_bed.volume - planned.depth.volume
    assert less > 1e6
    assert told["saves"] is None
    assert told["planned_takes_more"] == pytest.approx(-less, rel=5e-3)
    assert says["It saves"].endswith(f"breaks a limit; the planned bed takes {less // 1e5 / 10:g} L less")
