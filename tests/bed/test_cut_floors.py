"""Floors cut in two from corners that point into them, where drains do not see parts square across between them."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from engine.bed.parts import cut_floors, part_of

ELL = np.array([(0, 0), (2600, 0), (2600, 900), (1000, 900), (1000, 2400), (0, 2400)])


@pytest.mark.parametrize("degrees", [0, 10, 40, 70, 130])
def test_a_room_turned_askew_is_cut_as_often(make_reach, degrees):
    """By whole tens of degrees, in which rays go out: 26 leave corner D between its walls, 270 degrees apart."""
    turn = math.radians(degrees)
    by = np.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]])
    floor = make_reach(ELL @ by, np.array([500.0, 500.0]) @ by).floor
    faces = cut_floors(floor)
    assert len(faces) == 26
    assert shapely.area(faces).sum(axis=1) == pytest.approx(floor.area)


def test_a_sliver_between_planes_is_a_part_as_it_is(make_reach):
    """As two creases that nearly meet leave one: none of its places turns by more than noise."""
    room = make_reach([(0, 0), (1500, 0), (1500, 900), (0, 900)], (700, 450))
    sliver = shapely.Polygon([(200, 100), (900, 100), (500, 100 + 1e-8)])
    assert part_of(room.floor, room.flange, sliver).shape.equals(sliver)
