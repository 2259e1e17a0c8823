"""The rough floor: none to thousands of readings, ties, doubles, and what lies beyond them."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
import shapely

from engine.survey.mesh import sites
from engine.survey.rough_floor import rough_floor
from engine.survey.tin import delaunay, doubled_areas

SAME = 1e-9  # [mm]


@pytest.fixture(scope="module")
def floor(make_plan):
    """A 1200 x 900 mm room."""
    return make_plan("rectangle = [1200, 900]", shape=None).outline


def surface(floor, readings):
    places, drops = zip(*readings, strict=True)
    return rough_floor(floor, np.array(places, dtype=float), np.array(drops, dtype=float))


def grid_points(step=37.0):
    return np.stack(np.meshgrid(np.arange(0, 1201, step), np.arange(0, 901, step)), axis=-1).reshape(-1, 2)


class TestFew:
    def test_none_is_level_at_the_depth_that_the_bed_needs(self, make_plan):
        plan = make_plan("rectangle = [1200, 900]", at=(500, 400), drop=450.0, bed="least_depth = 40.0")
        assert plan.rough.assumed
        assert plan.rough.height(grid_points()) == pytest.approx(-40.0, abs=SAME)
        assert plan.depth.least.value == pytest.approx(40.0, abs=SAME)
        assert plan.rough.guessed == 1

    def test_one_is_level(self, floor):
        rough = surface(floor, [((300, 200), 510)])
        assert rough.height(grid_points()) == pytest.approx(-510, abs=SAME)
        assert rough.guessed == 1
        assert rough.integral == pytest.approx(-510 * 1200 * 900)

    def test_two_slope_along_their_line_and_are_level_across(self, floor):
        rough = surface(floor, [((200, 100), 500), ((800, 900), 510)])
        points = grid_points()
        along = (points - [200, 100]) @ [0.6, 0.8] / 1000
        assert rough.height(points) == pytest.approx(-500 - 10 * along, abs=SAME)

    def test_on_one_line_bends_are_kept_along_it(self, floor):
        """Between the readings linear; past the ends the plane's slope from the end reading's height on."""
        readings = [((200, 400), 500.0), ((600, 400), 508.0), ((1000, 400), 500.0)]
        rough = surface(floor, readings)
        heights = rough.height(
            np.array([[200, 0], [400, 800], [600, 400], [800, 100], [1000, 899], [100, 5], [1200, 5]])
        )
        assert heights == pytest.approx([-500, -504, -508, -504, -500, -500, -500], abs=SAME)

    @pytest.mark.parametrize("order", list(itertools.permutations(range(4))))
    def test_a_slanting_line_in_any_order(self, floor, order):
        places = np.array([(100, 100), (300, 200), (700, 400), (1100, 600)], dtype=float)
        drops = np.array([500.0, 503, 501, 507])
        rough = rough_floor(floor, places[list(order)], drops[list(order)])
        assert len(rough.triangles) == 0
        square = np.array([-1.0, 2.0]) / np.sqrt(5)
        for place, drop in zip(places, drops, strict=True):
            across = place + np.array([-80.0, 0, 120])[:, None] * square
            assert rough.height(across) == pytest.approx(-drop, abs=SAME)
        between = np.array([[500.0, 300.0]])
        assert rough.height(between) == pytest.approx([-502.0], abs=SAME)

    def test_two_readings_at_one_place_count_as_one(self, floor):
        rough = surface(floor, [((300, 200), 510), ((300, 200), 520), ((900, 200), 515)])
        assert rough.height(grid_points()) == pytest.approx(-515, abs=SAME)
        assert len(rough.stations) == 2

    def test_all_readings_at_one_place(self, floor):
        rough = surface(floor, [((300, 200), 500), ((300, 200), 503), ((300, 200), 506)])
        assert rough.height(grid_points()) == pytest.approx(-503, abs=SAME)

    def test_a_double_by_another_words_is_the_same_place(self, make_plan):
        readings = [('"B"', 510.0), ('{ wall = "A-B", along = "1200.0000000001 mm" }', 520.0), ('"D"', 500.0)]
        plan = make_plan("rectangle = [1200, 900]", at=(500, 400), drop=450.0, readings=readings)
        assert len(plan.rough.stations) == 2
        assert plan.rough.height(np.array([[1200.0, 0.0]])) == pytest.approx([450 - 515], abs=SAME)


class TestTies:
    """Four or more on one circle: the split that gives the higher floor."""

    @pytest.mark.parametrize("high", [0, 1])
    def test_four_corners_break_along_the_higher_diagonal(self, floor, high):
        corners = floor.corners
        drops = np.where(np.arange(4) % 2 == high, 500.0, 520.0)
        rough = rough_floor(floor, corners, drops)
        assert rough.height(np.array([[600.0, 450.0]])) == pytest.approx([-500], abs=SAME)
        assert rough.highest.value == pytest.approx(-500)

    def test_every_height_of_a_three_by_three_grid(self, floor):
        x, y = np.meshgrid([0.0, 600, 1200], [0.0, 450, 900])
        places = np.column_stack([x.ravel(), y.ravel()])
        for seed in range(25):
            heights = -np.random.default_rng(seed).integers(495, 520, 9).astype(float)
            rough = rough_floor(floor, places, -heights)
            for row, column in itertools.product(range(2), range(2)):
                a, b, c, d = (heights[3 * (row + j) + column + i] for i, j in ((0, 0), (1, 0), (1, 1), (0, 1)))
                middle = np.array([[300.0 + 600 * column, 225.0 + 450 * row]])
                assert rough.height(middle)[0] == pytest.approx(max((a + c) / 2, (b + d) / 2), abs=SAME)

    @pytest.mark.parametrize("sides", [5, 6, 9])
    def test_a_ring_on_one_circle_takes_its_upper_hull(self, floor, sides):
        """The highest of all splits is the upper convex hull of the readings as points in space."""
        turns = 2 * np.pi * np.arange(sides) / sides
        places = np.column_stack([600 + 400 * np.cos(turns), 450 + 400 * np.sin(turns)])
        points = np.column_stack([600 + 300 * np.cos(turns + 0.2), 450 + 250 * np.sin(turns + 0.2)])
        for seed in range(20):
            heights = -np.round(np.random.default_rng(seed).uniform(490, 520, sides), 1)
            rough = rough_floor(floor, places, -heights)
            expected = [upper_hull(places, heights, point) for point in points]
            assert rough.height(points) == pytest.approx(expected, abs=1e-6)

    def test_readings_in_any_order_give_one_floor(self, floor):
        x, y = np.meshgrid([0.0, 400, 800, 1200], [0.0, 300, 600, 900])
        places = np.column_stack([x.ravel(), y.ravel()])
        drops = np.random.default_rng(4).integers(495, 520, 16).astype(float)
        heights = []
        for seed in range(6):
            order = np.random.default_rng(seed).permutation(16)
            heights.append(rough_floor(floor, places[order], drops[order]).height(grid_points()))
        for other in heights[1:]:
            assert other == pytest.approx(heights[0], abs=SAME)


def upper_hull(places, heights, point):
    """The highest of all triangles of readings over a point."""
    best = -np.inf
    for trio in itertools.combinations(range(len(places)), 3):
        a, b, c = places[list(trio)]
        weights = np.linalg.solve(np.array([[a[0], b[0], c[0]], [a[1], b[1], c[1]], [1, 1, 1]]), [*point, 1])
        if weights.min() >= -1e-12:
            best = max(best, weights @ heights[list(trio)])
    return best


class TestTriangles:
    def test_they_cover_the_hull_once(self):
        stations = np.random.default_rng(0).uniform(0, 1000, (200, 2))
        triangles = delaunay(stations)
        areas = doubled_areas(stations, triangles) / 2
        assert (areas > 0).all()
        assert areas.sum() == pytest.approx(shapely.MultiPoint(stations).convex_hull.area)

    def test_no_station_lies_inside_another_triangles_circle(self):
        stations = np.random.default_rng(1).uniform(0, 1000, (60, 2))
        for a, b, c in stations[delaunay(stations)]:
            matrix = 2 * np.array([b - a, c - a])
            centre = a + np.linalg.solve(matrix, [(b - a) @ (b - a), (c - a) @ (c - a)])
            radius = np.hypot(*(a - centre))
            assert (np.hypot(*(stations - centre).T) >= radius * (1 - 1e-9)).all()

    @pytest.mark.parametrize("count", [0, 1, 2])
    def test_too_few_make_none(self, count):
        stations = np.random.default_rng(2).uniform(0, 1000, (count, 2))
        assert delaunay(stations).shape == (0, 3)

    def test_the_ring_goes_round_them(self):
        stations = np.random.default_rng(3).uniform(0, 1000, (50, 2))
        found = sites(stations.tobytes())
        hull = shapely.Polygon(found.stations[found.ring])
        assert hull.exterior.is_ccw
        assert hull.area == pytest.approx(shapely.MultiPoint(stations).convex_hull.area)

    def test_stations_along_a_wall_make_no_slivers(self, floor):
        """A wall's readings are in one line but for noise: beside them the floor must not jump."""
        along = np.linspace(0, 1, 9)[:, None]
        wall = np.array([10.0, 20]) + along * np.array([1111.0, 333])
        places = np.vstack([wall, [[300, 800], [900, 850]]])
        drops = np.append(500 + 10 * np.sin(7 * along.ravel()), [505, 507])
        rough = rough_floor(floor, places, drops)
        beside = (wall[:-1] + wall[1:]) / 2
        expected = -(drops[:8] + drops[1:9]) / 2
        for off in (1e-9, -1e-9, 1e-5, -1e-5):
            aside = off * np.array([-0.29, 0.96])
            assert rough.height(beside + aside) == pytest.approx(expected, abs=1e-4)


