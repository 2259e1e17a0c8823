"""The least bed against a linear program: minimise the heights under the same differences.

Source: scipy.optimize.linprog, method "highs" (a general-purpose solver; Huangfu and Hall 2018).
"""

from __future__ import annotations

import numpy as np
import pytest
import scipy

from engine.bed.least_bed import Demands, differences, least_bed

TOLERANCE = 1e-7  # [mm] the solver's own
INFEASIBLE = 2
ELL = [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)]
DEMANDS = Demands(1 / 48, 1 / 24, 20.0)


def solved(found, rough, rise):
    """The linear program's answer: heights less the least fall's (n,) [mm], the drains raised by that much."""
    ways = found.ways
    pairs, drops = differences(ways, DEMANDS)
    count, rows = len(ways.places), np.arange(len(pairs))
    values = np.concatenate([np.ones(len(pairs)), -np.ones(len(pairs))])
    matrix = scipy.sparse.coo_matrix((values, (np.tile(rows, 2), pairs.T.ravel())), shape=(len(pairs), count)).tocsr()
    least = rough.height(ways.places) + DEMANDS.least_depth - DEMANDS.least_fall * ways.ways
    fixed = np.flatnonzero(ways.down < 0)
    drains = scipy.sparse.coo_matrix(
        (np.ones(len(fixed)), (np.arange(len(fixed)), fixed)), shape=(len(fixed), count)
    ).tocsr()
    return scipy.optimize.linprog(
        np.ones(count),
        A_ub=matrix,
        b_ub=-drops,
        A_eq=drains,
        b_eq=np.full(len(fixed), rise),
        bounds=np.column_stack([least, np.full(count, np.inf)]),
        method="highs",
    )


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
    readings = [(corner, 500.0) for corner in corners]
    places, drops = rng.uniform(80, 820, (6, 2)).round(1), rng.uniform(486, 500, 6).round(1)
    readings += zip(places.tolist(), drops.tolist(), strict=True)
    planned = make_plan(corners, at=at, drop=drop, readings=readings, shape="even-fall")
    found = least_bed(planned.bed.reach, planned.rough, DEMANDS)
    answer = solved(found, planned.rough, found.rise)
    assert answer.status == 0, answer.message
    assert found.heights == pytest.approx(answer.x + DEMANDS.least_fall * found.ways.ways, abs=TOLERANCE)


def test_a_drain_that_rises_less_than_it_must_has_no_answer(make_plan):
    planned = make_plan(ELL, at=(400, 400), drop=489.0, readings=[(corner, 500.0) for corner in ELL], shape="even-fall")
    found = least_bed(planned.bed.reach, planned.rough, DEMANDS)
    assert found.rise == pytest.approx(20 - 11)
    assert solved(found, planned.rough, found.rise).status == 0
    assert solved(found, planned.rough, found.rise - 0.01).status == INFEASIBLE
