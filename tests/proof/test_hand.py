"""Room for the hand by hand, and as it is told; see tests/validation/test_simulated_strips.py for simulation."""

from __future__ import annotations

import json

import pytest

from engine.sheets.json import plan_json
from engine.sheets.text import plan_text

ROOM = "rectangle = [1500, 1200]"


def planned(make_plan, **words):
    return make_plan(ROOM, **{"at": (650.0, 600.0), "drop": 500.0, "mark_step": 0.01, **words})


def test_two_equal_corners_by_hand(make_plan):
    """A plan at the least fall to two far corners, the near two with room to spare: 1 - 1/2 x 1/2."""
    found = planned(make_plan, at=(300.0, 600.0), mark_step=1e-4)
    assert found.rooms[0].chance == pytest.approx(0.75, abs=1e-3)
    assert [(spot.x, spot.y) for spot in found.rooms[0].bare] == [(1500.0, 0.0), (1500.0, 1200.0)]


def test_a_hand_of_ones_own_is_the_only_one_told(make_plan):
    found = planned(make_plan, bed="trueness = 2")
    assert [room.trueness for room in found.rooms] == [2.0]
    figures = json.loads(plan_json(found))["hand"]
    assert set(figures[0]) == {"trueness", "chance", "fall", "bare", "simulated"}


def test_where_the_least_is_the_most_no_plan_leaves_room(make_plan):
    text = plan_text(planned(make_plan, rulebook="us-accessible", shape="even-fall"))
    assert "no plan leaves room for such a hand" in " ".join(text.split())


def test_the_same_digits_every_time(make_plan):
    assert plan_json(planned(make_plan)) == plan_json(planned(make_plan))
