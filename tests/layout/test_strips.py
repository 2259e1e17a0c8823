"""Strips: lengths, miters, heights, gaps, tops, notches and bevels, by hand and against dense sampling."""

from __future__ import annotations

import math

import numpy as np
import pytest

from engine.errors import JobError

INCH = 25.4
MISS = 0.05  # [mm] how far 1001 samples of a wall may miss a least or a most
T = 12.0  # [mm] the thickness taken in a mm job
SHORT = 3.0  # [mm] what strips are cut short there
WIDE = [(0, 0), (1200, 0), (1200, 600), (0, 600)]
LONG = [(0, 0), (2000, 0), (2000, 1000), (0, 1000)]
ELL = [(0, 0), (1200, 0), (1200, 600), (600, 600), (600, 1200), (0, 1200)]


def at_corner(letter, drop):
    return f'"{letter}"', drop


def level_floor(corners, drop):
    return [at_corner(corner, drop) for corner in corners]


def by_wall(found):
    return {strip.wall: strip for strip in found.strips}


ROOMS = {
    "level, turned": {"outline": [(0, 0), (900, 350), (700, 1300), (-400, 800)], "at": (350, 650)},
    "even, bent": {"outline": ELL, "at": (310, 290), "shape": "even-fall"},
    "even, square": {
        "outline": [(0, 0), (1300, 200), (1100, 1000), (100, 900)],
        "at": (500, 480),
        "kind": "square",
        "shape": "even-fall",
    },
    "even, post": {
        "outline": WIDE,
        "at": (800, 300),
        "shape": "even-fall",
        "islands": [[(300, 200), (420, 230), (380, 400)]],
    },
    "even, two drains": {
        "outline": ELL,
        "at": (300, 900),
        "drop": 500,
        "shape": "even-fall",
        "extra": '[[drains]]\nkind = "round"\nsize = 120\nat = { x = 900, y = 250 }\ndrop = 495\n',
    },
    "plane": {
        "outline": [(0, 0), (1300, 200), (1100, 1000), (100, 900)],
        "shape": "plane",
        "extra": '[[drains]]\nkind = "channel"\nsize = 60\nfrom = { x = 300, y = 420 }\nto = { x = 800, y = 500 }\n',
    },
}


class TestWhichWalls:
    def test_one_along_each_wall_and_curb_and_none_along_an_open_edge(self, make_plan):
        found = make_plan(WIDE, at=(600, 300), outline_extra='edges = { "B-C" = "curb", "D-A" = "open" }')
        assert [strip.wall for strip in found.strips] == ["A-B", "B-C", "C-D"]

    def test_samples_have_strips_that_fit(self, plan_of, request):
        for path in sorted((request.config.rootpath / "sample_jobs").glob("*.toml")):
            assert all(strip.fits and strip.is_clear for strip in plan_of(path).strips)


class TestEnds:
    def test_square_corners(self, make_plan):
        strip = by_wall(make_plan(WIDE, at=(600, 300)))["A-B"]
        assert strip.length == 1200
        assert strip.miters == (45, 45)
        assert strip.inner_length == pytest.approx(1200 - 2 * T)
        assert strip.blank == strip.length
        assert strip.saw_settings == (45, 45)

    @pytest.mark.parametrize("turn", [1, -1])
    def test_a_corner_that_points_into_the_floor_lengthens_the_inner_face(self, make_plan, turn):
        """At D the floor's angle is 270: cut at 135, so that the inner face is T longer and the board too."""
        found = make_plan(ELL[::turn], at=(300, 300), shape="even-fall")
        at_d = [strip for strip in found.strips if strip.length == 600 and max(strip.miters) > 90]
        assert len(at_d) == 2
        for strip in at_d:
            assert sorted(strip.miters) == pytest.approx([45, 135])
            assert strip.inner_length == pytest.approx(600 - T + T)
            assert strip.blank == pytest.approx(600 + T)
            assert sorted(strip.saw_settings) == pytest.approx([-45, 45])

    def test_walls_in_one_line_butt(self, make_plan):
        found = make_plan([(0, 0), (500, 0), (1200, 0), (1200, 600), (0, 600)], at=(600, 300))
        strip = by_wall(found)["A-B"]
        assert strip.miters == pytest.approx((45, 90))
        assert strip.inner_length == pytest.approx(500 - T)

    def test_beside_an_open_edge_the_end_is_square(self, make_plan):
        found = make_plan(WIDE, at=(600, 300), outline_extra='edges = { "D-A" = "open" }')
        assert by_wall(found)["A-B"].miters == (90, 45)
        assert by_wall(found)["A-B"].inner_length == pytest.approx(1200 - T)

    def test_beside_an_open_edge_at_a_sharp_corner_the_end_is_flush_with_it(self, make_plan):
        side, high = 1200.0, 1200 * math.sqrt(3) / 2
        found = make_plan(
            [(0, 0), (side, 0), (side / 2, high)],
            at=(side / 2, high / 3),
            outline_extra='edges = { "C-A" = "open" }',
        )
        strip = by_wall(found)["A-B"]
        assert strip.miters == pytest.approx((60, 30))
        allowances = T / math.tan(math.radians(60)) + T / math.tan(math.radians(30))
        assert strip.inner_length == pytest.approx(side - allowances)

    def test_where_the_neighbours_meet_before_it_no_inner_face_is_left(self, make_plan):
        notched = [(0, 0), (1200, 0), (1200, 600), (620, 600), (620, 650), (600, 650), (600, 600), (0, 600)]
        strip = by_wall(make_plan(notched, at=(300, 300), shape="even-fall"))["E-F"]
        assert strip.length == 20  # two strips of 12 mm are thicker than that
        assert strip.inner_length == 0


