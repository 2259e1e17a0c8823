"""Which shapes can meet limits that lie close together, against figures worked by hand."""

from __future__ import annotations

import math

import pytest

from engine.job.model import BedShape
from engine.remedies.fits import fits

ROOM = "rectangle = [1500, 900]"
ROUND = f"walls = [{', '.join(['{ length = 1000, rise = 207.1 }'] * 4)}]"
WORDS = {"at": (750, 450), "drop": 480.0, "mark_step": 1.0}


@pytest.fixture
def shapes(make_plan):
    def look(rulebook, outline=ROOM, **words):
        return {fit.shape: fit for fit in fits(make_plan(outline, rulebook=rulebook, **{**WORDS, **words}))}

    return look


class TestAccessible:
    """1:48 is at once the least and the most."""

    def test_level_walls_cannot(self, shapes):
        """The longest run, to a corner, is 874.6 - 50 mm, the shortest 450 - 50: more than twice as steep."""
        level = shapes("us-accessible")[BedShape.LEVEL_WALLS]
        assert not level.meets
        assert level.most_fall > 2 * level.least_fall
        assert (level.too_high, level.too_low) == (None, None)
        assert "1:48" in level.says

    def test_an_even_fall_can_with_no_tolerance_at_all(self, shapes):
        """1 mm over 824.6 mm: 1 / 48 + 1 / 824.6 = 1:45.4, 1 / 48 - 1 / 824.6 = 1:51.0."""
        even = shapes("us-accessible")[BedShape.EVEN_FALL]
        assert even.meets
        assert even.too_high == pytest.approx(0, abs=1e-6)
        assert even.too_low == pytest.approx(0, abs=1e-6)
        assert "no tolerance" in even.says
        assert "1 mm too high is 1:45.4 and 1 mm too low is 1:51.0" in even.says

    def test_a_plane_can_with_a_channel_along_the_long_wall(self, shapes):
        plane = shapes("us-accessible")[BedShape.PLANE]
        assert plane.meets
        assert plane.run == pytest.approx(900 - 33 - 32.5, abs=1)

    def test_a_plane_can_in_a_room_that_leans(self, shapes):
        """Its corner at B is sharper than square: the channel along A-B ends where its far edge meets B-C."""
        leaning = [(0, 0), (1500, 0), (1440, 900), (-60, 900)]
        plane = shapes("us-accessible", leaning, at=(720, 450))[BedShape.PLANE]
        assert plane.meets
        assert plane.run == pytest.approx(900 - 33 - 32.5, abs=1)

    def test_where_no_channel_drains_the_room_that_is_said(self, shapes):
        """An octagon's walls meet at 135 degrees: beside each the floor goes on, flat, past both ends of a channel."""
        ring = [(900 + 800 * math.cos(k * math.pi / 4), 900 + 800 * math.sin(k * math.pi / 4)) for k in range(8)]
        plane = shapes("us-accessible", ring, at=(900, 900))[BedShape.PLANE]
        assert (plane.meets, plane.run) == (False, None)
        assert plane.says == "one plane to a channel: none was found for this room, though one may exist"

    def test_one_plane_takes_one_channel_in_all_drains_stead(self, make_plan):
        second = '[[drains]]\nkind = "round"\nsize = 100\nat = { x = 1100, y = 450 }\ndrop = 480'
        level, _, plane = fits(make_plan(ROOM, rulebook="us-accessible", extra=second, **WORDS | {"at": (400, 450)}))
        assert plane.meets
        assert plane.run == pytest.approx(900 - 33 - 32.5, abs=1)
        assert plane.says.startswith("one plane to one channel in all drains' stead can")
        assert "with the drains there" in level.says

    def test_no_place_of_the_drain_serves_level_walls_in_a_rectangle(self, shapes):
        """From the middle the longest run is 874.6 - 50, the shortest 450 - 50: 2.06 times."""
        level = shapes("us-accessible", at=(600, 400))[BedShape.LEVEL_WALLS]
        assert "at best the longest is 2.06 times the shortest" in level.says

    def test_level_walls_in_a_round_room_can_with_marks_that_are_set_exactly(self, shapes):
        """Its corners lie 707.1 mm from the middle: 657.1 / 48 = 13.69, which whole marks round up to 14: 1:46.9."""
        level = shapes("us-accessible", ROUND, at=(500, 500))[BedShape.LEVEL_WALLS]
        assert level.meets
        assert level.says.startswith("level walls with every mark at exactly 13.689 mm over the drain can, but leaves")
        assert level.least_fall == pytest.approx(1 / 48, rel=2e-4)
        assert level.most_fall == pytest.approx(1 / 48, rel=2e-4)

    def test_level_walls_in_a_round_room_can_from_its_middle(self, shapes):
        level = shapes("us-accessible", ROUND, at=(350, 500))[BedShape.LEVEL_WALLS]
        assert level.meets
        assert "with the drain moved to x 500 mm, y 500 mm and every mark at exactly 13.689 mm" in level.says


