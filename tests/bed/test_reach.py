"""Shortest ways to the flange: straight, round corners, round islands, and at a square's sides and corners."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from engine.bed.flange import Flange
from engine.bed.reach import Reach
from engine.job.model import DrainKind, EdgeKind
from engine.survey.outline import FloorOutline

ELL = [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)]
U = [(0, 0), (1500, 0), (1500, 1200), (1000, 1200), (1000, 300), (500, 300), (500, 1200), (0, 1200)]
POST = [(400, 400), (600, 400), (600, 600), (400, 600)]
ACROSS = np.array([1.0, 0.0])
EXACT = 1e-9  # [mm]


def reach(corners, centre, *, size=100.0, kind=DrainKind.ROUND, islands=(), axis=ACROSS):
    names = tuple("ABCDEFGHIJKLMNOPQR"[: len(corners)])
    floor = FloorOutline(
        np.array(corners, dtype=float),
        names,
        (EdgeKind.WALL,) * len(corners),
        tuple(np.array(island, dtype=float) for island in islands),
    )
    return Reach(floor, Flange(kind, np.array(centre, dtype=float), size, axis))


def way(reach_, *points):
    return reach_.way(np.array(points, dtype=float))


class TestStraight:
    def test_round_from_the_rim(self):
        found = way(reach(ELL, (450, 450)), (450, 450), (480, 450), (500, 450), (650, 450), (450, 1750))
        assert found == pytest.approx([0, 0, 0, 150, 1250], abs=EXACT)

    def test_square_from_the_nearest_point_of_its_edge(self):
        found = way(
            reach(ELL, (450, 450), kind=DrainKind.SQUARE),
            (460, 420),
            (500, 480),
            (650, 480),
            (530, 540),
            (400, 600),
        )
        assert found == pytest.approx([0, 0, 150, 50, 100], abs=EXACT)

    def test_a_turned_square_lies_along_its_axis(self):
        axis = np.array([0.6, 0.8])
        found = way(
            reach(ELL, (450, 450), kind=DrainKind.SQUARE, axis=axis),
            (450 + 60, 450 + 80),
            (450, 450 + 50 / 0.8),
        )
        assert found == pytest.approx([50, 0], abs=EXACT)


class TestCorners:
    def test_round_one(self):
        """From (1500, 400) the far leg is reached over the inner corner (900, 900)."""
        room = reach(ELL, (1500, 400))
        first = math.dist((1500, 400), (900, 900)) - 50
        found = way(room, (900, 900), (900, 1800), (600, 1700), (0, 900))
        assert found == pytest.approx(
            [
                first,
                first + 900,
                first + math.dist((900, 900), (600, 1700)),
                math.dist((1500, 400), (0, 900)) - 50,
            ],
            abs=EXACT,
        )

    def test_round_two(self):
        room = reach(U, (1250, 1000))
        first = math.dist((1250, 1000), (1000, 300)) - 50
        assert way(room, (500, 300), (500, 1200)) == pytest.approx([first + 500, first + 500 + 900], abs=EXACT)

    def test_in_line_with_a_corner_both_ways_agree(self):
        room = reach(ELL, (1350, 450))
        beyond = (400, 1400)  # straight through the inner corner
        assert way(room, beyond) == pytest.approx([math.dist((1350, 450), beyond) - 50], abs=EXACT)

    def test_only_hiding_corners_count(self):
        room = reach(U, (1250, 1000))
        assert not room.is_open
        assert {tuple(node.place) for node in room.nodes} == {(1000.0, 300.0), (500.0, 300.0)}
        assert [node.is_direct for node in sorted(room.nodes, key=lambda node: node.way)] == [True, False]

    def test_from_a_square_the_corner_is_reached_from_its_nearest_point(self):
        room = reach(ELL, (1500, 400), kind=DrainKind.SQUARE)
        first = math.dist((1450, 450), (900, 900))
        assert way(room, (900, 1800)) == pytest.approx([first + 900], abs=EXACT)

    def test_square_off_a_side_past_the_hiding_corner(self):
        room = reach(ELL, (1000, 700), size=300.0, kind=DrainKind.SQUARE)
        assert way(room, (899, 1700), (850, 1700)) == pytest.approx([850, 850], abs=EXACT)

    def test_a_wall_between_a_place_and_its_nearest_point_of_the_edge(self):
        room = reach(ELL, (1100, 700), size=300.0, kind=DrainKind.SQUARE)
        bent = math.dist((890, 1700), (900, 900)) + math.dist((900, 900), (950, 850))
        assert way(room, (890, 1700)) == pytest.approx([bent], abs=EXACT)


class TestIslands:
    ROOM = ((0, 0), (1000, 0), (1000, 1000), (0, 1000))

    def test_round_either_side(self):
        room = reach(self.ROOM, (200, 500), islands=[POST])
        over = math.dist((200, 500), (400, 600)) + math.dist((400, 600), (600, 600)) + math.dist((600, 600), (800, 500))
        assert way(room, (800, 500)) == pytest.approx([over - 50], abs=EXACT)
        above, below = way(room, (800, 510), (800, 490))
        assert above == pytest.approx(below, abs=EXACT)
        assert above < over - 50

    def test_an_open_side_of_the_post_is_seen_straight(self):
        room = reach(self.ROOM, (200, 500), islands=[POST])
        assert way(room, (400, 500), (500, 700)) == pytest.approx(
            [150, math.dist((200, 500), (500, 700)) - 50], abs=EXACT
        )
        assert room.has_ridges

    def test_posts_side_by_side(self):
        """Between two posts in line with the drain lies the short way."""
        gap = [
            [(400, 505), (600, 505), (600, 700), (400, 700)],
            [(400, 300), (600, 300), (600, 495), (400, 495)],
        ]
        room = reach(self.ROOM, (200, 500), islands=gap)
        assert way(room, (900, 500)) == pytest.approx([650], abs=EXACT)

    @pytest.mark.parametrize("degrees", [0, 17.3, 45, 123.4])
    def test_behind_a_post_in_line_with_its_corners_in_any_turn(self, degrees):
        turn = np.radians(degrees)
        matrix = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
        corners, post = np.array(self.ROOM) @ matrix, np.array(POST) @ matrix
        room = reach(corners, np.array([300, 300]) @ matrix, size=40.0, islands=[post])
        behind = math.dist((300, 300), (600, 400)) + math.dist((600, 400), (700, 700))
        assert room.way(np.array([(700.0, 700.0)]) @ matrix) == pytest.approx([behind - 20], abs=EXACT)


class TestAnyTurn:
    """On a grid many corners stand in one line; turned, their directions differ in the last digit only."""

    GRID = (
        (0, 0),
        (600, 0),
        (600, 200),
        (500, 200),
        (500, 300),
        (600, 300),
        (600, 600),
        (300, 600),
        (300, 500),
    )
    ROOM = (*GRID, (200, 500), (200, 600), (0, 600), (0, 300), (100, 300), (100, 200), (0, 200))
    POSTS = (
        ((200, 100), (300, 100), (300, 200), (200, 200)),
        ((300, 300), (400, 300), (400, 400), (300, 400)),
    )

    @pytest.mark.parametrize("kind", [DrainKind.ROUND, DrainKind.SQUARE])
    @pytest.mark.parametrize("centre", [(150, 150), (550, 450), (250, 250), (50, 450), (450, 50)])
    def test_ways_turn_with_the_room(self, kind, centre):
        steps = np.arange(0, 601, 50.0)
        points = np.stack(np.meshgrid(steps, steps), axis=-1).reshape(-1, 2)
        room = reach(self.ROOM, centre, size=16.0, kind=kind, islands=self.POSTS)
        points = points[shapely.intersects_xy(room.floor.polygon, points)]
        expected = room.way(points)
        for degrees in np.linspace(3, 357, 12):
            turn = np.radians(degrees)
            matrix = 1.37 * np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
            places = [np.array(ring) @ matrix + 321.0 for ring in (self.ROOM, *self.POSTS, [centre], points)]
            outline, *islands, middle, turned = places
            other = reach(outline, middle[0], size=16 * 1.37, kind=kind, islands=islands, axis=matrix[0] / 1.37)
            assert other.way(turned) == pytest.approx(1.37 * expected, abs=1e-6)


class TestNoise:
    """Places cut, rounded or typed lie off the walls by noise; their ways may not jump."""

    @pytest.mark.parametrize("size", [1e-13, 1e-10, 5e-7])
    @pytest.mark.parametrize("kind", [DrainKind.ROUND, DrainKind.SQUARE])
    def test_points_beside_walls(self, size, kind):
        turn = np.radians(31.7)
        matrix = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
        corners = np.array(U) @ matrix + [333.3, 77.7]
        room = reach(corners, np.array([1250, 1000]) @ matrix + [333.3, 77.7], kind=kind)
        parts = np.concatenate([10.0 ** np.arange(-12, 0), [0.3]])
        parts = np.concatenate([[0.0], parts, 1 - parts])[:, None, None]
        walls = corners + parts * (np.roll(corners, -1, axis=0) - corners)
        noise = np.random.default_rng(0).uniform(-size, size, walls.shape)
        exact = room.way((walls + 0.0).reshape(-1, 2))
        noisy = room.way((walls + noise).reshape(-1, 2))
        assert np.isfinite(exact).all()
        assert noisy == pytest.approx(exact, abs=1e-5)
        inside = room.way((walls + 1e-4 * room.floor.inward).reshape(-1, 2))
        assert exact == pytest.approx(inside, abs=1e-3)


def every_bend(room, points):
    """The same ways with every bend asked, whether or not a string through it would be taut."""
    ways = room.straight(points)
    for node in room.nodes:
        longer = node.way + np.hypot(*(points - node.place).T)
        ways = np.where((longer < ways) & node.fan.sees(points), longer, ways)
    return ways


class TestBends:
    """A way only goes on from a corner that it bends round: asking fewer corners gives the same ways."""

    @pytest.mark.parametrize("seed", range(12))
    def test_in_any_room(self, seed):
        rng = np.random.default_rng(seed)
        angles = np.sort(rng.uniform(0, 2 * np.pi, 14))
        far = rng.uniform(150, 1500, 14)
        ring = np.round(np.column_stack([far * np.cos(angles), far * np.sin(angles)]), -1 if seed % 2 else 3)
        floor = shapely.polygons(ring)
        if not floor.is_valid:
            pytest.skip("these corners cross")
        points = rng.uniform(-1500, 1500, (3000, 2))
        points = np.vstack([points[shapely.contains_xy(floor, points)], ring, (ring + np.roll(ring, 1, axis=0)) / 2])
        for kind, centre, axis in (
            (DrainKind.ROUND, points[0], ACROSS),
            (DrainKind.SQUARE, points[1], np.array([0.6, 0.8])),
            (DrainKind.ROUND, ring[seed], ACROSS),
        ):
            room = reach(ring, centre, size=20.0, kind=kind, axis=axis)
            assert np.array_equal(room.way(points), every_bend(room, points))

    def test_where_the_flange_ends_at_a_corner(self):
        """A way that starts at the corner itself may leave it in any direction."""
        room = reach(ELL, (850, 850), kind=DrainKind.SQUARE)
        points = np.array([(900.0, 1700.0), (1700.0, 900.0), (1790.0, 890.0), (890.0, 1790.0), (10.0, 10.0)])
        assert np.isfinite(room.way(points)).all()
        assert np.array_equal(room.way(points), every_bend(room, points))