class TestLevelWalls:
    """A round flange of radius 50 in the middle of 1200 x 600: the corner's run is 670.82 - 50, at 1:48 12.93 mm."""

    @pytest.fixture
    def strips(self, make_plan):
        # along A-B the floor falls from 30 to 42 mm under the flange
        readings = [at_corner(*reading) for reading in (("A", 530), ("B", 542), ("C", 542), ("D", 530))]
        return by_wall(make_plan(WIDE, at=(600, 300), drop=500, readings=readings))

    def test_height_is_the_least_depth_less_the_cut_and_gap_the_most_that_is_left(self, strips):
        assert strips["A-B"].height == 13 + 30 - SHORT
        assert strips["A-B"].gap == pytest.approx(13 + 42 - 40)
        assert strips["B-C"].height == 13 + 42 - SHORT
        assert strips["B-C"].gap == pytest.approx(SHORT)

    def test_the_gap_along_it(self, strips):
        points = strips["A-B"].points
        assert [point.along for point in points] == [0, 300, 600, 900, 1200]
        assert [point.gap for point in points] == pytest.approx([3, 6, 9, 12, 15])
        assert {(point.top, point.height) for point in points} == {(13, 40)}
        assert not strips["A-B"].is_sloped

    def test_the_bevel_is_the_facets_slope_at_the_foot(self, strips):
        assert strips["A-B"].bevel == pytest.approx(math.degrees(math.atan(13 / (300 - 50))))
        assert strips["B-C"].bevel == pytest.approx(math.degrees(math.atan(13 / (600 - 50))))

    def test_height_is_in_whole_steps_down(self, make_plan):
        drops = [
            at_corner("A", "21 in"),
            at_corner("B", "21 1/5 in"),
            at_corner("C", "21 1/5 in"),
            at_corner("D", "21 1/5 in"),
        ]
        found = make_plan(
            'rectangle = ["48 in", "48 in"]',
            units="in",
            size="4 in",
            at='{ "A-B" = "24 in", "D-A" = "24 in" }',
            drop="20 in",
            fall="1/4 in/ft",
            mark_step="1/16 in",
            readings=drops,
        )
        # run to a corner sqrt(2) x 24 - 2 = 31.94 in, / 48 = 0.6655 in, marked 11/16 in
        assert by_wall(found)["A-B"].height == pytest.approx((11 / 16 + 1 - 1 / 8) * INCH)
        high = 11 / 16 + 1.2 - 1 / 8  # 1.7625 in: 1 3/4 in in whole sixteenths
        assert by_wall(found)["B-C"].height == pytest.approx(1.75 * INCH)
        assert by_wall(found)["B-C"].gap == pytest.approx((high - 1.75 + 1 / 8) * INCH)

    def test_where_the_foot_is_past_a_walls_end_the_bevel_is_the_slope_at_that_end(self, make_plan):
        corners = [(0, 0), (900, 0), (1200, 300), (1200, 900), (0, 900)]
        found = make_plan(corners, at=(300, 500))
        # from the centre B is 600 away across and 500 down; B-C runs at 45 degrees, its foot lies before B
        far, square = math.hypot(600, 500), (600 + 500) / math.sqrt(2)
        slope = found.bed.wall_height * far / (square * (far - 50))
        assert by_wall(found)["B-C"].bevel == pytest.approx(math.degrees(math.atan(slope)))


