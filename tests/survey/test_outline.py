"""The outline's three forms, either way round, and the outlines that cannot be."""

from __future__ import annotations

import numpy as np
import pytest

from engine.arrays import signed_area
from engine.errors import JobError
from engine.job.model import EdgeKind
from engine.survey.outline import FloorOutline, outline
from engine.survey.spot import Needs

SQUARE = [(0, 0), (1000, 0), (1000, 1000), (0, 1000)]


@pytest.fixture(scope="session")
def floor_of(make_job):
    """The outline of a job with these outline entries."""

    def build(given, **words):
        return outline(make_job(given, shape=None, **words))

    return build


def refused(floor_of, given, **words):
    with pytest.raises(JobError) as caught:
        floor_of(given, **words)
    return caught.value


class TestForms:
    def test_none_yet(self, floor_of):
        assert floor_of("") == Needs("outline", "what is the floor's outline?")

    @pytest.mark.parametrize(
        ("given", "key"),
        [
            ('walls = [{ length = "60 in" }]', "outline.walls"),
            ('walls = [{ length = "60 in" }, {}]', "outline.walls"),
            ('corners = [["0", "0"]]', "outline.corners"),
            ('corners = [["0", "0"], ["60 in", "0"]]', "outline.corners"),
        ],
    )
    def test_one_that_was_only_begun_waits_for_the_rest(self, floor_of, given, key):
        waiting = floor_of(given)
        assert (waiting.key, "at least three" in waiting.says) == (key, True)

    def test_rectangle(self, floor_of):
        floor = floor_of('rectangle = ["60 in", "36 in"]')
        assert floor.corners.tolist() == [[0, 0], [1524, 0], [1524, 914.4], [0, 914.4]]
        assert floor.names == ("A", "B", "C", "D")
        assert floor.walls == ("A-B", "B-C", "C-D", "D-A")
        assert floor.area == pytest.approx(1524 * 914.4)
        assert floor.perimeter == pytest.approx(2 * (1524 + 914.4))
        assert floor.misclosure == 0
        assert floor.is_counter_clockwise

    def test_corners_keep_the_coordinates_they_are_given(self, floor_of):
        given = [(500, 300), (-200, 310), (-180, -400), (700, -350)]
        assert floor_of(given).corners.tolist() == [list(corner) for corner in given]

    def test_more_corners_than_letters(self, floor_of):
        turns = 2 * np.pi * np.arange(30) / 30
        floor = floor_of(np.column_stack([1000 * np.cos(turns), 1000 * np.sin(turns)]))
        assert floor.names[25:28] == ("Z", "AA", "AB")
        assert floor.walls[-1] == "AD-A"

    def test_edges_are_walls_unless_said(self, floor_of):
        floor = floor_of(SQUARE, outline_extra='edges = { "D-A" = "curb", "B-C" = "open" }')
        assert floor.kinds == (EdgeKind.WALL, EdgeKind.OPEN, EdgeKind.WALL, EdgeKind.CURB)


class TestEitherWayRound:
    @pytest.fixture(params=[1, -1], ids=["left", "right"])
    def floor(self, floor_of, request):
        return floor_of(SQUARE[:: request.param])

    def test_inward_points_into_the_floor(self, floor):
        middles = (floor.corners + floor.ends) / 2
        assert ((middles + floor.inward) > 0).all()
        assert ((middles + floor.inward) < 1000).all()
        assert np.hypot(*floor.inward.T) == pytest.approx(1)

    def test_area_and_rings_do_not_depend_on_it(self, floor):
        assert floor.area == 1e6
        assert signed_area(floor.rings[0]) == 1e6

    def test_directions_follow_the_letters(self, floor):
        assert floor.corners + floor.lengths[:, None] * floor.directions == pytest.approx(floor.ends)


