"""The least bed against a linear program: minimise the heights under the same differences.

Source: scipy.optimize.linprog, method "highs" (a general-purpose solver; Huangfu and Hall 2018).
"""

from __future__ import annotations

import numpy as np
import pytest
import scipy

from engine.bed.least_bed import Demands, least_bed

TOLERANCE = 1e-7  # [mm] the solver's own
INFEASIBLE = 2
ELL = [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)]
DEMANDS = Demands(1 / 48, 1 / 24, 20.0)


def solved(found, rough, rise):
    """The linear program's answer: the lowest heights (n,) over the drain as it is, the drains raised by that much.

    Down each way it falls no less than the least, between neighbours no more than the most, and it keeps the depth.
    """
    ways = found.ways
    places, count = ways.places, len(ways.places)
    above = np.flatnonzero(ways.down >= 0)
    falls = ways.down[above], above, DEMANDS.least_fall * (ways.ways[above] - ways.ways[ways.down[above]])
    low, high = np.vstack([ways.edges, ways.edges[:, ::-1]]).T
    apart = np.hypot(*(places[high] - places[low]).T)
    gentle = high, low, -DEMANDS.most_fall * apart
    first, second = ways.twins.T
    same = [(first, second, np.zeros(len(first))), (second, first, np.zeros(len(first)))]
    # heights[j] - heights[i] >= rise over i
    i, j, over = (np.concatenate(column) for column in zip(falls, gentle, *same, strict=True))
    rows = np.arange(len(i))
    values = np.concatenate([np.ones(len(i)), -np.ones(len(i))])
    matrix = scipy.sparse.coo_matrix((values, (np.tile(rows, 2), np.concatenate([i, j]))), shape=(len(i), count))
    least = rough.height(places) + DEMANDS.least_depth
    at_drain = ways.down < 0
    drained = np.maximum(least - TOLERANCE, rise)  # over the rise where that is too little: then there is no answer
    bounds = np.column_stack([np.where(at_drain, drained, least), np.where(at_drain, rise, np.inf)])
    return scipy.optimize.linprog(np.ones(count), A_ub=matrix.tocsr(), b_ub=-over, bounds=bounds, method="highs")


@pytest.mark.parametrize(
    ("corners", "at", "drop"),
    [
        pytest.param([(0, 0), (1300, 0), (1300, 1000), (0, 1000)], (500, 400), 470.0, id="rectangle"),
        pytest.param(ELL, (1500, 400), 470.0, id="round a corner"),
        pytest.param(ELL, (400, 400), 489.0, id="the drain must rise"),
    ],
)
def test_equals_the_linear_programs_answer(make_plan, corners, at, drop):
    rng = np.random.default_rng(5)
    readings = [*((corner, 500.0) for corner in corners), ((900, 300), 474.0), ((650, 700), 476.0)]  # two humps
    places, drops = rng.uniform(80, 820, (6, 2)).round(1), rng.uniform(486, 500, 6).round(1)
    readings += zip(places.tolist(), drops.tolist(), strict=True)
    planned = make_plan(corners, at=at, drop=drop, readings=readings, shape="even-fall")
    found = least_bed(planned.bed.reach, planned.rough, DEMANDS)
    answer = solved(found, planned.rough, found.rise)
    assert answer.status == 0, answer.message
    assert found.heights == pytest.approx(answer.x, abs=TOLERANCE)
    assert_both_falls_count(found)


def assert_both_falls_count(found):
    """Somewhere above a hump the bed falls just the least, and beside it just the most; neither falls short."""
    ways, heights = found.ways, found.heights
    above = np.flatnonzero(ways.down >= 0)
    over = heights - found.rise - DEMANDS.least_fall * ways.ways  # over an even fall from the drain as raised
    drop = over[above] - over[ways.down[above]]
    assert drop.min() > -TOLERANCE
    assert ((np.abs(drop) < TOLERANCE) & (over[above] > 1.0)).any()
    low, high = ways.edges.T
    slopes = np.abs(heights[high] - heights[low]) / np.hypot(*(ways.places[high] - ways.places[low]).T)
    assert slopes.max() == pytest.approx(DEMANDS.most_fall, rel=1e-6)


def test_a_drain_that_rises_less_than_it_must_has_no_answer(make_plan):
    planned = make_plan(ELL, at=(400, 400), drop=489.0, readings=[(corner, 500.0) for corner in ELL], shape="even-fall")
    found = least_bed(planned.bed.reach, planned.rough, DEMANDS)
    assert found.rise == pytest.approx(20 - 11)
    assert solved(found, planned.rough, found.rise).status == 0
    assert solved(found, planned.rough, found.rise - 0.01).status == INFEASIBLE
