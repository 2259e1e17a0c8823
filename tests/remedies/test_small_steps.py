"""Small steps of walls left out of the outline: a bed without valleys, all else where it was."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
import shapely

from engine.bed.level_walls import LevelWalls
from engine.limits.findings import Level
from engine.plan import plan
from engine.remedies import changed, remedies

STEP = 25.4 / 16  # [mm] of the marks
DRAIN = 'kind = "round"\nsize = "4 in"\ndrop = "20 in"\nat = { "A-B" = "20 in", "H-A" = "22 in" }'
READINGS = [("A", "21 in"), ("D", "21 in"), ("G", "21 in"), ((9, 18), "21 in"), ((40, 30), "21 in")]


def niche(deep, wide=6, *, more="", last="H-A"):
    """A walked floor of 46 by 40 inches with a niche in its right wall from C to F."""
    walls = [(46, 90), (20, -90), (deep, 90), (wide, 90), (deep, -90), (20 - wide, 90), (46, 90), (40, 90)]
    walked = ", ".join(f'{{ length = "{length} in", turn = {turn} }}' for length, turn in walls)
    return f'walls = [{walked}]\nedges = {{ "{last}" = "curb" }}\n{more}'


@pytest.fixture
def planned(make):
    def build(outline, drains=DRAIN):
        return plan(make(READINGS, outline=outline, drains=drains, curb='drop = "17 in"'))

    return build


def leaves(base):
    """The changes that leave steps out, of all findings."""
    found = itertools.chain.from_iterable(answer.remedies for answer in remedies(base))
    return [remedy for remedy in found if remedy.says.startswith("leave the steps")]


def places(planned):
    return np.array([(station.x, station.y) for station in planned.readings])


def test_a_niche_no_deeper_than_a_step_of_the_marks_allows_is_left_out(planned):
    base = planned(niche("1/2"))
    assert "fall-steep" in {finding.rule for finding in base.findings if finding.level is Level.STOP}
    remedy = leaves(base)[0]
    assert "C, D, E, F" in remedy.says
    assert "none deeper than 1/2 in" in remedy.says
    after = plan(changed(base.job, remedy.change))
    assert isinstance(after.bed, LevelWalls)
    assert not {finding.rule for finding in after.findings} & {"fall-steep", "hidden-floor"}
    assert np.allclose(after.outline.corners, base.outline.corners[[0, 1, 6, 7]])
    assert after.outline.misclosure == pytest.approx(0.0, abs=0.2)  # turns are written to a thousandth


def test_all_that_named_corners_and_walls_stays_in_its_place(planned):
    base = planned(niche("1/2", more='tape = [{ from = "A", to = "G", length = "61 in" }]'))
    remedy = leaves(base)[0]
    after = plan(changed(base.job, remedy.change))
    assert np.abs(places(after) - places(base)).max() < STEP / 2
    assert after.drains[0].flange.centre == pytest.approx(base.drains[0].flange.centre, abs=0.5)
    assert dict(after.job.outline.edges) == {"D-A": "curb"}
    assert [(tape.start, tape.end) for tape in after.job.outline.tape] == [("A", "C")]


@pytest.mark.parametrize("deep", ["1/8", "3/8", "3/4", "1 1/4"])
def test_the_bed_is_off_by_less_than_told(planned, deep):
    base = planned(niche(deep))
    for remedy in leaves(base):
        after = plan(changed(base.job, remedy.change))
        away = shapely.distance(after.outline.polygon.exterior, shapely.points(base.outline.corners))
        assert away.max() <= remedy.figure + 1e-6
        off = after.bed.height(base.outline.corners) - after.bed.wall_height
        assert np.abs(off).max() < STEP
    assert leaves(base) or deep == "1 1/4"


def test_deeper_steps_and_those_at_a_curb_stay(planned):
    assert not leaves(planned(niche("1 3/4")))
    assert leaves(planned(niche("1/2")))
    assert not leaves(planned(niche("1/2", last="D-E")))


def test_an_outline_of_corners_is_left_its_others(make_plan):
    corners = [(0, 0), (700, 0), (700, -6), (760, -6), (760, 0), (1200, 0), (1200, 900), (0, 900)]
    readings = [('"A"', 500), ('"D"', 500), ('"F"', 500), ((300, 850), 500), ((1200, 450), 500)]
    base = make_plan(corners, at=(500, 450), shape="level-walls", drop=460, readings=readings)
    remedy = leaves(base)[0]
    after = plan(changed(base.job, remedy.change))
    assert np.array_equal(after.outline.corners, np.array(corners, float)[[0, 5, 6, 7]])
    assert ("readings[2].at", "B") in remedy.change
    assert ("readings[1].at", "x 760 mm, y -6 mm") in remedy.change
    assert np.abs(places(after) - places(base)).max() < STEP / 2
