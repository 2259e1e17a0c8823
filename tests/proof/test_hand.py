"""Room for the hand by hand, and as it is told; see tests/validation/test_simulated_strips.py for simulation."""

from __future__ import annotations

import json
import math
from statistics import NormalDist

import pytest

from engine.proof import hand
from engine.quantities import Units
from engine.sheets.json import plan_json
from engine.sheets.sure_words import _apart
from engine.sheets.text import plan_text
from engine.survey.spot import Spot

ROOM = "rectangle = [1500, 1200]"


def planned(make_plan, outline=ROOM, **words):
    return make_plan(outline, **{"at": (650.0, 600.0), "drop": 500.0, "mark_step": 0.01, **words})


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


def test_beside_a_channel_near_a_wall_the_level_from_its_edge_makes_truer(make_plan):
    """1800 x 900, a channel's edge 25 mm off B-C: marks each by themselves, out by as much less as 2 ft is nearer."""
    ends = "from = { x = 1740, y = 20 }\nto = { x = 1740, y = 880 }"
    drain = f'[[drains]]\nkind = "channel"\nsize = 70\n{ends}\ndrop = 500\n'
    room = "rectangle = [1800, 900]"
    found = make_plan(room, shape="plane", fall="1:44", mark_step=1e-4, extra=drain, bed="trueness = 1.5")
    runs = [1705 - 300 * i for i in range(6)] * 2 + [1705, 1705] + [25] * 4
    out = [1.5 / 1.959964 * min(run / 609.6, 1) for run in runs]
    all_pass = math.prod(NormalDist().cdf(run * (1 / 44 - 1 / 48) / by) for run, by in zip(runs, out, strict=True))
    assert found.rooms[0].chance == pytest.approx(1 - all_pass, abs=2e-4)
    passes = math.prod(
        NormalDist().cdf(run * (found.rooms[0].fall - 1 / 48) / by) for run, by in zip(runs, out, strict=True)
    )
    assert passes == pytest.approx(0.95, abs=1e-5)
    assert found.rooms[0].fall < 1 / 40


def test_where_no_fall_up_to_the_most_passes_that_is_said_in_place_of_one(make_plan):
    """Level walls are 80 mm from the flange on one side, 1350 mm on the other, and too steep on the near one."""
    text = " ".join(plan_text(planned(make_plan, at=(150.0, 600.0), bed="trueness = 3")).split())
    assert "no room for error: a fall with which all pass 19 times in 20 is over the most, 1/2 in/ft" in text
    assert "plan a fall of" not in text


def test_of_two_walls_faced_at_one_corner_the_farther_counts(make_plan):
    """B points into the room: the drain at (520, 1000) faces both its walls there, B-C 428000 / sqrt(272500) away."""
    room = [(0, 0), (500, 150), (1000, 0), (1000, 1200), (0, 1200)]
    words = {"at": (520.0, 1000.0), "rulebook": "au-ncc", "fall": "1:78", "bed": "trueness = 1.5"}
    found = planned(make_plan, outline=room, **words)
    run = 428000 / math.sqrt(272500) - 50
    assert found.bed.longest_run == pytest.approx(run)
    low = NormalDist(0, 1.5 / 1.959964).cdf(run / 80 - found.bed.wall_height)
    assert found.rooms[0].chance == pytest.approx(low, abs=0.01)


def test_where_the_least_is_the_most_no_plan_leaves_room(make_plan):
    text = plan_text(planned(make_plan, rulebook="us-accessible", shape="even-fall", mark_step=0.5))
    assert "No plan of this shape with marks to 0.5 mm leaves room for such a hand" in " ".join(text.split())


def test_marks_that_are_rounded_up_past_the_most_leave_no_room(make_plan):
    """Corners 910 mm from the flange, 19 mm up, and 21 mm for such a hand; 550 mm off walls may be 22.9 mm high."""
    text = {}
    for step in (0.5, 8.0):
        found = planned(make_plan, at=(750.0, 600.0), mark_step=step, bed="trueness = 1.5")
        text[step] = " ".join(plan_text(found).split())
    assert "plan a fall of" in text[0.5]
    assert "No plan of this shape with marks to 8 mm leaves room" in text[8.0]


def test_the_same_digits_every_time(make_plan):
    assert plan_json(planned(make_plan)) == plan_json(planned(make_plan))


def test_in_blocks_of_any_size_rooms_have_the_same_digits(make_plan, monkeypatch):
    words = {"rulebook": "au-ncc", "fall": "1:79", "bed": "trueness = 1.5"}
    in_blocks = planned(make_plan, **words).rooms
    monkeypatch.setattr(hand, "_BLOCK", hand.ROOMS)
    assert in_blocks[0].simulated == hand.ROOMS
    assert planned(make_plan, **words).rooms == in_blocks


def test_where_a_strip_lies_flat_over_a_ridge_no_fall_is_told(make_plan):
    """Channels 300 mm apart at marks of A-B: a strip from mark to mark lies flat, where the bed rises to a ridge."""
    head, tail = '[[drains]]\nkind = "channel"\nsize = 60\ndrop = 500\n', ", y = 300 }\n"
    drains = "".join(f"{head}from = {{ x = {x}{tail}to = {{ x = {x}, y = 900 }}\n" for x in (600, 900))
    found = make_plan(ROOM, shape="plane", rulebook="nz-e3", fall="1:40", extra=drains, bed="trueness = 2")
    (room,) = json.loads(plan_json(found))["hand"]
    assert (room["chance"], room["fall"]) == (1.0, None)
    assert "no fall leaves room for such a hand" in " ".join(plan_text(found).split())


def test_of_neighbouring_places_that_say_the_same_one_is_named():
    """Within 2 ft and told alike: 23 in on is the first's neighbour, 25 in on is not, nor is other room beside it."""
    inch = 25.4
    bare = [Spot(0.1, 0.0, 0.0), Spot(0.2, 23 * inch, 0.0), Spot(0.3, 25 * inch, 0.0), Spot(inch / 32, 1.0, 0.0)]
    told = [(str(left), round(spot.x)) for left, spot in _apart(bare, Units.INCH)]
    assert told == [("less than 1/32 in", 0), ("less than 1/32 in", 635), ("only 1/32 in", 1)]


def test_a_line_steeper_than_the_most_counts_as_one_that_passes(make_plan):
    """The same room where no line may be steeper than 1:47: too steep is a stop, and no less likely to drain."""
    usual, strict = (planned(make_plan, extra=own) for own in ("", '[figures]\nfall_most = "1:47"\n'))
    assert "fall-steep" in {found.rule for found in strict.findings} - {found.rule for found in usual.findings}
    assert [room.chance for room in strict.rooms] == [room.chance for room in usual.rooms]
    assert "Only falls that end too low are counted" in " ".join(plan_text(strict).split())
