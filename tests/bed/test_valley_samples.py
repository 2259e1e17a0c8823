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


def test_the_us_relays_and_walls(weighbridge):
    """By hand: the drain (1200, 400), 120 square, so its corner (1260, 460) is nearest the legs; fall 2 %.

    The longest way passes corner E (1600, 800) to corner C (2400, 1600); the nearest wall is 400 - 60 from the rim. A
    bed that falls the fall over the longest way within those 340 is the gentlest there could be; valleys are kept so
    far off corners that it is three times as steep there: (1.03 x the longest way - the way to the corner) x 340 / (3 x
    the longest way), the walls taken 3 % higher than they must be.
    """
    to_e = hypot(1600 - 1260, 800 - 460)  # 480.8
    to_post = hypot(1950 - 1260, 800 - 460)  # 769.2, its corner on the right leg's near side
    way = to_e + hypot(2400 - 1600, 1600 - 800)  # 1612.2
    at_e = (1.03 * way - to_e) * 340 / (3 * way)  # 82.9
    at_post = (1.03 * way - to_post) * 340 / (3 * way)  # 62.7
    first, second = (1600 + at_e, 800 - at_e), (1950 - at_post, 800 + at_post)  # (1682.9, 717.1), (1887.3, 862.7)
    span = hypot(first[0] - 1200, first[1] - 400)
    valley = span - span * 60 / (first[0] - 1200)  # 505.9: the square's side is left where x is 60 off its middle
    valley_on = hypot(second[0] - first[0], second[1] - first[1])  # 251.0
    to_c = valley + valley_on + hypot(2400 - second[0], 1600 - second[1])  # 505.9 + 251.0 + 898.0 = 1654.9
    to_h = valley + hypot(2400 - first[0], 1600 - first[1])  # 1643.4: H from the left leg's relay, as if mirrored
    assert to_h < to_c
    assert weighbridge.bed.longest_run == pytest.approx(to_c, abs=1e-6)
    assert ceil(0.02 * to_c) == 34  # 33.1
    assert weighbridge.bed.wall_height == 34
    highs = {(round(line.high.x, 6), round(line.high.y, 6)): line.high.value for line in weighbridge.bed.valleys}
    for relay, far in ((first, valley), (second, valley + valley_on)):
        assert highs[tuple(round(part, 6) for part in relay)] == pytest.approx(far * 34 / to_c, abs=1e-6)


def test_the_us_depth_at_b(weighbridge):
    """744 - 700 = 44 under the drain; the walls stand 34 over it."""
    assert weighbridge.depth.most.value == pytest.approx(44 + 34)