class TestAustralian:
    """1:80 to 1:50, square to the walls: NCC 2022."""

    def test_the_long_room_cannot_with_level_walls_and_can_with_an_even_fall(self, shapes):
        found = shapes("au-ncc", "rectangle = [1900, 1000]", at=(950, 500))
        assert not found[BedShape.LEVEL_WALLS].meets
        even = found[BedShape.EVEN_FALL]
        # To a corner: sqrt(950^2 + 500^2) - 50 = 1023.5 mm; (1/50 - 1/80) of it is 7.7 mm.
        assert even.meets
        assert even.too_high == pytest.approx(1023.5 * (1 / 50 - 1 / 80), abs=0.01)
        assert "7 mm too high or 0 mm too low" in even.says

    def test_walls_may_stand_as_much_too_high_as_the_shortest_run_allows(self, shapes):
        """Runs of 450 and 550 mm: 550 / 80 is 6.9 mm, rounded up to 7; 450 / 50 is 9."""
        level = shapes("au-ncc", "rectangle = [1200, 1000]", at=(600, 500))[BedShape.LEVEL_WALLS]
        assert level.meets
        assert (level.too_high, level.too_low) == (pytest.approx(9 - 7), pytest.approx(7 - 550 / 80))
        assert "the walls may stand 2 mm too high or 0 mm too low" in level.says

    def test_level_walls_can_where_the_drain_is_moved_to_the_middle(self, shapes):
        """From there runs of 450 and 600 mm: 600 / 80 is 7.5 mm, rounded up to 8; 450 / 50 is 9."""
        level = shapes("au-ncc", "rectangle = [1300, 1000]", at=(450, 400))[BedShape.LEVEL_WALLS]
        assert (level.meets, level.too_high, level.too_low) == (True, pytest.approx(9 - 8), pytest.approx(8 - 7.5))
        assert level.says.startswith("level walls with the drain moved to x 650 mm, y 500 mm can: the walls may stand")

    def test_marks_are_made_finer_where_whole_ones_are_too_coarse(self, shapes):
        """Runs of 650 and 425 mm: 650 / 80 is 8.1 mm, rounded up to 9, or 8.5; 425 / 50 is 8.5."""
        level = shapes("au-ncc", "rectangle = [1400, 950]", at=(700, 475))[BedShape.LEVEL_WALLS]
        assert (level.meets, level.too_high) == (True, pytest.approx(0, abs=1e-9))
        assert level.least_fall == pytest.approx(8.5 / 650)
        assert level.says.startswith("level walls with marks to 0.5 mm can")

    def test_the_square_room_can_with_level_walls(self, shapes):
        """Runs of 450 mm: 5.6 mm, rounded up to 6: 1:75."""
        level = shapes("au-ncc", "rectangle = [1000, 1000]", at=(500, 500))[BedShape.LEVEL_WALLS]
        assert level.meets
        assert level.least_fall == pytest.approx(6 / 450)
        assert level.too_high == pytest.approx((1 / 50 - 6 / 450) * 450)
        assert level.too_low == pytest.approx((6 / 450 - 1 / 80) * 450)


def test_where_there_is_room_between_the_limits_nothing_is_said(shapes):
    assert shapes("us-model") == {}


def test_nothing_is_said_before_there_is_a_bed(make_plan):
    assert fits(make_plan(ROOM, at=(750, 450), rulebook="us-accessible", shape=None)) == ()
