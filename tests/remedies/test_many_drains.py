"""Remedies where more drains stand than can all be tried by planning: cells of 1000 mm, one drain off its middle."""

from __future__ import annotations

import re

import numpy as np
import pytest

from engine.plan import plan as planned
from engine.remedies import changed, remedies
from engine.remedies.several import level_with_others, move_one
from engine.remedies.trials import Trials

ROW = [(0, 0), (7000, 0), (7000, 1000), (0, 1000)]
ELL = [(0, 0), (4000, 0), (4000, 1000), (1000, 1000), (1000, 5000), (0, 5000)]
YOU = [(0, 0), (3000, 0), (3000, 4000), (2000, 4000), (2000, 1000), (1000, 1000), (1000, 3000), (0, 3000)]
IN_ROW = [(500 + 1000 * i, 500) for i in range(7)]
IN_ELL = [*IN_ROW[:4], *((500, 1500 + 1000 * i) for i in range(4))]
IN_YOU = [*IN_ROW[:3], (500, 1500), (500, 2500), (2500, 1500), (2500, 2500), (2500, 3500)]


def floor(several, ring, places, off):
    """The plan of drains at these places, one of them off its own."""
    number, place = off
    return several(ring, *((x, y, 500) for x, y in [*places[:number], place, *places[number + 1 :]]))


def steep(plan):
    return [finding for finding in plan.findings if finding.rule == "fall-steep"]


@pytest.mark.parametrize(
    ("ring", "places", "off", "says"),
    [
        (ROW, IN_ROW, (2, (2465, 283)), "move drain 3 by 127 mm, to x 2465 mm, y 410 mm"),
        (ELL, IN_ELL, (0, (395, 219)), "move drain 1 by 167 mm, to x 395 mm, y 386 mm"),
        (YOU, IN_YOU, (2, (2684, 263)), "move drain 3 by 143 mm, to x 2613 mm, y 386 mm"),
    ],
)
def test_one_too_near_a_wall_is_moved_as_little_as_its_run_asks_for(several, ring, places, off, says):
    """Walls 15 mm high ask for 24 x 15 = 360 mm from the flange of 50, those 14 mm high for 336."""
    plan = floor(several, ring, places, off)
    number, home = off
    (finding,) = steep(plan)
    assert finding.drains == (number,)
    move = next(move_one(Trials(plan), finding))
    assert move.says == f"{says}: there its part is gentle enough"
    after = planned(changed(plan.job, move.change))
    assert after.bed.beds[number].most_fall <= 1 / 24
    assert not after.has_stop
    turns = np.arange(4) * np.pi / 2 + 0.3
    for x, y in np.array(home) + (move.figure - 2) * np.column_stack([np.cos(turns), np.sin(turns)]):
        assert planned(changed(plan.job, ((f"drains[{number}].at", f"x {x:.0f} mm, y {y:.0f} mm"),))).has_stop


def test_the_least_change_of_height_is_found(several):
    """Every other one of seven stands 3 mm lower: from those walls that are high enough for them are too steep."""
    row = several(ROW, *((x, y, 500 + 3 * (i % 2)) for i, (x, y) in enumerate(IN_ROW)))
    finding = steep(row)[0]
    level = next(level_with_others(Trials(row), finding))
    assert level.says == "lower drain 1 by 2 mm: line reading 502 mm"
    remedy = Trials(row).tried(finding, level)
    assert remedy is not None
    assert not remedy.brings
    for number, drain in enumerate(row.job.drains):
        for by in (-1, 1):
            less = planned(changed(row.job, ((f"drains[{number}].drop", f"{drain.drop.value + by:.0f} mm"),)))
            assert (0,) in [other.drains for other in steep(less)]


class TestWhereNoMoreMayBeReckoned:
    """What is known of the parts of the floor runs out, so that places are planned."""

    @pytest.fixture(autouse=True)
    def spent(self, monkeypatch):
        monkeypatch.setattr("engine.remedies.parted_moves.Known.left", 0.0)

    def test_it_is_told_of_places_how_far_apart_none_nearer_does(self, several):
        plan = floor(several, ROW, IN_ROW, (2, (2465, 283)))
        (finding,) = steep(plan)
        move = next(move_one(Trials(plan), finding))
        apart = int(re.search(r"of places (\d+) mm apart none nearer will do", move.says)[1])
        assert not planned(changed(plan.job, move.change)).has_stop
        assert 127 <= move.figure <= 127 + apart

    def test_where_none_is_found_that_is_told(self, several):
        plan = floor(several, ELL, IN_ELL, (0, (395, 219)))
        trials = Trials(plan, search=2.0)
        assert not list(move_one(trials, steep(plan)[0]))
        assert trials.untried["at"].startswith("more changes")


def test_what_may_be_reckoned_is_shared_with_the_trials_of_a_second_change(several):
    """Else each of two changes tried together would take as long as all single ones."""
    trials = Trials(floor(several, ROW, IN_ROW, (2, (2465, 283))))
    whole = trials.known.left
    after = trials.after((("drains[0].drop", "501 mm"),))
    assert trials.known.left + after.known.left == whole
    assert after.known.left > 0


@pytest.mark.parametrize("number", [1, 4])
def test_a_drain_that_stands_off_its_place_is_told_to_move_no_farther_than_back(several, number):
    """An L of squares, a drain in each middle: there no part is too steep."""
    squares = [(0, 0), (1, 0), (2, 0), (3, 0), (0, 1), (0, 2)]
    ring = [(0, 0), (4000, 0), (4000, 1000), (1000, 1000), (1000, 3000), (0, 3000)]
    places = [(1000 * i + 500, 1000 * k + 500) for i, k in squares]
    assert not steep(several(ring, *((x, y, 500) for x, y in places), fall="2.1 %"))
    x, y = places[number]
    places[number] = (x + 100, y - 120)
    plan = several(ring, *((x, y, 500) for x, y in places), fall="2.1 %")
    assert steep(plan)
    for finding in steep(plan):
        answer = remedies(plan)[plan.findings.index(finding)]
        assert any(move.figure <= np.hypot(100, 120) for move in answer.best if move.says.startswith("move"))