class TestEvenFall:
    """The same room at 1:50 on a floor 30 mm under the flange: along A-B from 620.82 / 50 to 250 / 50 and back."""

    END = (math.hypot(600, 300) - 50) / 50

    @pytest.fixture
    def strips(self, make_plan):
        readings = level_floor("ABCD", 530)
        return by_wall(make_plan(WIDE, at=(600, 300), drop=500, readings=readings, shape="even-fall", fall="1:50"))

    def test_height_and_gap_are_those_of_one_height_under_the_bed_all_along(self, strips):
        assert strips["A-B"].height == 30 + 5 - SHORT
        assert strips["A-B"].gap == pytest.approx(30 + self.END - 32)

    def test_the_top_follows_the_bed_from_a_straight_foot(self, strips):
        assert strips["A-B"].is_sloped
        ends, middle = strips["A-B"].points[:: len(strips["A-B"].points) - 1], strips["A-B"].points[2]
        for point in ends:
            assert point.top == pytest.approx(self.END)
            assert point.height == math.floor(self.END + 30 - SHORT)  # 39
            assert point.gap == pytest.approx(self.END + 30 - 39)
        assert (middle.along, middle.top, middle.height, middle.gap) == pytest.approx((600, 5, 32, 3))
        assert strips["A-B"].cut_height == 39

    def test_the_foot_is_where_a_straight_board_comes_to_rest(self, make_plan):
        """On a hump at the middle of A-B it rests on the hump and the higher end, SHORT over both."""
        readings = [
            at_corner("A", 540),
            at_corner("B", 536),
            at_corner("C", 540),
            at_corner("D", 540),
            ((500, 0), 530),
        ]
        found = make_plan(WIDE, at=(600, 300), drop=500, readings=readings, shape="even-fall", fall="1:50")
        strip = by_wall(found)["A-B"]
        # the floor: -40 at A, -30 at 500, -36 at B; the middle, 600, lies between 500 and B
        slope = (-36 + 30) / 700
        for point in strip.points:
            foot = -30 + slope * (point.along - 500) + SHORT
            assert point.height == math.floor(point.top - foot + 1e-9)
            assert point.gap >= SHORT - 1e-9

    def test_the_lowest_place_is_told_wherever_it_is(self, make_plan):
        found = make_plan(WIDE, at=(437, 300), drop=500, readings=level_floor("ABCD", 530), shape="even-fall")
        lowest = min(by_wall(found)["A-B"].points, key=lambda point: point.top)
        assert lowest.along == pytest.approx(437)
        assert lowest.top == pytest.approx(250 / 48)

    def test_the_bevel_is_the_fall_at_a_foot_and_less_where_ways_lean(self, make_plan):
        found = by_wall(make_plan(ELL, at=(300, 300), shape="even-fall", fall="1:50"))
        for wall in ("A-B", "B-C", "F-A"):
            assert found[wall].bevel == pytest.approx(math.degrees(math.atan(1 / 50)), abs=1e-6)
        # along C-D the way leans least at D, straight across the corner of the square: by 45 degrees
        assert found["C-D"].bevel == pytest.approx(math.degrees(math.atan(math.cos(math.pi / 4) / 50)), abs=1e-4)

    def test_a_strip_past_a_drains_flange_is_not_clear(self, make_plan):
        found = by_wall(make_plan(WIDE, at=(600, 60), drop=500, shape="even-fall"))
        assert [found[wall].is_clear for wall in ("A-B", "B-C", "C-D", "D-A")] == [False, True, True, True]


class TestPlane:
    DRAIN = '[[drains]]\nkind = "channel"\nsize = 60\nfrom = { x = 100, y = 100 }\nto = { x = 1100, y = 100 }\n'

    def test_tops_slope_along_the_end_walls_only(self, make_plan):
        found = by_wall(make_plan(WIDE, shape="plane", fall="1:50", extra=self.DRAIN))
        assert [found[wall].is_sloped for wall in ("A-B", "B-C", "C-D", "D-A")] == [False, True, False, True]
        fall = math.degrees(math.atan(1 / 50))
        bevels = [found[wall].bevel for wall in ("A-B", "B-C", "C-D", "D-A")]
        assert bevels == pytest.approx([fall, 0, fall, 0], abs=1e-9)
        tops = {round(point.along, 6): point.top for point in found["B-C"].points}
        assert (tops[0], tops[600]) == pytest.approx((70 / 50, 470 / 50))
        assert min(tops.values()) == 0  # along the channel's own width