class TestWalls:
    ELL = (("1800 mm", 90), ("900 mm", 90), ("900 mm", -90), ("900 mm", 90), ("900 mm", 90), ("1800 mm", 90))
    CORNERS = ((0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800))

    @staticmethod
    def text(walls):
        rows = [
            ", ".join(([f'length = "{length}"'] if length else []) + ([f"turn = {turn}"] if turn is not None else []))
            for length, turn in walls
        ]
        return "walls = [" + ", ".join(f"{{ {row} }}" for row in rows) + "]"

    def test_left_turns(self, floor_of):
        floor = floor_of(self.text(self.ELL))
        assert floor.corners.tolist() == [list(corner) for corner in self.CORNERS]
        assert floor.misclosure == 0

    def test_right_turns_mirror_it(self, floor_of):
        floor = floor_of(self.text([(length, -turn) for length, turn in self.ELL]))
        assert floor.corners == pytest.approx(np.array(self.CORNERS) * [1, -1])
        assert not floor.is_counter_clockwise
        assert floor.area == pytest.approx(3 * 900**2)

    def test_a_turn_left_out_is_ninety_degrees(self, floor_of):
        floor = floor_of(self.text([("1000 mm", None), ("600 mm", None), ("1000 mm", None), ("600 mm", None)]))
        assert floor.corners.tolist() == [[0, 0], [1000, 0], [1000, 600], [0, 600]]

    def test_the_last_wall_closes_where_its_length_is_left_out(self, floor_of):
        floor = floor_of(self.text([("1000 mm", 100), ("600 mm", 95), ("1040 mm", 70), ("", None)]))
        assert floor.misclosure == 0
        assert floor.corners[0].tolist() == [0, 0]
        assert floor.lengths[:3] == pytest.approx([1000, 600, 1040])

    def test_a_gap_is_shared_out_by_the_way_walked(self, floor_of):
        """The walk ends at (4, -3): each corner moves back by that, times its share of the way to it."""
        floor = floor_of(self.text([("1004 mm", 90), ("597 mm", 90), ("1000 mm", 90), ("600 mm", 90)]))
        assert floor.misclosure == pytest.approx(5)
        walked = np.array([0, 1004, 1601, 2601]) / 3201
        unclosed = np.array([[0, 0], [1004, 0], [1004, 597], [4, 597]])
        assert floor.corners == pytest.approx(unclosed - walked[:, None] * [4, -3])

    def test_only_the_last_may_leave_its_length_out(self, floor_of):
        error = refused(floor_of, self.text([("1000 mm", 90), ("", 90), ("1000 mm", 90), ("600 mm", 90)]))
        assert error.key == "outline.walls[1].length"
        assert "only the last wall" in error.fault

    def curved(self, rise, walls=ELL):
        """The L with its first wall, from (0, 0) to (1800, 0), curved."""
        return self.text(walls).replace("turn = ", f'rise = "{rise}", turn = ', 1)

    def test_a_curved_wall_leaves_the_corners_where_they_are(self, floor_of):
        flat, bowed = floor_of(self.text(self.ELL)), floor_of(self.curved("100 mm"))
        assert bowed.corners.tolist() == flat.corners.tolist()
        assert bowed.names == flat.names
        assert bowed.on_wall(0, np.array([bowed.length(0) / 2]))[0] == pytest.approx([900, -100])
        assert bowed.on_wall(1, np.array([10.0])).tolist() == flat.on_wall(1, np.array([10.0])).tolist()

    def test_it_bows_out_of_the_floor_either_way_round_and_in_where_negative(self, floor_of):
        floor = floor_of(self.curved("100 mm"))
        back = floor_of(self.curved("100 mm", [(length, -turn) for length, turn in self.ELL]))
        inward = floor_of(self.curved("-100 mm"))
        flat = floor_of(self.text(self.ELL)).area
        assert back.area == pytest.approx(floor.area)
        assert floor.area - flat == pytest.approx(flat - inward.area, rel=1e-9)
        assert back.rings[0][:, 1].max() == pytest.approx(100)

    def test_a_rise_of_nothing_is_a_straight_wall(self, floor_of):
        floor = floor_of(self.curved("0 mm"))
        assert not floor.is_curved
        assert floor.area == floor_of(self.text(self.ELL)).area

    def test_a_wall_that_bows_into_another_is_refused(self, floor_of):
        error = refused(floor_of, self.curved("-1200 mm"))
        assert "walls A-B and " in error.fault
        assert "cross or touch" in error.fault
        assert error.remedy == "check how far they bow out"


