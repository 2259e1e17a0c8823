"""Drains whose drops are left out beside measured ones: they stand level with the first that was measured."""

from __future__ import annotations

import pytest

from engine.limits.findings import Level
from engine.plan import plan as planned
from engine.remedies import changed, remedies
from engine.sheets.text import plan_text
from engine.why import explained

ROW = "rectangle = [3000, 1000]"


@pytest.fixture(scope="module")
def of_drops(make_plan):
    """Three drains in a row with these drops, over a level floor 30 mm under the line's 530 mm."""

    def build(*drops, rough=530, **words):
        drains = [
            f'[[drains]]\nkind = "round"\nsize = 100\nat = {{ x = {500 + 1000 * i}, y = 500 }}\n'
            + ("" if drop is None else f"drop = {drop}\n")
            for i, drop in enumerate(drops)
        ]
        return make_plan(ROW, extra="".join(drains), readings=[('"A"', rough)], **words)

    return build


@pytest.mark.parametrize(
    ("drops", "stand"),
    [
        ((500, None, None), (500, 500, 500)),
        ((None, 500, None), (500, 500, 500)),
        ((None, 500, 503), (500, 500, 503)),
        ((500, None, 498), (500, 500, 498)),
    ],
)
def test_they_stand_level_with_the_first_measured_one(of_drops, drops, stand):
    plan = of_drops(*drops)
    assert [drain.drop for drain in plan.drains] == pytest.approx(stand)
    assert [drain.level for drain in plan.drains] == [drop is None for drop in drops]
    assert not any(drain.planned for drain in plan.drains)
    assert [drain.above_rough for drain in plan.drains] == pytest.approx([530 - drop for drop in stand])
    text = " ".join(plan_text(plan).split())
    assert text.count("left open: level with the first drain that was measured") == drops.count(None)


def test_all_left_open_are_planned_at_the_least_depth(of_drops):
    """Over a level floor the bed is thinnest at the rims: 3/4 in there."""
    plan = of_drops(None, None, None)
    assert [drain.above_rough for drain in plan.drains] == pytest.approx([0.75 * 25.4] * 3)
    assert all(drain.planned for drain in plan.drains)


def test_the_first_ones_height_is_explained_by_the_measured_one(of_drops):
    words = str(explained(of_drops(None, 500, None), "drain"))
    assert "it stands level with the first drain measured, 500 mm under the level line" in words


def test_those_left_open_go_along_when_the_measured_one_is_raised(of_drops):
    """A floor 10 mm under the flanges wants 9.05 mm more: 10 mm, to a whole one."""
    plan = of_drops(None, 520, None)
    thin = next(i for i, finding in enumerate(plan.findings) if finding.rule == "bed-thin")
    raised = remedies(plan)[thin].remedies[0]
    assert raised.change == (("drains[1].drop", "510 mm"),)
    after = planned(changed(plan.job, raised.change))
    assert [drain.drop for drain in after.drains] == [510, 510, 510]
    assert "bed-thin" not in {finding.rule for finding in after.findings if finding.level is not Level.NOTE}


@pytest.mark.parametrize(("shape", "alone"), [("even-fall", True), ("level-walls", False)])
def test_one_left_open_over_a_hump_is_told_how_high_it_must_stand(make_plan, shape, alone):
    """The floor there reads 505, and 19.05 of bed wants the flange at 485.95: 485, in whole ones.

    Alone it may stand so high with even fall; level walls then rise with it, too steeply for the measured drain.
    """
    drains = '[[drains]]\nkind = "round"\nsize = 100\nat = { x = 1800, y = 500 }\n'
    readings = [*((f'"{corner}"', 534) for corner in "ABCD"), ((1800, 500), 505)]
    words = {"shape": shape, "at": (600, 500), "size": 100, "drop": 500, "extra": drains}
    plan = make_plan("rectangle = [2400, 1000]", readings=readings, **words)
    thin = next(i for i, finding in enumerate(plan.findings) if finding.rule == "bed-thin")
    told = {remedy.says for remedy in remedies(plan)[thin].remedies if not remedy.brings}
    assert "raise every drain by 15 mm: line reading 485 mm" in told
    assert ("raise drain 2 by 15 mm: line reading 485 mm" in told) is alone
