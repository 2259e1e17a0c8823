"""Islands: marks, strips and straightedges round them, by closed forms of a square pier and by an offset library."""

from __future__ import annotations

import json
import math

import numpy as np
import pytest
import shapely

from engine.sheets.json import plan_json
from engine.sheets.text import plan_text

ROOM = [(0, 0), (3000, 0), (3000, 2400), (0, 2400)]
PIER = [(2000, 900), (2600, 900), (2600, 1500), (2000, 1500)]
SIDE = 600.0  # [mm] of the pier
DRAIN = (500, 1200)  # square off the middle of the pier's side 4-1
OFF = 1500.0  # [mm] that far
RIM = 50.0
T = 12.0  # [mm] the thickness taken in a mm job
SHORT = 3.0  # [mm] what strips are cut short there
FALL = 1 / 48
ODD = [(2000, 900), (2350, 860), (2500, 1300), (2250, 1150), (2050, 1400)]  # its corner 4 points into it


@pytest.fixture(scope="module")
def found(make_plan):
    """Even fall round a square pier over a level rough floor."""
    level = [(corner, 560) for corner in ROOM]
    return make_plan(ROOM, at=DRAIN, islands=[PIER], shape="even-fall", drop=500, readings=level)


def around(found):
    return {strip.wall: strip for strip in found.strips if strip.ring_name == "island 1"}


class TestSquarePier:
    def test_a_strip_on_each_side_after_those_of_the_walls(self, found):
        assert [strip.wall for strip in found.strips] == [
            *("A-B", "B-C", "C-D", "D-A"),
            *("island 1 side 1-2", "island 1 side 2-3", "island 1 side 3-4", "island 1 side 4-1"),
        ]

    def test_bed_lies_outside_so_inner_faces_are_longer_by_a_thickness_an_end(self, found):
        for strip in around(found).values():
            assert strip.length == pytest.approx(SIDE)
            assert strip.inner_length == pytest.approx(SIDE + 2 * T)
            assert strip.blank == pytest.approx(SIDE + 2 * T)
            assert strip.miters == pytest.approx((135, 135))
            assert strip.saw_settings == pytest.approx((-45, -45))

    def test_the_side_towards_the_drain_follows_the_cone(self, found):
        strip = around(found)["island 1 side 4-1"]
        assert strip.is_sloped
        for point in strip.points:
            away = math.hypot(OFF, point.along - SIDE / 2)
            assert point.top == pytest.approx((away - RIM) * FALL)
        assert strip.height == math.floor((OFF - RIM) * FALL + 60 - SHORT)
        assert strip.bevel == pytest.approx(math.degrees(math.atan(FALL)), abs=1e-3)

    def test_behind_the_pier_the_top_is_highest_where_the_two_ways_round_part(self, found):
        """Round either corner: to it, along the pier's side, and half the far side along."""
        strip = around(found)["island 1 side 2-3"]
        middle = math.hypot(OFF, SIDE / 2) + SIDE + SIDE / 2 - RIM
        assert max(point.top for point in strip.points) == pytest.approx(middle * FALL)
        assert strip.bevel == pytest.approx(0, abs=1e-3)

    def test_boards_hold_its_strips(self, found):
        pieces = [piece for board in found.stock.boards for piece in board.pieces]
        cut = sum(piece.length for piece in pieces if piece.wall.startswith("island 1"))
        assert cut == pytest.approx(4 * (SIDE + 2 * T))

    def test_the_board_bought_is_as_high_as_the_highest_strip(self, found):
        high = max(strip.cut_height for strip in found.strips)
        shopping = {item.item: item for item in found.work.shopping}
        assert any(f"{high:.0f} mm" in item.of for item in shopping.values())

    def test_the_shortest_line_is_from_its_strip_to_the_flange(self, make_plan):
        near = [(x - 1350, y) for x, y in PIER]
        found = make_plan(ROOM, at=DRAIN, islands=[near], shape="even-fall")
        assert found.straightedges.shortest == pytest.approx(650 - 500 - T - RIM)

    def test_level_walls_give_its_strips_one_height(self, make_plan):
        level = [(corner, 560) for corner in ROOM]
        found = make_plan(ROOM, at=DRAIN, islands=[PIER], drop=500, readings=level)
        for strip in around(found).values():
            assert not strip.is_sloped
            assert strip.height == math.floor(found.bed.wall_height + 60 - SHORT)
            assert strip.bevel >= math.degrees(math.atan(FALL)) - 1e-6

    def test_a_high_spot_beside_it_is_notched_out(self, make_plan):
        """The floor stands to 5 mm under the bed at corner 1, and 60 mm and more under it elsewhere."""
        readings = [((x, y), 560) for x in (0, 1000, 1950, 2100, 3000) for y in (0, 800, 1000, 2400)]
        readings.append(((2000, 900), 474))
        found = make_plan(ROOM, at=DRAIN, islands=[PIER], shape="even-fall", drop=500, readings=readings)
        notched = {strip.wall for strip in found.strips if strip.notches or not strip.fits}
        assert notched == {"island 1 side 1-2", "island 1 side 4-1"}