class TestIslands:
    POST = ((300, 300), (500, 300), (400, 500))

    @pytest.mark.parametrize("way", [1, -1])
    def test_islands_are_left_out_of_the_area(self, floor_of, way):
        floor = floor_of(SQUARE, islands=[self.POST[::way], [(700, 700), (800, 700), (800, 800), (700, 800)]])
        assert floor.area == pytest.approx(1e6 - 200 * 200 / 2 - 100 * 100)
        assert floor.perimeter == 4000
        assert [signed_area(ring) < 0 for ring in floor.rings] == [False, True, True]

    @pytest.mark.parametrize(
        "island",
        [
            pytest.param([(2000, 300), (2100, 300), (2100, 400)], id="outside"),
            pytest.param([(900, 300), (1100, 300), (1100, 400)], id="across a wall"),
            pytest.param([(0, 300), (100, 300), (100, 400)], id="touching a wall"),
            pytest.param([(-10, -10), (1010, -10), (1010, 1010), (-10, 1010)], id="around the floor"),
        ],
    )
    def test_an_island_is_wholly_inside(self, floor_of, island):
        error = refused(floor_of, SQUARE, islands=[island])
        assert error.key == "outline.islands[0].corners"
        assert "not wholly inside" in error.fault

    @pytest.mark.parametrize("shift", [0, 50, 200])
    def test_islands_keep_apart(self, floor_of, shift):
        """Equal, overlapping, or touching at one corner."""
        other = [(x + shift, y) for x, y in self.POST]
        error = refused(floor_of, SQUARE, islands=[self.POST, other])
        assert error.key == "outline.islands[1].corners"
        assert "touch or overlap" in error.fault

    def test_an_island_may_not_stand_in_an_island(self, floor_of):
        inner = [(390, 350), (410, 350), (400, 370)]
        assert refused(floor_of, SQUARE, islands=[self.POST, inner]).key == "outline.islands[1].corners"

    def test_an_island_must_be_a_shape(self, floor_of):
        crossed = [(300, 300), (500, 500), (500, 300), (300, 500)]
        error = refused(floor_of, SQUARE, islands=[crossed])
        assert error.key == "outline.islands[0].corners"
        assert "1-2 and 3-4 cross" in error.fault


class TestImpossible:
    @pytest.mark.parametrize(
        ("corners", "key", "words"),
        [
            pytest.param(
                [(0, 0), (1000, 1000), (1000, 0), (0, 1000)],
                "outline.corners",
                "walls A-B and C-D cross",
                id="bow tie",
            ),
            pytest.param(
                [(0, 0), (1000, 0), (1000, 0), (0, 900)],
                "outline.corners[1]",
                "B and C are at one place",
                id="corner twice",
            ),
            pytest.param(
                [(0, 0), (1000, 0), (0, 900), (0, 0)],
                "outline.corners[3]",
                "D and A are at one place",
                id="closed by hand",
            ),
            pytest.param(
                [(0, 0), (1000, 0), (400, 0), (400, 500)],
                "outline.corners",
                "walls A-B and B-C cross or touch",
                id="spike",
            ),
            pytest.param(
                [(0, 0), (1000, 0), (1000, 800), (500, 0), (0, 800)],
                "outline.corners",
                "cross or touch",
                id="a corner on a wall",
            ),
            pytest.param(
                [(0, 0), (1000, 0), (500, 500), (1000, 1000), (0, 1000), (500, 500)],
                "outline.corners",
                "cross or touch",
                id="two corners at one place, apart in the walk",
            ),
            pytest.param([(0, 0), (1000, 0), (1000, 0.0005)], "outline.corners", "no area", id="a sliver"),
        ],
    )
    def test_refused_in_words(self, floor_of, corners, key, words):
        error = refused(floor_of, corners)
        assert error.key == key
        assert words in error.fault
        assert error.remedy

    def test_all_in_one_line_is_no_floor(self, floor_of):
        error = refused(floor_of, [(0, 0), (500, 0), (1000, 0)])
        assert error.key == "outline.corners"

    def test_walls_that_cross(self, floor_of):
        walls = "walls = [{ length = 1000 }, { length = 500 }, { length = 500 }, { length = 900 }, {}]"
        error = refused(floor_of, walls)
        assert error.key == "outline.walls"
        assert "cross or touch" in error.fault

    def test_walls_that_go_round_to_nothing(self, floor_of):
        there_and_back = "{ length = 1000, turn = 179.99999 }, { length = 400, turn = 0 }, { length = 600 }"
        error = refused(floor_of, f"walls = [{there_and_back}]")
        assert error.key == "outline.walls"


class TestNumbers:
    def test_the_area_keeps_its_digits_far_from_the_origin(self):
        ring = np.array(SQUARE, dtype=float) + 9e7
        assert signed_area(ring) == 1e6
        assert signed_area(ring[::-1]) == -1e6

    def test_lengths_by_number(self):
        names = ("A", "B", "C")
        floor = FloorOutline(np.array([[0.0, 0], [3, 0], [3, 4]]), names, (EdgeKind.WALL,) * 3)
        assert [floor.length(i) for i in range(3)] == [3, 4, 5]
        assert floor.walls[2] == "C-A"
