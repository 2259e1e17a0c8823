"""Odd readings: the closed form against really leaving each one out, and who is named."""

from __future__ import annotations

import time

import numpy as np
import pytest
import shapely

from engine.survey.advice import deletion, disagreeing, next_corner, odd_readings

CORNERS = np.array([[0.0, 0.0], [1524.0, 0.0], [1524.0, 914.4], [0.0, 914.4]])
INCH = 25.4


def _scattered(count, seed, noise=1.5):
    rng = np.random.default_rng(seed)
    places = rng.uniform(0, 3000, (count, 2))
    heights = 0.01 * places[:, 0] - 0.004 * places[:, 1] + 7 + rng.normal(0, noise, count)
    return places, heights


def _left_out(places, heights, i):
    """Residual, its standard error, scatter and tilt by fitting all the others anew."""
    keep = np.arange(len(heights)) != i
    design = np.column_stack([np.ones(len(places)), places])
    beta, *_ = np.linalg.lstsq(design[keep], heights[keep], rcond=None)
    rest = heights[keep] - design[keep] @ beta
    scatter = np.sqrt(rest @ rest / (keep.sum() - 3))
    spread = design[i] @ np.linalg.inv(design[keep].T @ design[keep]) @ design[i]
    return heights[i] - design[i] @ beta, scatter * np.sqrt(1 + spread), scatter, np.hypot(*beta[1:])


@pytest.mark.parametrize("count", [5, 6, 9, 40])
def test_the_closed_form_is_what_leaving_each_out_gives(count):
    places, heights = _scattered(count, seed=count)
    found = deletion(places, heights)
    for i in range(count):
        expected = _left_out(places, heights, i)
        got = found.residuals[i], found.errors[i], found.scatter[i], found.tilts[i]
        assert got == pytest.approx(expected, rel=1e-7, abs=1e-9)


def test_a_flat_floor_has_no_odd_reading():
    assert odd_readings(*_scattered(9, seed=1))[0].tolist() == []


@pytest.mark.parametrize("odd", range(5))
def test_in_corners_and_drain_only_the_grossly_odd_one_is_named(odd):
    places = np.vstack([CORNERS, CORNERS.mean(axis=0)])
    heights = 0.005 * places[:, 0]
    heights[odd] -= INCH
    numbers, residuals = odd_readings(places, heights)
    assert numbers.tolist() == [odd]
    assert residuals[0] == pytest.approx(-INCH)


def test_a_gross_mistake_does_not_drag_its_neighbours_in():
    places, heights = _scattered(9, seed=3)
    heights[4] += 200
    assert odd_readings(places, heights)[0].tolist() == [4]


def test_several_odd_ones_among_many_are_all_named():
    places, heights = _scattered(400, seed=4)
    heights[[7, 90, 300]] += [-30, 40, 25]
    numbers, residuals = odd_readings(places, heights)
    assert numbers.tolist() == [7, 90, 300]
    assert residuals == pytest.approx([-30, 40, 25], abs=6)


@pytest.mark.parametrize(("off", "is_odd"), [(12.6, False), (12.8, True)])
def test_half_an_inch_is_the_least_that_is_odd(off, is_odd):
    x, y = np.meshgrid(np.arange(5.0) * 300, np.arange(5.0) * 300)
    places, heights = np.column_stack([x.ravel(), y.ravel()]), np.zeros(25)
    heights[12] = off
    assert bool(odd_readings(places, heights)[0].size) is is_odd


def test_a_floor_as_rough_as_the_odd_one_hides_it():
    places, heights = _scattered(30, seed=5, noise=20)
    assert odd_readings(places, heights)[0].tolist() == []


def test_four_readings_judge_none():
    assert odd_readings(CORNERS, np.array([0.0, 0, 0, 500]))[0].tolist() == []


def test_readings_on_one_line_are_judged_along_it():
    places = np.column_stack([np.arange(6.0) * 200, np.arange(6.0) * 100])
    heights = np.arange(6.0) * 3
    heights[2] += 40
    assert odd_readings(places, heights)[0].tolist() == [2]


def test_a_reading_that_alone_fixes_the_plane_is_never_odd():
    places = np.vstack([np.column_stack([np.arange(5.0) * 200, np.zeros(5)]), [[400.0, 900.0]]])
    heights = np.array([0.0, 0, 0, 0, 0, 300])
    assert odd_readings(places, heights)[0].tolist() == []


def test_readings_all_at_one_place_are_no_plane_but_no_crash():
    numbers, _ = odd_readings(np.zeros((6, 2)), np.array([0.0, 0, 0, 0, 0, 100]))
    assert numbers.tolist() == [5]


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
    odd_readings(places, heights)
    start = time.perf_counter()
    odd_readings(places, heights)
    disagreeing(places, heights)
    assert time.perf_counter() - start < 0.25