class TestAnyIsland:
    @pytest.mark.parametrize("way", [1, -1])
    @pytest.mark.parametrize("ring", [PIER, ODD], ids=["pier", "odd"])
    def test_inner_faces_together_are_the_mitred_offset(self, make_plan, ring, way):
        """shapely's buffer with mitred corners (GEOS) goes round the strips' inner faces."""
        found = make_plan(ROOM, at=DRAIN, islands=[ring[::way]], shape="even-fall")
        offset = shapely.Polygon(ring).buffer(T, join_style="mitre", mitre_limit=20)
        assert sum(strip.inner_length for strip in around(found).values()) == pytest.approx(offset.length)

    @pytest.mark.parametrize("way", [1, -1])
    def test_heights_are_the_same_walked_either_way(self, make_plan, way):
        found = make_plan(ROOM, at=DRAIN, islands=[ODD[::way]], shape="even-fall")
        assert sorted(strip.height for strip in around(found).values()) == sorted(
            strip.height for strip in around(make_plan(ROOM, at=DRAIN, islands=[ODD], shape="even-fall")).values()
        )


class TestMarks:
    def test_corners_and_every_step_along_the_sides(self, found):
        marks = [mark for mark in found.marks if mark.ring_name]
        assert [(mark.at, mark.along) for mark in marks[:3]] == [
            ("island 1 corner 1", None),
            ("island 1 side 1-2", 300.0),
            ("island 1 corner 2", None),
        ]
        assert len(marks) == 8

    def test_their_heights_are_the_beds_rounded_up(self, found):
        for mark in found.marks:
            (exact,) = found.bed.height(np.array([[mark.x, mark.y]]))
            assert exact - 1e-6 <= mark.above_drain < exact + 1
            assert mark.below_line == pytest.approx(500 - mark.above_drain)

    def test_they_stand_after_the_walls_in_walking_order(self, found):
        names = [mark.ring_name for mark in found.marks]
        assert names == sorted(names)


class TestTold:
    def test_the_plan_as_json_names_sides_and_corners(self, found):
        told = json.loads(plan_json(found))
        assert told["strips"][4]["wall"] == "island 1 side 1-2"
        assert told["strips"][4]["inner_length"] == SIDE + 2 * T
        assert {"at": "island 1 side 1-2", "along": 300.0}.items() <= told["marks"][-7].items()

    def test_the_text_tells_the_cuts_as_outside_corners(self, found):
        text = " ".join(plan_text(found).split())
        assert "island 1 side 1-2: 600 mm long, inner face 624 mm" in text
        assert "at corner 1: outside corner, saw 45.0 degrees off square, inner face longer by 12 mm" in text
        assert "Round island 1, its corners numbered in the order they were given:" in text


def test_two_that_nearly_touch_have_strips_over_a_floor_read_once(make_plan):
    """Corners 1e-5 mm apart are one place of each other's sides: the floor's slope along them is no division by 0."""
    pair = [[(x, 400), (x + 200, 400), (x + 200, 600), (x, 600)] for x in (800, 1000 + 1e-5)]
    readings = [(corner, 530 + height) for corner, height in zip(ROOM, (0, 2, 1, 3), strict=True)]
    strips = make_plan(ROOM, at=(400, 600), islands=pair, shape="even-fall", drop=480, readings=readings).strips
    assert all(math.isfinite(strip.height) and strip.fits for strip in strips)