class TestHighSpots:
    """A tent of a floor along A-B of a room 2000 long: 40 mm under the flange at the ends, up to a peak half way."""

    BED = 23  # [mm] (sqrt(1000^2 + 500^2) - 50) / 48 = 22.25, up to the next mm

    def strip(self, make_plan, peak, rest=540):
        readings = [*level_floor("ABCD", rest), ((1000, 0), peak)]
        return by_wall(make_plan(LONG, at=(1000, 500), drop=500, readings=readings))["A-B"]

    def test_a_strip_that_is_high_enough_is_not_notched(self, make_plan):
        strip = self.strip(make_plan, 486)  # 14 mm over the flange: 9 mm of bed, a strip of 6
        assert (strip.height, strip.notches, strip.fits) == (6, (), True)

    def test_over_a_higher_spot_a_quarter_is_notched(self, make_plan):
        strip = self.strip(make_plan, 485)  # 8 mm of bed there would leave a strip of 5
        assert strip.height == 5
        # raised until the floor, which climbs 55 mm in 1000, stands into a quarter of it: 55 / 4 = 13.75, whole: 13
        assert strip.cut_height == 5 + 13
        (notch,) = strip.notches
        reach = 13 / 55 * 1000
        assert (notch.start, notch.end) == pytest.approx((1000 - reach, 1000 + reach))
        assert notch.height == 13
        assert strip.fits

    def test_a_floor_over_the_bed_needs_a_deeper_notch(self, make_plan):
        strip = self.strip(make_plan, 470)  # 30 mm over the flange, 7 over the bed
        assert strip.height == self.BED - 30 - SHORT
        (notch,) = strip.notches
        assert notch.height == strip.cut_height - strip.height
        assert strip.cut_height == -10 + math.floor(70 / 4)

    def test_where_all_of_the_floor_is_too_high_no_strip_fits(self, make_plan):
        strip = self.strip(make_plan, 482, rest=482)
        assert strip.height == self.BED - 18 - SHORT
        assert (strip.notches, strip.fits) == ((), False)


class TestAgainstSampling:
    """Every figure that is a least or a most, beside 1001 places along each wall of odd rooms."""

    @pytest.fixture(params=sorted(ROOMS))
    def found(self, request, make_plan):
        words = dict(ROOMS[request.param])
        rng = np.random.default_rng(7)
        places = rng.uniform(-300, 1400, (12, 2))
        readings = [(tuple(place), drop) for place, drop in zip(places, rng.uniform(530, 545, 12), strict=True)]
        return make_plan(words.pop("outline"), readings=readings, **{"drop": 500, **words})

    def test_least_and_most(self, found):
        for strip in found.strips:
            border, wall = found.outline.border_of(strip.wall)
            points = border.on_wall(wall, np.linspace(0, border.length(wall), 1001))
            depths = found.bed.height(points) - found.rough.height(points)
            heights = {math.floor(depths.min() - SHORT - miss + 1e-9) for miss in (0, MISS)}
            assert strip.height in heights
            assert depths.max() - 1e-9 <= strip.height + strip.gap <= depths.max() + MISS

    def test_the_strip_as_cut_stays_between_floor_and_bed(self, found):
        for strip in found.strips:
            for point in strip.points:
                assert point.gap >= SHORT - 1e-6
                assert point.height > 0


class TestRefused:
    def test_a_thickness_that_leaves_no_floor(self, make_plan):
        found = make_plan(WIDE, at=(600, 300), extra="[strips]\nthickness = 300\n")
        with pytest.raises(JobError) as refused:
            _ = found.strips
        assert refused.value.key == "strips.thickness"
        assert "less than 300 mm" in refused.value.remedy

    def test_the_thickest_that_leaves_some(self, make_plan):
        found = make_plan(WIDE, at=(600, 300), extra="[strips]\nthickness = 299\n")
        assert by_wall(found)["A-B"].inner_length == pytest.approx(1200 - 2 * 299)

    def test_a_sharp_corner_has_bevels_too(self, make_plan):
        sharp = [(0, 0), (500, 0), (70, 35), (35, 35), (35, 70), (0, 70)]
        found = make_plan(sharp, at=(50, 18), size=10, shape="even-fall")
        fall = math.degrees(math.atan(1 / 48))
        assert all(0 <= strip.bevel <= fall + 1e-9 for strip in found.strips)
