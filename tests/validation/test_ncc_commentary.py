"""Where level walls cannot meet a least and a most fall: the Australian example.

Source: NCC 2022 (Australia), commentary on falls to wastes, fall measured square from the wall to the waste:
1800 x 900 mm with one central waste cannot meet 1:80 to 1:50, because 900 / 80 = 11.25 mm and 450 / 11.25 = 1:40.
The widest room that can is 80 / 50 = 1.6 times longer than wide. Recomputed.
"""

from __future__ import annotations

import pytest

from engine.limits.findings import Level
from engine.plan import plan as planned
from engine.remedies import changed, remedies

LONG_RUN, SHORT_RUN = 1800 / 2, 900 / 2  # [mm]
LEAST, MOST = 1 / 80, 1 / 50
WALL_HEIGHT = LONG_RUN * LEAST  # 11.25 mm
WIDEST = MOST / LEAST  # 1.6
RADIUS = 50.0  # [mm] rooms are made longer by the flange so that the runs are the example's
TOLERANCE = 1e-12  # [-] runs and heights are exact here; only the division rounds


@pytest.fixture(scope="session")
def room(make_plan):
    """A room with the waste in its middle and these square runs from the flange's edge to its walls."""

    def build(long, short, **words):
        sides = 2 * (long + RADIUS), 2 * (short + RADIUS)
        return make_plan(
            f"rectangle = [{sides[0]!r}, {sides[1]!r}]",
            at=(sides[0] / 2, sides[1] / 2),
            size=2 * RADIUS,
            rulebook="au-ncc",
            **{"fall": "1:80", "mark_step": 0.01, **words},
        )

    return build


def stops(plan):
    return {finding.rule for finding in plan.findings if finding.level is Level.STOP}


@pytest.mark.parametrize("kind", ["round", "square"])
def test_the_long_room_gets_one_in_forty_across(room, kind):
    bed = room(LONG_RUN, SHORT_RUN, kind=kind).bed
    assert pytest.approx(11.25) == WALL_HEIGHT
    assert bed.wall_height == pytest.approx(WALL_HEIGHT, rel=TOLERANCE)
    assert bed.least_fall == pytest.approx(1 / 80, rel=TOLERANCE)
    assert bed.most_fall == pytest.approx(1 / 40, rel=TOLERANCE)


def test_the_long_room_is_refused_whatever_the_wall_height(room):
    assert "fall-steep" in stops(room(LONG_RUN, SHORT_RUN))
    assert "fall-low" in stops(room(LONG_RUN, SHORT_RUN, bed=f"wall_height = {SHORT_RUN * MOST}"))
    both = stops(room(LONG_RUN, SHORT_RUN, bed="wall_height = 10.0"))
    assert {"fall-steep", "fall-low"} <= both
    assert "runs-unequal" in {finding.rule for finding in room(LONG_RUN, SHORT_RUN).findings}


def test_the_widest_room_passes_and_a_wider_one_does_not(room):
    short = 450.0
    assert {"fall-steep", "fall-low"}.isdisjoint(stops(room(WIDEST * short, short)))
    assert "fall-steep" in stops(room(WIDEST * short * 1.001, short))


def test_along_the_diagonal_the_same_bed_is_flatter_than_the_square_figure(room):
    """The fall is measured square: a corner's line is longer, and is not what is judged."""
    plan = room(600.0, 450.0)
    corner = (650**2 + 500**2) ** 0.5 - RADIUS
    assert plan.bed.wall_height / corner < LEAST
    assert plan.bed.least_fall == pytest.approx(LEAST, rel=TOLERANCE)


class TestWhatTheRemediesSay:
    """The same room, answered: no place will do, and what will instead."""

    @staticmethod
    def answer(plan, rule):
        at = next(i for i, finding in enumerate(plan.findings) if finding.rule == rule)
        return remedies(plan)[at]

    def test_that_no_place_of_one_waste_makes_the_long_room_comply(self, room):
        """Wherever it stands, the longest square run is at least 900 and the shortest at most 450 mm."""
        answer = self.answer(room(LONG_RUN, SHORT_RUN), "fall-steep")
        (says,) = answer.ruled_out
        assert says == (
            "no place of this one drain makes the runs equal enough for level walls: at best the longest is 2.00 times "
            "the shortest, and 1.60 times is allowed"
        )

    def test_that_a_channel_along_the_long_wall_makes_it_comply(self, room):
        plan = room(LONG_RUN, SHORT_RUN)
        answer = self.answer(plan, "fall-steep")
        channel = next(way for way in answer.best if "channel" in way.says)
        after = planned(changed(plan.job, channel.change))
        assert not stops(after) & {"fall-steep", "fall-low"}
        assert after.bed.least_fall == after.bed.most_fall == LEAST
        # 1000 mm less the channel's 65 and the 0.5 that its middle stands farther off than half of it.
        assert after.bed.longest_run == pytest.approx(1000 - 65 - 0.5, abs=0.6)
        assert "along A-B" in channel.says

    def test_how_far_the_waste_must_go_in_a_room_that_can(self, make_plan):
        """Runs of 1.5 to 1 with the waste in the middle: 100 mm off it they are 775 to 450, more than 1.6 times.

        The nearest place that complies: (1350 / 2 + x) / 450 = 1.6, so x = 45 mm off the middle and a hair less for
        the marks.
        """
        plan = make_plan(
            "rectangle = [1450, 1000]",
            at=(825, 500),
            size=2 * RADIUS,
            rulebook="au-ncc",
            fall="1:80",
            mark_step=0.01,
        )
        assert "fall-steep" in stops(plan)
        move = next(way for way in self.answer(plan, "fall-steep").best if way.says.startswith("move"))
        after = planned(changed(plan.job, move.change))
        assert not stops(after) & {"fall-steep", "fall-low"}
        x, y = after.drains[0].flange.centre.tolist()
        assert (x, y) == (pytest.approx(725 + 45, abs=1.0), 500)
        assert x <= 725 + 45
