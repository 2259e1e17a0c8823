"""Moves that no bound proves least: sought by planning places, and told by how far apart these were."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest
import shapely

from engine.limits.findings import Level
from engine.plan import plan as planned
from engine.remedies import changed, remedies
from engine.remedies.drain_moves import move_for_depth, move_for_falls
from engine.remedies.trials import Trials

NOTCHED = [(0, 0), (1090, 0), (1090, 670), (1030, 670), (1030, 840), (1090, 840), (1090, 1130), (0, 1130)]
ROOM = [(0, 0), (1200, 0), (1200, 1000), (0, 1000)]
TOP = (490, 500)
AROUND = [(490 + round(230 * np.cos(turn)), 500 + round(230 * np.sin(turn))) for turn in np.arange(8) * np.pi / 4]


def steep(plan):
    return next(finding for finding in plan.findings if finding.rule == "fall-steep")


def told_move(plan):
    """The move told of the fall, and how far apart its sentence says that places were tried [mm]."""
    answer = remedies(plan)[plan.findings.index(steep(plan))]
    assert answer.is_open
    move = next(remedy for remedy in answer.best if remedy.says.startswith("move the drain"))
    return move, float(re.search(r"of places (\d+) mm apart none nearer will do", move.says)[1])


def does(plan, x, y):
    after = planned(changed(plan.job, (("drains[0].at", f"x {x:.0f} mm, y {y:.0f} mm"),)))
    return not any(finding.rule == "fall-steep" or finding.level is Level.STOP for finding in after.findings)


@pytest.fixture(scope="module")
def notched(make_plan):
    """A room whose notch hides a strip of floor from where the drain could stand with the shortest move."""
    return make_plan(NOTCHED, at=(715, 635), drop=460, readings=[('"A"', 500)])


@pytest.fixture(scope="module")
def humped(make_plan):
    """A rough floor with a hump, 33 mm high, where runs are first alike enough: over the flange's top there."""
    readings = [*((f'"{corner}"', 500) for corner in "ABCD"), (TOP, 467), *((place, 500) for place in AROUND)]
    return make_plan(ROOM, at=(250, 500), drop=470, readings=readings)


class TestAMoveThatNeedsValleys:
    def test_it_clears_what_no_move_known_for_sure_does(self, notched):
        move, _ = told_move(notched)
        assert not list(move_for_falls(Trials(notched, search=0.0), steep(notched)))
        assert "fall-steep" in move.clears
        assert not move.brings

    def test_of_places_so_far_apart_none_nearer_does(self, notched):
        move, apart = told_move(notched)
        steps = np.arange(0.0, 1130.0, apart)
        x, y = (each.ravel() for each in np.meshgrid(steps, steps))
        far = np.hypot(x - 715, y - 635)
        order = np.argsort(np.where(far < move.figure, -far, np.inf))[:60]
        assert apart < 20
        assert (far[order] > 0.9 * move.figure).all()
        assert not any(does(notched, *place) for place in zip(x[order], y[order], strict=True))

    def test_a_longer_look_ends_with_places_that_are_half_an_inch_apart_at_most(self, notched):
        """Or a sixteenth of the move; none of those nearer does, by planning the farthest of them."""
        answer = remedies(replace(notched, patience=8.0))[notched.findings.index(steep(notched))]
        move = next(remedy for remedy in answer.best if remedy.says.startswith("move the drain"))
        assert not answer.is_open
        assert move.says.endswith("; of places 8 mm apart none nearer will do")
        assert move.figure <= told_move(notched)[0].figure
        x, y = (each.ravel() for each in np.meshgrid(np.arange(0.0, 1090.0, 8.0), np.arange(0.0, 1130.0, 8.0)))
        far = np.hypot(x - 715, y - 635)
        order = np.argsort(np.where(far < move.figure, -far, np.inf))[:60]
        assert not any(does(notched, *place) for place in zip(x[order], y[order], strict=True))

    @pytest.mark.parametrize(("patience", "last"), [(8.0, 8), (5000.0, 1)])
    def test_a_look_that_is_to_go_to_the_end_tries_all_places(self, notched, monkeypatch, patience, last):
        asked = []

        def first(search, every, _):
            asked.append(every)
            search._trials.left /= 2

        monkeypatch.setattr("engine.remedies.sought._Search._first", first)
        list(move_for_falls(Trials(replace(notched, patience=patience)), steep(notched)))
        assert asked[0] == 128
        assert asked[-1] == last

    def test_a_longer_look_goes_on_from_what_a_shorter_one_told(self, notched, monkeypatch):
        """Here of a move that the longer one, left no way to look, could not have found."""
        number = notched.findings.index(steep(notched))
        told = remedies(notched)
        monkeypatch.setattr("engine.remedies.sought._Search._first", lambda *_: None)
        monkeypatch.setattr("engine.remedies.sought._Search._beside", lambda *_: [])
        alone, after = (remedies(replace(notched, patience=8.0), None, before)[number] for before in ((), told))
        assert not any(remedy.says.startswith("move") for remedy in alone.best)
        assert [each.change for each in after.best][:1] == [each.change for each in told[number].best][:1]

    def test_none_round_it_that_is_nearer_does(self, notched):
        """By single steps to all sides."""
        move, _ = told_move(notched)
        place = np.array(re.search(r"x (\d+) mm, y (\d+) mm", move.change[0][1]).groups(), dtype=float)
        assert does(notched, *place)
        for a, b in place + np.array([(1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1), (0, -1), (1, -1)]):
            assert np.hypot(a - 715, b - 635) >= move.figure or not does(notched, a, b)


