"""A drain moved where a ridge from an inward corner parts the floor, and words about shorter moves."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engine.plan import plan
from engine.remedies import changed, remedies

ELL = [(0, 0), (2130, 0), (2130, 615), (1079, 615), (1079, 1254), (0, 1254)]
SECOND = '[[drains]]\nkind = "round"\nsize = 150\nat = { x = 1674, y = 283 }\ndrop = 500\n'
FALLS = '[figures]\nfall_most = "22.212 %"\n'


@pytest.fixture
def over_a_wall(make_plan):
    """An L with two drains, the flange of the first over a wall."""
    readings = list(zip(ELL, (555, 545, 542, 547, 544, 549), strict=True))
    words = {"at": (546, 44), "size": 150, "kind": "square", "drop": 500, "readings": readings}
    return make_plan(ELL, bed="least_depth = 3\nmost_depth = 150", extra=SECOND + FALLS, **words)


def answer(planned, rule):
    return next(a for f, a in zip(planned.findings, remedies(planned), strict=True) if f.rule == rule)


def stops(planned):
    return {finding.rule for finding in planned.findings if finding.level == "stop"}


def test_a_ridge_that_leaves_a_flange_no_room_is_none(over_a_wall):
    """A step nearer the flange would lie 1.1 mm off a ridge: of the ridges that are left the next ones are taken."""
    found = answer(over_a_wall, "flange-over-wall").best
    (move,) = (way for way in found if "the bed keeps its limits" in way.says)
    assert move.change == (("drains[0].at", "x 579 mm, y 184 mm"),)
    assert stops(over_a_wall) == {"flange-over-wall"}
    assert not stops(plan(changed(over_a_wall.job, move.change)))
    assert "fall-steep" in stops(plan(changed(over_a_wall.job, (("drains[0].at", "x 578 mm, y 184 mm"),))))


def test_where_a_shorter_move_may_do_the_look_is_open_and_a_longer_one_ends_it(make_plan):
    ell = [(0, 0), (1154, 0), (1154, 840), (574, 840), (574, 1395), (0, 1395)]
    readings = [
        *zip((ell[0], ell[1], ell[3], ell[4], ell[5]), (533, 527, 528, 523, 522), strict=True),
        ((244, 146), 528),
    ]
    bed, falls = "least_depth = 3\nmost_depth = 150", '[figures]\nfall_most = "29.914 %"\n'
    planned = make_plan(ell, at=(593, 51), size=150, readings=readings, bed=bed, extra=falls)
    for patience, is_open in ((1.0, True), (8.0, False)):
        found = answer(replace(planned, patience=patience), "flange-over-wall")
        assert any("a shorter move may do" in way.says for way in found.best) == is_open
        assert found.is_open == is_open
