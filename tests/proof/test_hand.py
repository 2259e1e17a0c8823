"""Room for the hand: the product against simulated strips, and the fall that leaves room against planning with it."""

from __future__ import annotations

import json
from statistics import NormalDist

import numpy as np
import pytest

from engine.sheets.json import plan_json
from engine.sheets.text import plan_text

ROOM = "rectangle = [1500, 1200]"
TRUE = NormalDist().inv_cdf(0.975)
SAMPLES = 200_000


def planned(make_plan, **words):
    return make_plan(ROOM, **{"at": (650.0, 600.0), "drop": 500.0, "mark_step": 0.01, **words})


def simulated(plan, trueness, fall):
    """How often some line of level walls ends below a least fall, strips straight between corners that err alone."""
    rng = np.random.Generator(np.random.PCG64(3))
    corners = plan.outline.corners
    errors = rng.normal(0.0, trueness / TRUE, (SAMPLES, 4))
    part = np.linspace(0.0, 1.0, 13)
    low = np.zeros(SAMPLES, dtype=bool)
    for i in range(4):
        k = (i + 1) % 4
        places = corners[i] + part[:, None] * (corners[k] - corners[i])
        runs = np.hypot(*(places - plan.drains[0].flange.centre).T) - plan.drains[0].flange.half
        walls = plan.bed.wall_height + errors[:, [i]] * (1 - part) + errors[:, [k]] * part
        low |= (walls / runs < fall).any(axis=1)
    return low.mean()


@pytest.mark.parametrize("fall", ["1:48", "1:45", "1:42"])
def test_the_chance_is_what_simulated_strips_show(make_plan, fall):
    found = planned(make_plan, fall=fall)
    (one, other) = found.rooms
    assert (one.trueness, other.trueness) == (1.5, 3.0)
    for room in found.rooms:
        assert room.chance == pytest.approx(simulated(found, room.trueness, 1 / 48), abs=0.005)


def test_with_the_fall_to_plan_all_pass_19_times_in_20(make_plan):
    wanted = planned(make_plan).rooms[0].fall
    found = planned(make_plan, fall=f"{100 * wanted:.6f} %")
    assert found.rooms[0].chance == pytest.approx(0.05, abs=0.001)
    assert simulated(found, 1.5, 1 / 48) == pytest.approx(0.05, abs=0.005)


def test_two_equal_corners_by_hand(make_plan):
    """A plan at the least fall to two far corners, the near two with room to spare: 1 - 1/2 x 1/2."""
    found = planned(make_plan, at=(300.0, 600.0), mark_step=1e-4)
    assert found.rooms[0].chance == pytest.approx(0.75, abs=1e-3)
    assert [(spot.x, spot.y) for spot in found.rooms[0].bare] == [(1500.0, 0.0), (1500.0, 1200.0)]


def test_a_hand_of_ones_own_is_the_only_one_told(make_plan):
    found = planned(make_plan, bed="trueness = 2")
    assert [room.trueness for room in found.rooms] == [2.0]
    figures = json.loads(plan_json(found))["hand"]
    assert set(figures[0]) == {"trueness", "chance", "fall", "bare"}


def test_where_the_least_is_the_most_no_plan_leaves_room(make_plan):
    text = plan_text(planned(make_plan, rulebook="us-accessible", shape="even-fall"))
    assert "no plan leaves room for such a hand" in " ".join(text.split())


def test_the_same_digits_every_time(make_plan):
    assert plan_json(planned(make_plan)) == plan_json(planned(make_plan))