class TestWhereTheNearestBringAStop:
    def test_the_nearest_without_one_is_found(self, humped):
        """Up to 55 mm off the hump its top is under the flange; then the bed rises no faster than the most fall."""
        over = planned(changed(humped.job, (("drains[0].at", "x 540 mm, y 500 mm"),)))
        assert [finding.rule for finding in over.findings if finding.level is Level.STOP] == ["bed-below-floor"]
        answer = remedies(humped)[humped.findings.index(steep(humped))]
        (move,) = (remedy for remedy in answer.best if remedy.says.startswith("move the drain"))
        assert not answer.is_open
        assert not planned(changed(humped.job, move.change)).has_stop
        turns = np.linspace(0, 2 * np.pi, 40, endpoint=False)
        near = move.figure - 2
        ring = np.array([250, 500]) + near * np.column_stack([np.cos(turns), np.sin(turns)])
        inside = ring[((ring > 60) & (ring < np.array([1140, 940]))).all(axis=1)]
        assert not any(does(humped, *place) for place in inside.round())


def test_a_drain_is_moved_for_the_depth_as_far_as_the_bed_has_to_rise(make_plan):
    """From the top of a hump 3 mm over the flange: by the rim of 50 mm, and 48 times the 3 mm."""
    readings = [*((f'"{corner}"', 500) for corner in "ABCD"), (TOP, 467), *((place, 500) for place in AROUND)]
    plan = make_plan(ROOM, at=TOP, drop=470, readings=readings, shape="even-fall")
    (finding,) = (finding for finding in plan.findings if finding.rule == "bed-below-floor")
    idea = next(move_for_depth(Trials(plan), finding))
    assert 194 <= idea.figure <= 194.3  # the next one with whole coordinates
    assert not planned(changed(plan.job, idea.change)).has_stop


def planned_places(plan, outline, apart):
    """Which of the places so far apart do, by planning each."""
    inside = shapely.Polygon(outline).buffer(-51)
    low, high = np.array(outline).min(axis=0), np.array(outline).max(axis=0)
    places = [(x, y) for x in np.arange(low[0], high[0], apart) for y in np.arange(low[1], high[1], apart)]
    return [place for place in places if inside.contains(shapely.Point(place)) and does(plan, *place)]


def test_an_l_whose_falls_are_measured_square_is_told_that_no_place_does(make_plan):
    """Wherever the drain stands the nearest wall is less than 1 / 1.6 of the farthest way off it."""
    outline = [(0, 0), (936, 0), (936, 655), (629, 655), (629, 1492), (0, 1492)]
    plan = make_plan(outline, at=(343, 513), drop=460, readings=[('"A"', 500)], fall="1:80", rulebook="au-ncc")
    answer = remedies(plan)[plan.findings.index(steep(plan))]
    assert not any(remedy.says.startswith("move") for remedy in answer.best)
    assert not answer.is_open
    assert not planned_places(plan, outline, 45.0)


class TestWhereNotEachPlaceIsTried:
    def test_it_is_told_how_far_apart_those_lie_that_do_not_do(self, make_plan):
        """An L in which places near 500, 650 are ruled out by no bound, so that they have to be planned."""
        outline = [(0, 0), (1678, 0), (1678, 1260), (582, 1260), (582, 1701), (0, 1701)]
        plan = make_plan(outline, at=(130, 553), drop=500, readings=[('"A"', 560)], fall="1.3 %", rulebook="uk-bs5385")
        answer = remedies(plan)[plan.findings.index(steep(plan))]
        assert answer.is_open
        assert not any(remedy.says.startswith("move") for remedy in answer.best)
        told = (re.match(r"of places for a drain (\d+) mm apart none will do", says) for says in answer.ruled_out)
        apart = float(next(filter(None, told))[1])
        assert 0 < apart <= 128
        assert not planned_places(plan, outline, max(apart, 75.0))

    def test_places_half_an_inch_apart_are_all_that_is_wanted(self, make_plan):
        """In a smaller L, where these are soon tried."""
        outline = [(0, 0), (1175, 0), (1175, 882), (407, 882), (407, 1191), (0, 1191)]
        plan = make_plan(outline, at=(91, 387), drop=500, readings=[('"A"', 560)], fall="1.3 %", rulebook="uk-bs5385")
        answer = remedies(plan)[plan.findings.index(steep(plan))]
        assert not answer.is_open
        assert "of places for a drain 8 mm apart none will do" in answer.ruled_out
        assert not planned_places(plan, outline, 72.0)
