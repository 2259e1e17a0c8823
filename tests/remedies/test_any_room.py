"""In any room: each remedy that is reported clears its finding when its job is planned, and the best bring no stop."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest

from engine.limits.findings import Level
from engine.plan import plan
from engine.remedies import changed, remedies

ROOMS = range(14)


DEPTHS = {"bed-thin", "bed-below-floor", "bed-thick"}


def _room(seed):
    """A rectangle or an L in a mm job, its drain anywhere, an uneven floor, limits that something breaks."""
    rng = np.random.default_rng(seed)
    wide, deep = rng.integers(900, 2200, 2).tolist()
    ell = [(0, 0), (wide, 0), (wide, deep // 2), (wide // 2, deep // 2), (wide // 2, deep), (0, deep)]
    corners = ell if seed % 3 == 2 else [(0, 0), (wide, 0), (wide, deep), (0, deep)]
    at = rng.integers(130, np.array([wide, deep // 2]) - 130).tolist()
    if corners is ell and seed % 2 == 0:
        at = [wide - 150, deep // 4]  # where one leg is hidden
    drops = rng.normal(500, 6, len(corners)).round(1)
    readings = [*((corner, drop) for corner, drop in zip(corners, drops.tolist(), strict=True))]
    readings.append(((wide * 0.4, deep * 0.3), round(float(rng.normal(492, 6)), 1)))
    return corners, {
        "at": tuple(at),
        "drop": float(rng.integers(440, 490)),
        "shape": ["level-walls", "even-fall"][seed % 2],
        "readings": readings,
        "bed": f"least_depth = {rng.integers(20, 40)}\nmost_depth = {rng.integers(60, 90)}",
    }


@pytest.fixture(scope="module")
def answered(make_plan):
    """Plans with the answers to their findings."""
    plans = [make_plan(corners, **words) for corners, words in map(_room, ROOMS)]
    return [(planned, remedies(planned)) for planned in plans]


def _rules(planned, level=None):
    return Counter(finding.rule for finding in planned.findings if level in (None, finding.level))


@pytest.mark.parametrize("seed", ROOMS)
def test_what_is_reported_is_true(answered, seed):
    planned, answers = answered[seed]
    before, stops = _rules(planned), _rules(planned, Level.STOP)
    for finding, answer in zip(planned.findings, answers, strict=True):
        for remedy in answer.remedies:
            after = plan(changed(planned.job, remedy.change))
            assert _rules(after)[finding.rule] < before[finding.rule], remedy.says
            assert set(remedy.brings) >= set(_rules(after, Level.STOP) - stops), remedy.says
            grave = set(_rules(after, Level.STOP))
            if finding.level is not Level.STOP:  # a caution for a depth is not traded for another unsaid
                cautions = _rules(after, Level.CAUTION) - _rules(planned, Level.CAUTION)
                assert set(remedy.brings) >= set(cautions) & DEPTHS, remedy.says
                grave |= set(_rules(after, Level.CAUTION)) & DEPTHS
            assert set(remedy.brings) <= grave, remedy.says


def test_no_stop_stands_without_a_change_or_a_reason(answered):
    for planned, answers in answered:
        for finding, answer in zip(planned.findings, answers, strict=True):
            if finding.level is Level.STOP:
                assert answer.best or answer.ruled_out, finding.says


def test_these_rooms_have_much_to_remedy(answered):
    kinds = Counter()
    for planned, answers in answered:
        for finding, answer in zip(planned.findings, answers, strict=True):
            kinds.update([finding.rule] if answer.best else ())
    assert {"bed-thin", "bed-thick", "fall-steep", "hidden-floor"} <= set(kinds)


def test_a_hidden_floor_for_which_no_bed_is_found_is_given_the_nearest_place_where_one_is(make_plan):
    """A Z whose drain stands 14 mm off corner G, round which no facets keep the fall: nor from anywhere nearer."""
    zed = [(0, 0), (900, 0), (900, 645), (1665, 645), (1665, 1157), (461, 1157), (461, 645), (0, 645)]
    words = {"drop": 500, "readings": [('"A"', 560)], "fall": "1.3 %", "rulebook": "uk-bs5385"}
    planned = plan(changed(make_plan(zed, at=(529, 659), **words).job, (("figures.fall_most", "30 %"),)))
    (finding,) = (finding for finding in planned.findings if finding.level is Level.STOP)
    assert finding.rule == "hidden-floor"
    answer = remedies(planned)[planned.findings.index(finding)]
    move = answer.best[0]
    assert move.says.endswith(": there a bed with level walls is found")
    assert not answer.is_open
    assert not plan(changed(planned.job, move.change)).has_stop
    turns = np.random.default_rng(3).uniform(0, 2 * np.pi, 50)
    fars = (move.figure - 1) * np.sqrt(np.linspace(0.05, 1, 50))
    for x, y in np.column_stack([529 + fars * np.cos(turns), 659 + fars * np.sin(turns)]).round():
        assert plan(changed(planned.job, (("drains[0].at", f"x {x:.0f} mm, y {y:.0f} mm"),))).has_stop
