"""A stop that stands already and grows graver is brought: nothing is cleared at its cost unsaid."""

from __future__ import annotations

import pytest

from engine.limits.findings import Level
from engine.plan import plan
from engine.remedies import changed, remedies

SQUARE = [(0, 0), (1200, 0), (1200, 1200), (0, 1200)]
FELT = (("floor.bond_coat", ""), ("floor.moisture_barrier", "felt"))


@pytest.fixture
def answered(make_plan):
    """A plan on a moisture barrier, and what is told of one of its stops."""

    def build(rule, drops, *, more=(), **words):
        readings = [(f'"{corner}"', drop) for corner, drop in zip("ABCD", drops, strict=True)]
        bare = make_plan(SQUARE, readings=readings, drop=508, size=150, **words)
        planned = plan(changed(bare.job, (*FELT, *more)))
        found = zip(planned.findings, remedies(planned), strict=True)
        return planned, next(answer.remedies for finding, answer in found if finding.rule == rule)

    return build


def _stops(planned):
    return {finding.rule for finding in planned.findings if finding.level is Level.STOP}


def _said(told, start):
    return [remedy for remedy in told if remedy.says.startswith(start)]


def test_a_bed_is_made_no_thinner_by_a_fall_that_is_too_low_as_it_is(answered):
    planned, told = answered("bed-thick", (549, 549, 549, 552), at=(600, 600), fall="1.7 %")
    assert {"fall-low", "bed-thick"} <= _stops(planned)
    (less,) = _said(told, "lower the fall")
    assert "fall-low" in less.brings
    (lower,) = _said(told, "lower the drain")
    assert lower.brings == ()


def test_walls_too_steep_are_not_lowered_where_they_fall_too_little_as_they_are(answered):
    planned, told = answered("fall-steep", (530, 530, 530, 530), at=(380, 600), bed="wall_height = 18")
    assert {"fall-low", "fall-steep"} <= _stops(planned)
    for lower in _said(told, "lower the walls"):
        assert "fall-low" in lower.brings
    assert told[0].brings == ()


def test_the_fall_that_the_code_asks_for_is_planned_though_the_bed_grows_steeper_and_deeper(answered):
    planned, told = answered("fall-low", (549, 549, 549, 552), at=(380, 600), fall="1.7 %")
    assert {"fall-low", "fall-steep", "bed-thick"} <= _stops(planned)
    assert told[0].says.startswith("plan a fall of at least")
    assert told[0].brings == ()


def test_no_drain_is_raised_for_a_curb_under_a_bed_that_is_too_thick(answered):
    curb = {"outline_extra": 'edges = { "A-B" = "curb" }', "more": (("curb.drop", "254 mm"),)}
    planned, told = answered("curb-high", (546, 546, 546, 553), at=(600, 600), **curb)
    assert {"curb-high", "bed-thick"} <= _stops(planned)
    (up,) = _said(told, "raise the drain")
    assert "bed-thick" in up.brings
    thick = next(a.remedies for f, a in zip(planned.findings, remedies(planned), strict=True) if f.rule == "bed-thick")
    for lower in _said(thick, "lower the drain"):
        assert "curb-high" in lower.brings


def test_a_caution_that_becomes_a_stop_is_brought(several):
    """Lowered to the third drain, the second makes the first stand over the bed all round, which does at one side."""
    drains = ((500, 530, 500), (470, 515, 500), (500, 380, 503))
    planned = several("rectangle = [1200, 1000]", *drains, shape="even-fall")
    proud = {
        finding: answer
        for finding, answer in zip(planned.findings, remedies(planned), strict=True)
        if finding.rule == "drain-proud"
    }
    assert {(found.level, found.drains) for found in proud} == {(Level.STOP, (1,)), (Level.CAUTION, (0,))}
    stop = next(answer for found, answer in proud.items() if found.level is Level.STOP)
    assert stop.remedies[0].says == "raise drain 3 by 3 mm: line reading 500 mm"
    lowered = plan(changed(planned.job, (("drains[1].drop", "503 mm"),)))
    assert [(found.level, found.drains) for found in lowered.findings if found.rule == "drain-proud"] == [
        (Level.STOP, (0,))
    ]
