"""Valleys by figures worked by hand, and by sampling."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
import shapely

import engine
from engine.bed.depth import Gap, depth
from engine.bed.even_fall import EvenFall
from engine.bed.surfaces import Hidden
from engine.bed.valley.bed import ValleyWalls, Verdict
from engine.bed.valley.net import Net
from engine.bed.valley.plan import cuts
from engine.bed.valley.room import Room
from engine.job.edit import with_entry
from engine.job.model import DrainKind
from engine.remedies import remedies
from engine.survey.rough_floor import rough_floor

S = 1 / 48
ELL = [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)]
U = [(0, 0), (1800, 0), (1800, 1500), (1200, 1500), (1200, 600), (600, 600), (600, 1500), (0, 1500)]
POST = [(1400, 300), (1500, 300), (1500, 380), (1400, 380)]
AT = (1500, 450)
SPREAD = [(1400, 300), (300, 300), (800, 200), (1500, 1200)]  # in both legs and between


@pytest.fixture(scope="module")
def ell(make_reach, make_valleys):
    return make_valleys(make_reach(ELL, AT, radius=50))


class TestByHand:
    """An L of 1.8 m with 0.9 m legs, drain at (1.5, 0.45) with a rim of 0.05, fall 1/48."""

    def test_the_bounds_by_hand(self, ell):
        """The farthest corner is (0, 1.8): past (0.9, 0.9), 0.75 and then 0.9 root 2, less the rim.

        The nearest wall is 0.3 from the drain, 0.25 from the rim.
        """
        way = 750 + 900 * 2**0.5 - 50
        assert ell.wall_height > S * way
        assert ell.bound == pytest.approx(S * way / 250, rel=1e-9)

    def test_the_valley_begins_at_the_rim_and_falls_as_planned(self, ell):
        low, high = ell.valleys[0].low, ell.valleys[0].high
        assert np.hypot(low.x - AT[0], low.y - AT[1]) == pytest.approx(50)
        assert low.value == 0
        span = np.hypot(high.x - low.x, high.y - low.y)
        assert high.value / span == pytest.approx(ell.valley_fall)

    def test_the_wall_height_is_the_fall_over_the_longest_way(self, ell):
        """From corner (0, 1.8) down to the relay, and by the valley to the rim."""
        relay = ell.net.places[1]
        way = np.hypot(*(relay - AT)) - 50 + np.hypot(*(relay - (0, 1800)))
        assert ell.longest_run == pytest.approx(way)
        assert (ell.longest.x, ell.longest.y) in {(0, 1800), (0, 0)}
        assert ell.least_fall == pytest.approx(ell.wall_height / way)


class TestVerdict:
    def test_the_bound_proves_that_it_cannot_be_done(self, make_reach, make_valleys):
        assert make_valleys(make_reach(ELL, AT, radius=50), most=1 / 24).verdict is Verdict.IMPOSSIBLE

    def test_between_the_bound_and_what_was_found_nothing_is_proven(self, make_reach, make_valleys):
        bed = make_valleys(make_reach(ELL, AT, radius=50), most=0.166)
        assert bed.bound < 0.166 < bed.most_fall
        assert bed.verdict is Verdict.NOT_FOUND


class TestHeights:
    def test_walls_are_rounded_up_and_all_heights_with_them(self, ell, make_reach, make_valleys):
        bed = make_valleys(make_reach(ELL, AT, radius=50), mark_step=5.0)
        assert bed.wall_height == 45.0
        ratio = 45.0 / ell.wall_height
        assert bed.mesh.heights == pytest.approx(ell.mesh.heights * ratio)
        assert bed.least_fall == pytest.approx(ell.least_fall * ratio)
        assert bed.most_fall == pytest.approx(ell.most_fall * ratio)

    def test_a_height_of_ones_own_is_kept_even_where_it_falls_too_little(self, make_reach, make_valleys):
        bed = make_valleys(make_reach(ELL, AT, radius=50), height=30.0)
        assert bed.wall_height == 30.0
        assert bed.least_fall < S

    def test_measured_square_only_the_facets_at_walls_are_judged(self, ell, make_reach, make_valleys):
        bed = make_valleys(make_reach(ELL, AT, radius=50), square=True)
        on_wall = bed.mesh.walls >= 0
        slopes = np.hypot(*bed.mesh.planes[on_wall & ~bed.mesh.at_drain, :2].T)
        assert bed.least_fall <= slopes.min()
        assert bed.least_fall > S
        assert bed.wall_height == ell.wall_height


FLANGES = {
    "round": {},
    "square": {"kind": DrainKind.SQUARE, "radius": 60, "axis": (0.8, 0.6)},
    "channel": {"kind": DrainKind.CHANNEL, "radius": 30, "axis": (1.0, 0.0), "length": 400.0},
}


@pytest.fixture(params=FLANGES)
def bed(request, make_reach, make_valleys):
    return make_valleys(make_reach(ELL, AT, **FLANGES[request.param]))


def spread(bed, count, seed=0):
    low, high = np.array(bed.reach.floor.polygon.bounds).reshape(2, 2)
    points = np.random.default_rng(seed).uniform(low, high, (count, 2))
    return points[shapely.contains_xy(bed.reach.floor.polygon, points)]


class TestSampled:
    def test_the_integral(self, bed):
        """By a midpoint sum over 5 mm cells, whose middles miss the walls: 0.05 %."""
        x = np.arange(2.5, 1800, 5.0)
        grid = np.stack(np.meshgrid(x, x), axis=-1).reshape(-1, 2)
        grid = grid[shapely.contains_xy(bed.reach.floor.polygon, grid)]
        assert bed.integral == pytest.approx(25.0 * bed.height(grid).sum(), rel=5e-4)

    def test_no_slope_passes_the_bound_and_none_that_is_told(self, bed):
        points = spread(bed, 3000)
        step = 1e-4
        rise = [(bed.height(points + d) - bed.height(points - d)) / (2 * step) for d in np.eye(2) * step]
        slopes = np.hypot(*rise)
        assert slopes.max() <= bed.steepest
        assert np.percentile(slopes, 99.5) <= bed.most_fall * (1 + 1e-3)

    def test_the_extremes_of_depth(self, bed):
        """Over a floor of many slopes: no sample is deeper or shallower, and dense ones come near."""
        rng = np.random.default_rng(5)
        places = spread(bed, 30, seed=7)
        rough = rough_floor(bed.reach.floor, places, 500 + rng.normal(0, 8, len(places))).raised(430.0)
        gap, found = Gap(bed, rough), depth(bed, rough)
        depths = gap(spread(bed, 60_000))
        assert found.least.value <= depths.min() + 1e-9
        assert found.most.value >= depths.max() - 1e-9
        assert depths.min() - found.least.value < 0.3
        assert found.most.value - depths.max() < 0.3
        for spot in (found.least, found.most):
            assert gap(np.array([[spot.x, spot.y]]))[0] == pytest.approx(spot.value, abs=1e-7)

    def test_nowhere_lower_than_an_even_fall(self, bed):
        """Even fall is the lowest bed that falls so much everywhere."""
        points = spread(bed, 2000)
        assert (bed.height(points) >= EvenFall(bed.reach, S).height(points) - 1e-9).all()


@pytest.fixture(scope="module")
def looped(make_reach, make_valleys):
    return make_valleys(make_reach(U, (300, 1200), islands=[POST]))


class TestIslands:
    def test_two_valleys_meet_behind_it_at_a_summit(self, looped):
        ways, edges = looped.net.ways, looped.net.edges
        starts = [high for _, high in edges]
        summit = next(i for i in range(len(ways)) if starts.count(i) == 2)
        assert ways[summit] == ways.max()
        for low, high in edges:
            if high == summit:
                span = np.hypot(*(looped.net.places[high] - looped.net.places[low]))
                assert ways[high] - ways[low] == pytest.approx(span)

    def test_the_islands_sides_stand_as_high_as_the_walls(self, looped):
        ring = shapely.get_coordinates(shapely.segmentize(shapely.Polygon(POST).exterior, 10))
        assert looped.height(ring) == pytest.approx(looped.wall_height)

    def test_a_level_ridge_to_a_wall_where_no_loop_fits(self, monkeypatch, make_reach, make_valleys):
        monkeypatch.setattr("engine.bed.valley.choice.looped", lambda *_: None)
        bed = make_valleys(make_reach(U, (300, 1200), islands=[POST]))
        ridge = np.array(bed.cuts[0])
        along = ridge[0] + np.linspace(0, 1, 40)[:, None] * (ridge[1] - ridge[0])
        assert bed.height(along) == pytest.approx(bed.wall_height, abs=1e-6)
        assert len(bed.ridges) == 1

    def test_nearly_touching_two_walls_none_is_found_and_that_is_said(self, make_plan):
        """The floor cut open to a post 1 mm off a corner has places that no way leads from."""
        room, post = [(0, 0), (1800, 0), (1800, 1200), (0, 1200)], [(1, 1), (200, 1), (200, 200), (1, 200)]
        plan = make_plan(room, at=(400, 600), islands=[post], rulebook="nz-e3")
        (stop,) = [f for f in plan.findings if f.rule == "hidden-floor"]
        assert "no bed with level walls was found" in stop.says

    def test_round_more_than_three_it_is_said_that_it_cannot_be_or_is_not_looked_for(self, make_plan):
        posts = [[(x, y), (x + 40, y), (x + 40, y + 40), (x, y + 40)] for x, y in SPREAD]
        plan = make_plan(U, at=(300, 1200), islands=posts)
        assert isinstance(plan.bed, Hidden)
        stop = next(f for f in plan.findings if f.rule == "hidden-floor")
        assert "no bed with level walls can keep its fall there within 4.17 % (1/2 in/ft)" in stop.says
        plan = make_plan(U, at=(300, 1200), islands=posts, rulebook="nz-e3")
        stop = next(f for f in plan.findings if f.rule == "hidden-floor")
        assert "round more than 3 islands no valleys are looked for" in stop.says
        assert stop.change == (("bed.shape", "even-fall"),)

    def test_drains_that_both_hide_a_leg_have_a_valley_into_it(self, make_plan):
        """Both drains of a U stand in one leg: the lower one's part goes on round the corner into the other."""
        more = '[[drains]]\nkind = "round"\nsize = 100\nat = { x = 300, y = 700 }\ndrop = 500\n'
        plan = make_plan(U, at=(300, 1300), drop=500, extra=more)
        (caution,) = [f for f in plan.findings if f.rule == "hidden-floor"]
        assert "is hidden from drain 2 by corner F" in caution.says

    def test_where_none_is_found_in_a_part_it_is_said(self, monkeypatch, make_job):
        monkeypatch.setattr("engine.bed.valley.plan.choose", lambda *_: None)
        more = '[[drains]]\nkind = "round"\nsize = 100\nat = { x = 320, y = 700 }\ndrop = 500\n'
        plan = engine.plan(make_job(U, at=(300, 1300), drop=500, extra=more))
        (stop,) = [f for f in plan.findings if f.rule == "hidden-floor"]
        assert "no straight ridges were found that part the floor so that each of the 2 drains" in stop.says
        assert stop.change == (("bed.shape", "even-fall"),)


