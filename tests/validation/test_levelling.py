"""Heights from drops below a level line.

Sources: US Navy manual (height of line 105.5, reading 2.3 -> 103.2); a surveying course (bench mark 40.000, back
sight 1.26, fore sights 1.12 1.235 1.39 1.21 1.17 1.49 -> 40.14 40.025 39.87 40.05 40.09 39.77).
"""

from __future__ import annotations

import numpy as np
import pytest

TOLERANCE = 1e-9  # [m] nothing but sums
M = 1000.0  # [mm]
FLOOR = [(0.0, 0.0), (4.0 * M, 0.0), (4.0 * M, 3.0 * M), (0.0, 3.0 * M)]
DRAIN = {"at": (2.0 * M, 1.5 * M), "size": 100.0}

LINE, READING, HEIGHT = 105.5, 2.3, 103.2  # [m]

BENCH_MARK, BACK_SIGHT = 40.000, 1.26  # [m]
FORE_SIGHTS = (1.12, 1.235, 1.39, 1.21, 1.17, 1.49)  # [m]
HEIGHTS = (40.14, 40.025, 39.87, 40.05, 40.09, 39.77)  # [m]
PLACES = ((0.2, 0.1), (1.7, 0.4), (3.6, 0.3), (0.4, 2.5), (2.2, 2.9), (3.8, 2.6))  # [m]


def test_one_reading_below_a_line(make_plan):
    flange = 4.0  # [m] below the line: the datum
    plan = make_plan(FLOOR, **DRAIN, drop=f"{flange} m", readings=[((M, M), f"{READING} m")])
    datum = LINE - flange
    assert datum + plan.readings[0].height / M == pytest.approx(HEIGHT, abs=TOLERANCE)
    assert datum + plan.rough.height(np.array(FLOOR)) / M == pytest.approx(HEIGHT, abs=TOLERANCE)


@pytest.fixture(scope="module")
def course(make_plan):
    """The course's field book, the flange standing on the bench mark."""
    readings = [((x * M, y * M), f"{sight} m") for (x, y), sight in zip(PLACES, FORE_SIGHTS, strict=True)]
    return make_plan(FLOOR, **DRAIN, drop=f"{BACK_SIGHT} m", readings=readings)


def test_the_field_book_gives_the_heights(course):
    found = [BENCH_MARK + station.height / M for station in course.readings]
    assert found == pytest.approx(HEIGHTS, abs=TOLERANCE)


def test_the_rough_floor_passes_through_them(course):
    found = BENCH_MARK + course.rough.height(np.array(PLACES) * M) / M
    assert found.tolist() == pytest.approx(HEIGHTS, abs=TOLERANCE)


def test_marks_are_laid_off_from_the_same_line(course):
    for mark in course.marks:
        assert mark.below_line + mark.above_drain == pytest.approx(BACK_SIGHT * M, abs=TOLERANCE * M)
