"""Odd readings: what is named where figures leave no doubt, whatever slip may have made them."""

from __future__ import annotations

import time

import numpy as np
import pytest
import shapely

from engine.job.model import Typed
from engine.quantities import Units
from engine.survey.advice import disagreeing, next_corner
from engine.survey.odd import judged

CORNERS = np.array([[0.0, 0.0], [1524.0, 0.0], [1524.0, 914.4], [0.0, 914.4]])
INCH = 25.4
UNREAD = Typed("x", 0.0)  # a drop that no slip explains but one whole unit


def _odd(places, heights):
    """The numbers of the odd readings and how far they are off [mm]."""
    found = judged(places, heights, [UNREAD] * len(heights), Units.INCH).odd
    return [one.number for one in found], [one.off for one in found]


def _scattered(count, seed, noise=1.5):
    rng = np.random.default_rng(seed)
    places = rng.uniform(0, 3000, (count, 2))
    heights = 0.01 * places[:, 0] - 0.004 * places[:, 1] + 7 + rng.normal(0, noise, count)
    return places, heights


def test_a_flat_floor_has_no_odd_reading():
    assert _odd(*_scattered(9, seed=1)) == ([], [])


@pytest.mark.parametrize("odd", range(5))
def test_in_corners_and_drain_only_the_grossly_odd_one_is_named(odd):
    """Two opposite corners explain as much there: the one is named that leaves the floor most level."""
    places = np.vstack([CORNERS, CORNERS.mean(axis=0)])
    heights = 0.005 * places[:, 0]
    heights[odd] -= INCH
    numbers, off = _odd(places, heights)
    assert numbers == [odd]
    assert off == pytest.approx([-INCH])


def test_a_gross_mistake_does_not_drag_its_neighbours_in():
    places, heights = _scattered(9, seed=3)
    heights[4] += 200
    assert _odd(places, heights)[0] == [4]


@pytest.mark.parametrize(("one", "other"), [(150, 140), (-90, 200), (60, 60)])
def test_two_gross_mistakes_do_not_hide_each_other(one, other):
    places, heights = _scattered(12, seed=8)
    heights[[2, 9]] += [one, other]
    assert _odd(places, heights)[0] == [2, 9]


def test_several_odd_ones_among_many_are_all_named():
    places, heights = _scattered(400, seed=4)
    heights[[7, 90, 300]] += [-30, 40, 25]
    numbers, off = _odd(places, heights)
    assert numbers == [7, 90, 300]
    assert off == pytest.approx([-30, 40, 25], abs=6)


@pytest.mark.parametrize(("off", "is_odd"), [(12.6, False), (12.8, True)])
def test_without_a_slip_half_an_inch_is_the_least_that_is_odd(off, is_odd):
    x, y = np.meshgrid(np.arange(5.0) * 300, np.arange(5.0) * 300)
    places, heights = np.column_stack([x.ravel(), y.ravel()]), np.zeros(25)
    heights[12] = off
    assert bool(_odd(places, heights)[0]) is is_odd


def test_a_floor_as_rough_as_the_odd_one_hides_it():
    places, heights = _scattered(30, seed=5, noise=20)
    assert _odd(places, heights)[0] == []


def test_a_dish_towards_the_drain_is_no_line_that_moved():
    """A slab that an older bed was laid on: 3/8 in lower in its middle, read round the walls first."""
    x, y = np.meshgrid(np.linspace(0, 1524, 5), np.linspace(0, 914.4, 5))
    places = np.column_stack([x.ravel(), y.ravel()])
    from_middle = np.hypot(*(places - CORNERS.mean(axis=0)).T)
    order = np.argsort(-from_middle, kind="stable")
    places, heights = places[order], 9.5 * (from_middle[order] / from_middle.max()) ** 2
    found = judged(places, np.round(heights / 1.5875) * 1.5875, [UNREAD] * 25, Units.INCH)
    assert (found.move, found.odd) == (None, ())


def test_four_readings_judge_none():
    assert _odd(CORNERS, np.array([0.0, 0, 0, 500]))[0] == []


def test_readings_on_one_line_are_judged_along_it():
    places = np.column_stack([np.arange(6.0) * 200, np.arange(6.0) * 100])
    heights = np.arange(6.0) * 3
    heights[2] += 40
    assert _odd(places, heights)[0] == [2]


def test_a_reading_that_alone_fixes_the_plane_is_never_odd():
    places = np.vstack([np.column_stack([np.arange(5.0) * 200, np.zeros(5)]), [[400.0, 900.0]]])
    heights = np.array([0.0, 0, 0, 0, 0, 300])
    assert _odd(places, heights)[0] == []


def test_readings_all_at_one_place_are_no_plane_but_no_crash():
    assert _odd(np.zeros((6, 2)), np.array([0.0, 0, 0, 0, 0, 100]))[0] == [5]


@pytest.mark.parametrize(("apart", "named"), [(3.17, []), (3.18, [[0, 2]])])
def test_two_readings_of_one_place_may_differ_by_an_eighth(apart, named):
    places = np.array([[10.0, 10.0], [900.0, 10.0], [10.5, 10.0]])
    assert disagreeing(places, np.array([0.0, 50.0, apart])).tolist() == named


def test_the_next_corner_is_the_one_that_leaves_least_guessed():
    floor = shapely.polygons(CORNERS)
    assert next_corner(floor, CORNERS, CORNERS[[0, 1, 3]]) == (2, 0.0)
    assert next_corner(floor, CORNERS, CORNERS[:2])[1] == pytest.approx(0.5)
    assert next_corner(floor, CORNERS, CORNERS[:0])[1] == pytest.approx(1.0)


def test_five_thousand_readings_take_milliseconds():
    places, heights = _scattered(5000, seed=6)
    _odd(places, heights)
    start = time.perf_counter()
    _odd(places, heights)
    assert time.perf_counter() - start < 0.25