@pytest.mark.parametrize("seed", [1, 5, 6, 15, 19, 22])
def test_a_bed_built_as_planned_holds_no_water(seed, make_hidden_room, make_plan):
    """Rooms with creases that meet at sharp angles: read at three corners, each at the walls' height."""
    corners, at = make_hidden_room(seed)
    ring = [tuple(corner) for corner in corners.tolist()]
    height = make_plan(ring, at=at.tolist(), drop=500).bed.wall_height
    marks = "".join(f'[[as_built]]\nat = "{corner}"\ndrop = {500 - height}\n' for corner in "ABC")
    built = make_plan(ring, at=at.tolist(), drop=500, extra=marks).as_built
    assert built.ponds == ()
    assert built.worst.value == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize(("seed", "times"), [(1, 1.02), (8, 1.3), (51, 1.1)])
def test_a_bed_within_the_most_fall_is_found_where_one_as_gentle_as_can_be_is(
    seed, times, make_hidden_room, make_reach, make_valleys
):
    """With marks rounded to 1 mm, which takes the first bed that is looked for over the limit."""
    reach = make_reach(*make_hidden_room(seed))
    gentle = make_valleys(reach, mark_step=1.0, most=0.0)
    most = times * gentle.bound
    assert gentle.most_fall <= most
    found = make_valleys(reach, mark_step=1.0, most=most)
    assert found.verdict is Verdict.FITS
    assert found.most_fall <= most


