"""The kernel against plain sight."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from engine.bed.kernel import kernel
from engine.job.model import EdgeKind
from engine.survey.outline import FloorOutline, corner_names

ELL = [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)]
U = [(0, 0), (1800, 0), (1800, 1500), (1200, 1500), (1200, 600), (600, 600), (600, 1500), (0, 1500)]
POST = [(300, 300), (300, 400), (400, 400), (400, 300)]


def floor_of(corners, islands=()):
    count = len(corners)
    rings = tuple(np.array(ring, dtype=float) for ring in islands)
    return FloorOutline(np.array(corners, dtype=float), corner_names(count), (EdgeKind.WALL,) * count, rings)


def test_a_place_is_in_it_exactly_where_it_sees_the_whole_floor(star):
    rng = np.random.default_rng(4)
    for corners in (ELL, star(3), star(8), star(11)):
        floor = floor_of(corners)
        ring = kernel(floor)
        low, high = np.array(floor.polygon.bounds).reshape(2, 2)
        places = rng.uniform(low, high, (60, 2))
        places = places[shapely.contains_xy(floor.polygon, places)]
        goals = shapely.get_coordinates(shapely.segmentize(floor.polygon, 50))
        room = floor.polygon.buffer(1e-6)
        for place in places:
            lines = shapely.linestrings(np.stack([np.broadcast_to(place, goals.shape), goals], axis=1))
            whole = bool(shapely.covers(room, lines).all())
            assert whole == (len(ring) > 0 and shapely.Polygon(ring).covers(shapely.Point(place)))


def test_an_ell_is_seen_whole_from_the_square_where_its_legs_meet():
    assert kernel(floor_of(ELL)) == pytest.approx(np.array([[0, 0], [900, 0], [900, 900], [0, 900]]))
    clear = kernel(floor_of(ELL[::-1]), 100)
    assert sorted(map(tuple, clear)) == [(100, 100), (100, 800), (800, 100), (800, 800)]


@pytest.mark.parametrize(("corners", "islands"), [(U, ()), (ELL, [POST]), (ELL, [POST[::-1]])])
def test_nothing_sees_both_legs_of_a_u_nor_round_an_island(corners, islands):
    assert kernel(floor_of(corners, islands)).shape == (0, 2)


def test_too_much_clearance_leaves_nothing():
    assert len(kernel(floor_of(ELL), 449))
    assert not len(kernel(floor_of(ELL), 451))
