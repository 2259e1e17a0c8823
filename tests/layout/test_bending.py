"""Strips on curved walls: kerfs and straight pieces by hand, and the chain of pieces walked corner to corner."""

from __future__ import annotations

import math

import numpy as np
import pytest

from engine.layout.bending import bending
from engine.quantities import Units
from engine.sheets.cut_words import bending_words
from engine.survey.sides import Arc

THICK, KERF = 12.0, 3.0


def arc(chord, rise):
    return Arc(np.array([0.0, 0.0]), np.array([chord, 0.0]), np.array([0.0, 1.0]), rise)


def test_kerfs_by_hand():
    """A half circle of radius 300 out: 9 mm deep kerfs of 3 mm turn 2 atan(1/6) = 18.92 deg each: 10 for 180 deg.

    A stretch that keeps within 1 mm of 300 mm turns at most 2 acos(299 / 300) = 9.36 deg: 20, 942.5 / 20 = 47.1 apart.
    """
    found = bending(arc(600, 300), THICK, KERF, Units.MM)
    assert found.radius == pytest.approx(300)
    assert found.length == pytest.approx(300 * math.pi)
    assert (found.kerfs.count, found.kerfs.depth) == (20, 9.0)
    assert found.kerfs.spacing == pytest.approx(300 * math.pi / 20)
    assert not found.kerfs.is_wall_side


def test_a_tight_bend_is_set_by_the_kerfs_closing():
    """A quarter circle of radius 100: 90 / 18.92 = 4.8 by closing; 2 acos(0.99) = 16.2 deg by keeping near: 6.

    With a kerf of 2 mm each turns 2 atan(1/9) = 12.68 deg: 8.
    """
    chord, rise = 100 * math.sqrt(2), 100 * (1 - math.sqrt(0.5))
    assert bending(arc(chord, rise), THICK, KERF, Units.MM).kerfs.count == 6
    assert bending(arc(chord, rise), THICK, 2.0, Units.MM).kerfs.count == 8


def test_round_a_wall_that_bows_in_the_board_is_longer_and_sawn_on_the_walls_side():
    found = bending(arc(600, -300), THICK, KERF, Units.MM)
    assert found.length == pytest.approx(312 * math.pi)
    assert found.kerfs.is_wall_side


@pytest.mark.parametrize(("radius", "kerf"), [(300, 0.0), (10, KERF)])
def test_no_kerf_and_no_room_for_kerfs_leave_pieces(radius, kerf):
    """A half circle of radius 10 takes 10 kerfs of 3 mm on 31 mm."""
    found = bending(arc(2 * radius, radius), THICK, kerf, Units.MM)
    assert found.kerfs is None
    assert found.pieces.count >= 1


@pytest.mark.parametrize("rise", [15, 90, 300, 450])
def test_pieces_round_a_wall_that_bows_out_run_from_corner_to_corner(rise):
    """Walked with a turn of twice the saw's setting at each joint, the outer faces end at the far corner."""
    wall = arc(600, rise)
    pieces = bending(wall, THICK, KERF, Units.MM).pieces
    turns = 2 * pieces.saw * (np.arange(pieces.count) - (pieces.count - 1) / 2)
    steps = pieces.length * np.column_stack([np.cos(np.radians(turns)), np.sin(np.radians(turns))])
    assert steps.sum(axis=0) == pytest.approx([600, 0], abs=1e-6)
    assert pieces.off <= 3.0 + 1e-9
    assert pieces.off == pytest.approx(pieces.length / 2 * math.tan(math.radians(pieces.saw) / 2))


@pytest.mark.parametrize("rise", [-15, -90, -300])
def test_pieces_round_a_wall_that_bows_in_stand_clear_of_it(rise):
    wall = arc(600, rise)
    found = bending(wall, THICK, KERF, Units.MM)
    pieces, radius = found.pieces, found.radius
    far = math.hypot(radius, pieces.length / 2)  # touching in the middle, a piece's ends stand that far from the centre
    assert far - radius == pytest.approx(pieces.off)
    assert pieces.off <= 3.0 + 1e-9
    assert 2 * math.atan(pieces.length / 2 / radius) * pieces.count == pytest.approx(2 * abs(wall.half))


def test_a_curved_wall_has_its_strip_told(make_plan):
    text = "walls = [{ length = 1200 }, { length = 900, rise = 150 }, { length = 1200 }, { length = 900 }]"
    found = make_plan(text, at=(600, 450), drop=500, readings=[((0, 0), 540)])
    bent = [strip.bending for strip in found.strips]
    assert [each is None for each in bent] == [True, False, True, True]
    assert found.strips[1].blank == pytest.approx(found.outline.length(1))


def test_a_wall_that_hardly_bows_is_told_in_the_singular():
    """1 mm over 900: a straight board stands 1 mm off in the middle, and one kerf leaves it 0.25 mm off."""
    found = bending(arc(900, 1), THICK, KERF, Units.MM)
    assert (found.kerfs.count, found.pieces.count) == (1, 1)
    told = bending_words(found, Units.MM)
    assert "with one saw kerf across the middle of its inner face, 9 mm deep, or make it of one straight" in told
    assert told.endswith("one straight piece, at most 1 mm off the wall")
