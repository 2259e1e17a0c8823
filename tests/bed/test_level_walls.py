"""Level walls: runs, the height they ask for, falls and their places, and floors that the drain does not see whole."""

from __future__ import annotations

import math

import numpy as np
import pytest

from engine.bed.level_walls import LevelWalls
from engine.bed.surfaces import Hidden
from engine.limits.findings import Level

S = 1 / 48
STEP = 1e-4  # [mm] slopes are taken over twice this
RECTANGLE = [(0, 0), (1500, 0), (1500, 900), (0, 900)]
OUT_OF_SQUARE = [(0, 0), (1480, 35), (1530, 960), (-60, 870)]
ELL = [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)]
POST = [(1000, 200), (1100, 200), (1100, 300), (1000, 300)]


def unseen(bed):
    """What the drain does not see: told with the valleys, or alone where no bed was found."""
    return bed if isinstance(bed, Hidden) else bed.hidden


def run_by_hand(point, centre, size, kind):
    """From the rim, seen from the centre, to the wall; a square flange along the axes."""
    x, y = point[0] - centre[0], point[1] - centre[1]
    far = math.hypot(x, y)
    rim = size / 2 if kind == "round" else size / 2 * far / max(abs(x), abs(y))
    return far - rim


class TestHeight:
    @pytest.mark.parametrize("kind", ["round", "square"])
    def test_the_longest_run_sets_it(self, make_plan, kind):
        bed = make_plan(RECTANGLE, at=(600, 400), kind=kind, mark_step=1.0).bed
        longest = run_by_hand((1500, 900), (600, 400), 100, kind)
        assert bed.longest_run == pytest.approx(longest)
        assert bed.wall_height == math.ceil(longest * S)
        assert bed.least_fall == pytest.approx(bed.wall_height / longest)
        assert (bed.least_fall_at.x, bed.least_fall_at.y) == (1500, 900)

    def test_a_round_flange_has_its_shortest_run_square_to_the_nearest_wall(self, make_plan):
        bed = make_plan(RECTANGLE, at=(600, 400)).bed
        assert bed.most_fall == pytest.approx(bed.wall_height / 350)
        assert (bed.most_fall_at.x, bed.most_fall_at.y) == pytest.approx((600, 0))

    @pytest.mark.parametrize("centre", [(600, 400), (300, 300), (1200, 640)])
    def test_a_square_flanges_runs_are_not_beaten_by_any_line(self, make_plan, centre):
        bed = make_plan(OUT_OF_SQUARE, at=centre, kind="square", size=160.0).bed
        ring = np.array(OUT_OF_SQUARE, dtype=float)
        walls = (ring + np.linspace(0, 1, 4001)[:, None, None] * (np.roll(ring, -1, axis=0) - ring)).reshape(-1, 2)
        offset = walls - centre
        far = np.hypot(*offset.T)
        found = far - bed.reach.flange.rim(offset / far[:, None])
        assert bed.longest_run >= found.max() - 1e-9
        assert bed.longest_run == pytest.approx(found.max(), abs=0.05)
        assert bed.wall_height / bed.most_fall <= found.min() + 1e-9
        assert bed.wall_height / bed.most_fall == pytest.approx(found.min(), abs=0.05)

    @pytest.mark.parametrize(("step", "height"), [(1.0, 21.0), (5.0, 25.0), (0.25, 20.75), (16.0, 32.0)])
    def test_rounded_up_to_what_can_be_marked(self, make_plan, step, height):
        """The longest run is hypot(900, 520) - 50 = 989.4 mm: 20.6 mm at 1:48."""
        bed = make_plan(RECTANGLE, at=(600, 520), mark_step=step).bed
        assert bed.longest_run == pytest.approx(math.hypot(900, 520) - 50)
        assert bed.wall_height == height

    def test_a_height_of_the_users_own_is_taken_as_it_is(self, make_plan):
        plan = make_plan(RECTANGLE, at=(600, 400), bed="wall_height = 12.34")
        assert plan.bed.wall_height == 12.34
        assert plan.bed.least_fall == pytest.approx(12.34 / plan.bed.longest_run)
        rules = {finding.rule: finding.level for finding in plan.findings}
        assert rules["fall-low"] is Level.STOP
        assert rules["own-figure"] is Level.NOTE

    @pytest.mark.parametrize("kind", ["round", "square"])
    def test_square_runs_where_the_rulebook_measures_so(self, make_plan, kind):
        bed = make_plan(RECTANGLE, at=(600, 400), kind=kind, rulebook="au-ncc", fall="1:80", mark_step=0.25).bed
        assert bed.longest_run == pytest.approx(1500 - 600 - 50)
        assert bed.wall_height == math.ceil(850 / 80 / 0.25) * 0.25
        assert bed.most_fall == pytest.approx(bed.wall_height / (400 - 50))

    def test_square_runs_of_a_leaning_wall(self, make_plan):
        """Square to each wall, wherever the foot falls; a square flange is met on its rim in that direction."""
        bed = make_plan(OUT_OF_SQUARE, at=(610, 500), rulebook="au-ncc", fall="1:80").bed
        ring = np.array(OUT_OF_SQUARE, dtype=float)
        along = (np.roll(ring, -1, axis=0) - ring) / np.hypot(*(np.roll(ring, -1, axis=0) - ring).T)[:, None]
        offset = np.array([610, 500]) - ring
        square = np.abs(offset[:, 0] * along[:, 1] - offset[:, 1] * along[:, 0])
        assert bed.longest_run == pytest.approx(square.max() - 50)
        assert bed.wall_height / bed.most_fall == pytest.approx(square.min() - 50)

    def test_a_square_run_is_told_on_its_wall_where_the_foot_falls_beside_it(self, make_plan):
        """B-C lies 300 mm off the drain's centre, its line's foot 500 mm past B in the middle of the room."""
        corners = [(0, 0), (1000, 0), (1000, -450), (2000, -450), (2000, 1000), (0, 1000)]
        bed = make_plan(corners, at=(1300, 500), rulebook="au-ncc", fall="1:80").bed
        assert bed.wall_height / bed.most_fall == pytest.approx(300 - 50)
        assert (bed.most_fall_at.x, bed.most_fall_at.y) == pytest.approx((1000, 0))