class TestFigures:
    @pytest.fixture(params=[3, 7, 40])
    def rough(self, floor, request):
        rng = np.random.default_rng(request.param)
        return rough_floor(
            floor, rng.uniform([100, 100], [1100, 800], (request.param, 2)), rng.normal(500, 5, request.param)
        )

    def test_the_integral_is_the_surfaces(self, rough):
        points = (np.stack(np.meshgrid(np.arange(2.0, 1200, 4), np.arange(2.0, 900, 4)), axis=-1)).reshape(-1, 2)
        assert rough.integral == pytest.approx(rough.height(points).mean() * 1200 * 900, rel=1e-6)

    def test_guessed_is_the_share_outside_the_hull(self, rough):
        hull = shapely.MultiPoint(rough.stations).convex_hull
        assert rough.guessed == pytest.approx(1 - hull.area / (1200 * 900))

    def test_extremes_are_attained_and_not_beaten(self, rough):
        heights = rough.height(grid_points(11))
        assert rough.highest.value >= heights.max() - SAME
        assert rough.lowest.value <= heights.min() + SAME
        for spot in (rough.highest, rough.lowest):
            assert rough.height(np.array([[spot.x, spot.y]])) == pytest.approx([spot.value], abs=SAME)

    def test_raising_moves_all_of_it(self, rough):
        raised = rough.raised(450.0)
        assert raised.height(grid_points()) == pytest.approx(rough.height(grid_points()) + 450)
        assert raised.integral == pytest.approx(rough.integral + 450 * 1200 * 900)
        assert raised.highest.value == pytest.approx(rough.highest.value + 450)
        assert raised.guessed == rough.guessed

    def test_a_peak_under_an_island_is_not_the_floors_highest(self, make_plan):
        """A pyramid over a reading in the post: outside it the highest is where the far side meets the post."""
        post = [(450, 100), (750, 100), (750, 300), (450, 300)]
        readings = [((600, 200), 470.0), *((f'"{corner}"', 500.0) for corner in "ABCD")]
        plan = make_plan(
            "rectangle = [1200, 900]",
            islands=[post],
            at=(600, 700),
            drop=450.0,
            shape="even-fall",
            readings=readings,
        )
        assert plan.rough.height(np.array([[600.0, 200.0]])) == pytest.approx([450 - 470])
        assert plan.rough.highest.value == pytest.approx(450 - (470 + 30 * 100 / 700))
        assert plan.rough.highest.y == pytest.approx(300)
        assert plan.rough.lowest.value == pytest.approx(450 - 500)

    def test_thousands_agree_with_few_at_a_time(self, floor):
        """Past a number of pairs a search tree takes over."""
        rng = np.random.default_rng(9)
        rough = rough_floor(floor, rng.uniform([0, 0], [1200, 900], (2000, 2)), rng.normal(500, 5, 2000))
        points = rng.uniform([-50, -50], [1250, 950], (400, 2))
        few = np.concatenate([rough.height(points[i : i + 5]) for i in range(0, 400, 5)])
        assert rough.height(points) == pytest.approx(few, abs=SAME)
