"""The sample jobs with valleys against figures worked by hand, and without a stop."""

from math import ceil, hypot
from pathlib import Path

import pytest

from engine.bed.valley.bed import ValleyWalls
from engine.job.toml_file import dump_job, parse_job
from engine.limits.findings import Level

FOLDER = Path(__file__).parents[2] / "sample_jobs"


@pytest.fixture(scope="module")
def ropewalk(plan_of):
    return plan_of(FOLDER / "ropewalk.toml")


@pytest.fixture(scope="module")
def weighbridge(plan_of):
    return plan_of(FOLDER / "weighbridge.toml")


@pytest.mark.parametrize("name", ["ropewalk", "weighbridge"])
def test_nothing_stops_it_nothing_is_missing_and_it_stays_as_typed(name, request):
    planned = request.getfixturevalue(name)
    assert isinstance(planned.bed, ValleyWalls)
    assert [f.rule for f in planned.findings if f.level is Level.STOP] == []
    assert planned.needs == ()
    text = (FOLDER / f"{name}.toml").read_text(encoding="utf-8")
    assert dump_job(parse_job(text)) == text


def test_the_ls_relay_valley_and_walls(ropewalk):
    """By hand: the drain (1500, 450), its rim 50; corner D (900, 900) hides the leg; fall 1:50.

    The longest way passes D: 750 + 900 root 2 - 50. Nothing can be gentler than the walls' least height over the 250
    between rim and B-C, so the relay stands so far off D's walls that the bed is as steep there: (1.03 x the longest
    way - the way to D) x 250 / the longest way, the walls taken 3 % higher than they must be. The walls then are the
    fall over the way from F to the relay and by the valley to the rim, in whole millimetres.
    """
    way = 750 + 900 * 2**0.5 - 50
    relay = 900 - (1.03 * way - 700) * 250 / way
    valley = hypot(1500 - relay, 450 - relay) - 50
    longest = valley + hypot(relay, 1800 - relay)
    assert ceil(longest / 50) == 42
    assert ropewalk.bed.wall_height == 42
    (line,) = ropewalk.bed.valleys
    assert (line.high.x, line.high.y) == pytest.approx((relay, relay), abs=1e-6)
    assert line.high.value == pytest.approx(valley * 42 / longest, abs=1e-6)
    assert ropewalk.bed.most_fall == pytest.approx(42 / 250)


def test_the_ls_depth_at_c(ropewalk):
    """680 - 640 = 40 under the drain, and the walls 42 over it."""
    assert ropewalk.depth.most.value == pytest.approx(82)
    assert (ropewalk.depth.most.x, ropewalk.depth.most.y) == (1800, 900)


def test_the_us_legs_are_served_alike(weighbridge):
    """The outline is its own mirror image about x = 1200, and so are the first two relays."""
    left, right = weighbridge.bed.valleys[:2]
    assert left.high.x + right.high.x == pytest.approx(2400)
    assert left.high.y == pytest.approx(right.high.y)
    assert left.high.value == pytest.approx(right.high.value)


def test_round_the_post_both_ways_climb_to_one_summit(weighbridge):
    """Two valleys end at the summit; down either the way to the flange is as long, so that it is one height."""
    lines = weighbridge.bed.valleys
    ends = [(line.high.x, line.high.y) for line in lines]
    summit = next(end for end in ends if ends.count(end) == 2)

    def climbs(end):
        found = [line for line in lines if (line.high.x, line.high.y) == end]
        if not found:
            return [0.0]
        spans = [hypot(line.high.x - line.low.x, line.high.y - line.low.y) for line in found]
        return [span + climbs((line.low.x, line.low.y))[0] for line, span in zip(found, spans, strict=True)]

    first, second = climbs(summit)
    assert first == pytest.approx(second, abs=1e-6)


def test_the_us_depth_at_b(weighbridge):
    """744 - 700 = 44 under the drain; walls of 34 over it, the first whole millimetre over 2 % of 1655 mm."""
    assert ceil(0.02 * weighbridge.bed.longest_run) == 34
    assert weighbridge.depth.most.value == pytest.approx(44 + 34)