class TestSurface:
    def test_steepest_is_a_bound_on_every_slope(self, make_plan):
        for kind in ("round", "square"):
            bed = make_plan(OUT_OF_SQUARE, at=(300, 300), kind=kind, size=160.0).bed
            points = np.random.default_rng(0).uniform([100, 100], [1400, 800], (3000, 2))
            east, north = np.eye(2) * STEP
            across = bed.height(points + east) - bed.height(points - east)
            up = bed.height(points + north) - bed.height(points - north)
            assert (np.hypot(across, up) / (2 * STEP)).max() <= bed.steepest * (1 + 1e-6)

    def test_an_ell_seen_whole_is_the_same_by_either_road(self, make_plan):
        """Round a corner that hides nothing heights are found by sight lines, in an open room by its walls' lines."""
        closed = make_plan(ELL, at=(450, 450), bed="wall_height = 30.0").bed
        open_room = make_plan([(0, 0), (1800, 0), (1800, 900), (0, 900)], at=(450, 450), bed="wall_height = 30.0").bed
        assert not closed.reach.is_open
        assert open_room.reach.is_open
        points = np.random.default_rng(1).uniform([450, 0], [1800, 450], (500, 2))
        assert closed.height(points) == pytest.approx(open_room.height(points), abs=1e-9)


class TestHidden:
    @pytest.mark.parametrize("centre", [(450, 450), (850, 850), (899, 20), (20, 899)])
    def test_not_from_where_all_is_seen(self, make_plan, centre):
        assert isinstance(make_plan(ELL, at=centre, size=20.0).bed, LevelWalls)

    @pytest.mark.parametrize(
        ("centre", "wall"),
        [((1500, 400), "D-E"), ((1000, 100), "D-E"), ((400, 1500), "C-D"), ((100, 950), "C-D")],
    )
    def test_it_names_the_corner_and_the_wall(self, make_plan, centre, wall):
        plan = make_plan(ELL, at=centre)
        assert plan.bed.hidden == Hidden("D", 900.0, 900.0, wall)
        finding = next(finding for finding in plan.findings if finding.rule == "hidden-floor")
        assert finding.level is Level.CAUTION
        assert "corner D" in finding.says
        assert wall in finding.says
        assert finding.change == (("bed.shape", "even-fall"),)

    def test_the_named_change_clears_it(self, make_plan):
        plan = make_plan(ELL, at=(1500, 400), shape="even-fall")
        assert "hidden-floor" not in {finding.rule for finding in plan.findings}

    def test_letters_follow_the_order_given(self, make_plan):
        turned = ELL[2:] + ELL[:2]
        assert make_plan(turned, at=(1500, 400)).bed.hidden == Hidden("B", 900.0, 900.0, "B-C")
        assert make_plan(turned[::-1], at=(1500, 400)).bed.hidden.corner == "E"

    def test_of_several_corners_the_one_that_hides_most(self, make_plan):
        room = [
            (0, 0),
            (2000, 0),
            (2000, 1500),
            (1900, 1500),
            (1900, 600),
            (600, 600),
            (600, 1500),
            (0, 1500),
        ]
        hidden = unseen(make_plan(room, at=(1000, 300)).bed)
        assert (hidden.corner, hidden.wall) == ("F", "F-G")

    def test_never_a_corner_that_is_out_of_sight_itself(self, make_plan):
        spiral = [
            (0, 0),
            (2000, 0),
            (2000, 1700),
            (0, 1700),
            (0, 600),
            (1400, 600),
            (1400, 1100),
            (500, 1100),
        ]
        spiral += [(500, 1300), (1600, 1300), (1600, 300), (0, 300)]
        hidden = unseen(make_plan(spiral, at=(300, 150)).bed)
        assert (hidden.x, hidden.y) == (1600, 300)
        assert hidden.wall == "J-K"

    @pytest.mark.parametrize("centre", [(300, 250), (1300, 600)])
    def test_a_post_always_hides_something(self, make_plan, centre):
        hidden = unseen(make_plan(RECTANGLE, islands=[POST], at=centre).bed)
        assert hidden.corner is None
        assert (hidden.x, hidden.y) in {tuple(float(x) for x in corner) for corner in POST}
        assert "island" in hidden.wall

    def test_a_wall_seen_edge_on_only_is_named_too(self, make_plan):
        """From (900, 450) the wall D-E lies on one line with the drain."""
        hidden = unseen(make_plan(ELL, at=(900, 450)).bed)
        assert hidden.corner == "D"