@pytest.fixture(scope="module")
def plan(make_plan):
    return make_plan(ELL, at=AT, drop=480.0, readings=[('"A"', 520.0), ('"C"', 522.0), ('"E"', 519.0)])


class TestToldInThePlan:
    def test_marks_and_strips_are_level(self, plan):
        assert isinstance(plan.bed, ValleyWalls)
        assert {mark.above_drain for mark in plan.marks} == {plan.bed.wall_height}

    def test_bevels_are_the_facets_at_each_wall(self, plan):
        slopes = {strip.wall: np.tan(np.radians(strip.bevel)) for strip in plan.strips}
        assert slopes["B-C"] == pytest.approx(plan.bed.wall_height / 250, rel=1e-6)
        relay, height = plan.bed.net.places[1], plan.bed.valleys[0].high.value
        assert slopes["F-A"] == pytest.approx((plan.bed.wall_height - height) / relay[0], rel=1e-6)

    def test_straightedges_run_to_the_flange_and_to_the_relay(self, plan):
        (relay,) = plan.straightedges.bends
        assert (relay.x, relay.y) == pytest.approx(tuple(plan.bed.net.places[1]))
        assert plan.straightedges.lengths
        walls = {served.wall for served in relay.serves}
        assert {"D-E", "E-F", "F-A"} <= walls

    def test_the_caution_lists_the_valley_and_the_stop_offers_what_else(self, plan):
        caution = next(f for f in plan.findings if f.rule == "hidden-floor")
        assert "1 valley leads the water" in caution.says
        stop = next(f for f in plan.findings if f.rule == "fall-steep")
        assert "it cannot be done within" in stop.says
        assert "even fall" in stop.remedy
        solved = [remedy.says for remedy in remedies(plan)[plan.findings.index(caution)].remedies]
        for offer in ("move the drain", "even fall", "channel along A-B"):
            assert any(offer in says for says in solved)

    def test_what_is_not_proven_is_not_claimed(self, make_plan):
        """Over 1:6 there is no bound in the way: a book's most fall of 1:24 is always under it, so the words alone."""
        found = make_plan(ELL, at=(950, 450), size=40, rulebook="uk-bs5385", fall="1:80")
        stop = next(f for f in found.findings if f.rule == "fall-steep")
        proven = found.bed.verdict is Verdict.IMPOSSIBLE
        assert ("cannot be done" in stop.says) == proven
        assert ("none within" in stop.says) == (not proven)

    def test_walls_set_too_high_are_told_how_steep_it_is_without(self, plan):
        own = with_entry(with_entry(plan.job, "figures.fall_most", "30 %"), "bed.wall_height", "100 mm")
        stop = next(f for f in engine.plan(own).findings if f.rule == "fall-steep")
        without = engine.plan(with_entry(own, *stop.change[0]))
        assert stop.remedy.startswith("leave the wall height out")
        assert "fall-steep" not in {f.rule for f in without.findings}
        told = float(stop.says.rpartition("with the wall height left out it is ")[2].split()[0]) / 100
        assert without.bed.most_fall <= told < without.bed.most_fall + 1e-4

    @pytest.mark.parametrize(("depth", "proven"), [(900, False), (700, True)])
    def test_square_to_walls_only_runs_that_are_square_prove_it(self, make_plan, depth, proven):
        """Without the nib the wide room's bed is 600 / 80 high and falls 1:53 at A-B: a nib's shadow proves nothing."""
        y = depth / 2
        nib = [(1300, y - 10), (1270, y - 10), (1270, y + 10), (1300, y + 10)]
        corners = [(0, 0), (1300, 0), *nib, (1300, depth), (0, depth)]
        room = make_plan(corners, at=(650, y), size=100, rulebook="au-ncc", fall="1:80")
        stop = next(f for f in room.findings if f.rule == "fall-steep")
        assert ("cannot be done" in stop.says) == proven
        assert ("none within" in stop.says) == (not proven)
        assert room.bed.bound == pytest.approx(600 / 80 / (y - 50))


