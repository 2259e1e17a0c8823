"""A depth limit kept by another fall, on beds of every shape: a step less of it does not keep the limit."""

from __future__ import annotations

import pytest

from engine.plan import plan as planned
from engine.quantities import format_fall
from engine.remedies import changed
from engine.remedies.falls import set_fall
from engine.remedies.trials import FALL_STEP, Trials

ELL = [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)]
SECOND = '[[drains]]\nkind = "round"\nsize = 100\nat = { x = 450, y = 1500 }\ndrop = 460\n'
STEEP = '[figures]\nfall_most = "60 %"\n'
LOW = [(place, 505) for place in ('"A"', (1400, 450), (450, 1500))]
THICK = ("bed-thick", [], "most_depth = 58", 1)


@pytest.mark.parametrize("more", ["", SECOND], ids=["one drain", "two drains"])
@pytest.mark.parametrize(
    ("shape", "case"),
    [
        ("level-walls", THICK),
        ("even-fall", THICK),
        # High at a corner, where more fall lifts the bed off the floor.
        ("level-walls", ("bed-thin", [('"C"', 438)], "least_depth = 35\nmost_depth = 200", -1)),
        ("even-fall", ("bed-thin", [('"C"', 472)], "least_depth = 40\nmost_depth = 200", -1)),
    ],
)
def test_the_next_fall_on_the_step_that_keeps_it_is_told(make_plan, shape, more, case):
    rule, high, bed, way = case
    plan = make_plan(
        ELL, at=(1400, 450), drop=460, shape=shape, fall="2.5 %", readings=LOW + high, bed=bed, extra=more + STEEP
    )
    (finding,) = (finding for finding in plan.findings if finding.rule == rule)
    (idea,) = set_fall(Trials(plan), finding)
    kept, less = (
        planned(changed(plan.job, (("bed.fall", format_fall(fall, plan.job.units)),)))
        for fall in (idea.figure, idea.figure + way * FALL_STEP[plan.job.units])
    )
    assert idea.change == (("bed.fall", format_fall(idea.figure, plan.job.units)),)
    assert not any(found.rule == rule for found in kept.findings)
    assert any(found.rule == rule for found in less.findings)
