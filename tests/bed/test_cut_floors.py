"""Floors cut in two from corners that point into them, where drains do not see parts square across between them."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely

from engine.bed.parts import cut_floors, divided, part_of

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


@pytest.mark.parametrize("places", [[(300, 2200), (2300, 300)], [(600, 1200), (1500, 500)], [(800, 1300), (1200, 450)]])
def test_of_all_cuts_that_part_the_drains_the_one_with_the_shortest_line_is_taken(make_reach, places):
    """Each drain sees its own half whole: by trying every cut, whatever is told of its sides before."""
    room = make_reach(ELL, (500.0, 500.0))
    flanges = [replace(room.flange, centre=np.array(place, dtype=float)) for place in places]
    longest = []
    for pair in cut_floors(room.floor):
        for shares in (pair, pair[::-1]):
            if all(shapely.contains_xy(share, *place) for share, place in zip(shares, places, strict=True)):
                reaches = [part_of(room.floor, *own).reach for own in zip(flanges, shares, strict=True)]
                if all(reach.sees_whole for reach in reaches):
                    ends = [np.hypot(*(reach.edges.starts - reach.flange.centre).T).max() for reach in reaches]
                    longest.append(max(ends))
    parts = divided(room.floor, flanges, (0.0, 0.0))
    assert parts is not None
    taken = [np.hypot(*(part.reach.edges.starts - part.reach.flange.centre).T).max() for part in parts]
    assert max(taken) == pytest.approx(min(longest))