def test_a_fence_that_ends_at_its_own_corner_blocks_nothing(make_plan):
    """The drain's line of sight along a wall ends where it begins: reckoned, not divided by its length of nothing."""
    others = [(1520, 492), (2495, 513), (417, 1530), (480, 2507)]
    extra = "".join(
        f'[[drains]]\nkind = "round"\nsize = 100\nat = {{ x = {x}, y = {y} }}\ndrop = 500\n' for x, y in others
    )
    ell = [(0, 0), (3000, 0), (3000, 1000), (1000, 1000), (1000, 3000), (0, 3000)]
    found = make_plan(ell, at=(492, 480), drop=500, rulebook="au-ncc", fall="1.3 %", extra=extra)
    assert "hidden-floor" in [finding.rule for finding in found.findings]


def test_the_walk_round_a_net_goes_by_each_valley_twice_where_two_lie_on_one_line():
    """At the first relay two valleys go on the same way, one twice as far as the other."""
    places = np.array([(300, 0), (200, 0), (100, 0), (0, 0), (190, -1)], dtype=float)
    net = Net(places, np.array([0.0, 100.0, 200.0, 300.0, 110.0]), ((0, 1), (1, 2), (1, 3), (1, 4)))
    walk = net.tour(0, np.array([400.0, -40.0]))
    assert sorted(pairwise(walk)) == sorted([*net.edges, *((high, low) for low, high in net.edges)])


def test_a_floor_is_not_cut_along_an_islands_own_side(make_reach):
    """The shortest way from the island to a wall goes on along the island's left side."""
    island = [(1350, 187), (1582, 187), (1582, 320), (1350, 320)]
    ring = [(0, 0), (2450, 0), (2450, 583), (978, 583), (978, 983), (1142, 1992), (0, 1992)]
    room = Room(make_reach(ring, (192, 1708), islands=[island]), S)
    found = cuts(room)
    assert found
    assert all(cut.reach.floor.polygon.is_valid for cut in found)
