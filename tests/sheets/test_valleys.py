"""Valleys as text, as JSON, and how their figures came about."""

from __future__ import annotations

import json

import pytest

import engine
from engine.sheets.json import plan_json
from engine.sheets.text import plan_text
from engine.why import explained

ELL = [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)]
POST = [(200, 1300), (300, 1300), (300, 1400), (200, 1400)]
READINGS = [('"A"', 520.0), ('"C"', 522.0), ('"E"', 519.0)]


@pytest.fixture(scope="module")
def plan(make_plan):
    return make_plan(ELL, at=(1500, 450), drop=480.0, readings=READINGS)


def flat(plan):
    return " ".join(plan_text(plan).split())


def test_each_is_told_from_where_to_where_at_which_heights(plan):
    (line,) = plan.bed.valleys
    text = flat(plan)
    assert "VALLEYS, SET OUT BEFORE ANY MUD IS LAID" in text
    assert "from the flange's edge, at its height, to 731 mm from A-B and 731 mm from F-A" in text
    height = f"{line.high.value:.3g} mm above the drain"
    assert f"{height}, line reading {480 - line.high.value:.4g} mm" in text
    assert height in next(f.says for f in plan.findings if f.rule == "hidden-floor")


def test_straightedges_to_the_relay_are_told_as_such(plan):
    assert "To the valley's end 731 mm from A-B and 731 mm from F-A" in flat(plan)


def test_the_json_has_them_in_the_bed_and_only_there(plan, make_plan):
    bed = json.loads(plan_json(plan))["bed"]
    (line,) = plan.bed.valleys
    assert bed["valleys"] == [
        {
            "from": {"height": 0.0, "x": round(line.low.x, 3), "y": round(line.low.y, 3)},
            "to": {
                "height": round(line.high.value, 3),
                "x": round(line.high.x, 3),
                "y": round(line.high.y, 3),
            },
        }
    ]
    assert "ridges" not in bed
    open_room = make_plan([(0, 0), (1500, 0), (1500, 900), (0, 900)], at=(600, 400))
    assert "valleys" not in json.loads(plan_json(open_room))["bed"]


def test_the_same_job_has_the_same_bytes(plan):
    assert plan_json(engine.plan(plan.job)) == plan_json(plan)


def test_a_level_ridge_is_listed_beside_them(monkeypatch, make_job):
    monkeypatch.setattr("engine.bed.valley.choice.looped", lambda *_: None)
    # The rim of 51 is no other test's: beds are remembered.
    job = make_job(ELL, at=(1500, 450), size=102, drop=480.0, readings=READINGS, islands=[POST])
    cut = engine.plan(job)
    (ridge,) = json.loads(plan_json(cut))["bed"]["ridges"]
    assert ridge["from"]["height"] == ridge["to"]["height"] == cut.bed.wall_height
    assert "Level ridge:" in flat(cut)
    assert "a level ridge at the walls' height" in next(f.says for f in cut.findings if f.rule == "hidden-floor")


def test_the_wall_height_is_explained_by_its_own_figures(plan):
    _, paragraphs = explained(plan, "wall height")
    told = " ".join(f"{name}: {text}" for name, text in paragraphs)
    assert "Fall x longest way down a crease and along the valleys" in told
    assert f"{plan.bed.wall_height:g} mm" in told
    # 0.75 + 0.9 root 2 - 0.05 m at 1:48.
    assert "41 mm" in told
    assert "1972.8" in told
    _, paragraphs = explained(plan, "most fall")
    assert "What every such bed reaches" in dict(paragraphs)
