"""Changes that are looked for only where no lighter one alone will do."""

from __future__ import annotations

import pytest

from engine.limits.findings import Level
from engine.plan import plan as planned
from engine.remedies import changed, remedies
from engine.remedies.by_rule import _first_that_clears
from engine.remedies.falls import steeper
from engine.remedies.several import leave_out
from engine.remedies.shapes import even_at_another_fall
from engine.remedies.trials import Trials

ROOM = "rectangle = [1200, 1000]"


def found_of(plan, rule, drain=0):
    return next(found for found in plan.findings if found.rule == rule and found.drains in ((drain,), ()))


def alone(plan, finding, maker):
    """The first change of a maker that clears a finding, and the rules of the changed job's findings."""
    trials = Trials(plan)
    remedy = _first_that_clears(trials, finding, maker(trials, finding))
    return remedy, [found.rule for found in planned(changed(plan.job, remedy.change)).findings]


class TestDrainsAtUnlikeHeights:
    """15 mm, 600 mm apart: the higher stands proud on all sides to 15 / 600, 2.5 %, and on one to 15 / 500, 3 %."""

    @pytest.fixture
    def even(self, several):
        return several(ROOM, (300, 500, 500), (900, 500, 515), shape="even-fall")

    @pytest.fixture
    def level(self, several):
        return several(ROOM, (300, 500, 500), (900, 500, 515))

    def test_a_steeper_fall_takes_the_water_of_the_higher_in(self, even):
        remedy, left = alone(even, found_of(even, "drain-proud"), steeper)
        assert remedy.says == "raise the fall to 3 %"
        assert "drain-proud" not in left
        less = planned(changed(even.job, (("bed.fall", "2.95 %"),)))
        assert found_of(less, "drain-proud")

    def test_it_is_told_beside_the_drain_set_lower(self, even):
        says = [way.says for way in remedies(even)[even.findings.index(found_of(even, "drain-proud"))].best]
        assert "raise the fall to 3 %" in says

    def test_an_even_fall_is_taken_so_steep_that_each_drain_takes_water(self, level):
        remedy, left = alone(level, found_of(level, "fall-steep"), even_at_another_fall)
        assert remedy.says.startswith("take an even fall at 2.5 %, with the walls no longer level: marks from ")
        assert remedy.change == (("bed.shape", "even-fall"), ("bed.fall", "2.5 %"))
        assert "fall-steep" not in left
        less = planned(changed(level.job, (("bed.shape", "even-fall"), ("bed.fall", "2.45 %"))))
        assert found_of(less, "drain-proud").level is Level.STOP

    def test_at_the_job_s_own_fall_first(self, several):
        steep = several(ROOM, (300, 500, 500), (900, 500, 500), fall="2.5 %")
        remedy, _ = alone(steep, found_of(steep, "fall-steep"), even_at_another_fall)
        assert remedy.change == (("bed.shape", "even-fall"),)

    def test_at_that_alone_where_the_least_fall_is_the_most(self, several):
        """1:48, 2.083 %, lies between two steps of 0.05 %."""
        tight = several(ROOM, (300, 500, 500), (900, 500, 515), rulebook="us-accessible")
        ideas = list(even_at_another_fall(Trials(tight), found_of(tight, "fall-steep")))
        assert [idea.change for idea in ideas] == [(("bed.shape", "even-fall"),)]


class TestLeftOut:
    @pytest.mark.parametrize("drain", [0, 1])
    def test_first_the_drain_that_it_is_about(self, several, drain):
        pair = several(ROOM, (600, 500, 500), (740, 500, 500))
        trials, finding = Trials(pair), found_of(pair, "fall-steep", drain)
        assert [idea.change[0][0] for idea in leave_out(trials, finding)] == [
            f"drains[{drain}]",
            f"drains[{1 - drain}]",
        ]

    def test_which_leaves_the_other_s_bed_gentle(self, several):
        pair = several(ROOM, (600, 500, 500), (740, 500, 500))
        remedy, left = alone(pair, found_of(pair, "fall-steep", 1), leave_out)
        assert (remedy.says, remedy.brings) == ("leave drain 2 out", ())
        assert "fall-steep" not in left

    def test_not_the_only_one(self, several):
        one = several(ROOM, (1100, 500, 500))
        assert not list(leave_out(Trials(one), found_of(one, "fall-steep")))


def test_another_part_that_grows_milder_is_no_stop_of_the_move_s_own(several):
    """The first is too steep at the ridge, 15 mm off, and then at the wall, 50 mm off: no more than it was."""
    pair = several(ROOM, (100, 500, 500), (230, 500, 500))
    best = remedies(pair)[pair.findings.index(found_of(pair, "fall-steep", 1))].best
    move = next(way for way in best if way.says.startswith("move drain 2 by "))
    after = planned(changed(pair.job, move.change))
    assert [found.drains for found in after.findings if found.rule == "fall-steep"] == [(0,)]
    assert found_of(pair, "fall-steep").x - found_of(after, "fall-steep").x > 100
    assert after.bed.beds[0].most_fall < pair.bed.beds[0].most_fall


def test_a_drain_still_to_be_set_is_set_higher_for_a_curb_that_stands_too_high(make):
    """The curb's top 9 in down, 9 in over the drain at most, and 7/16 in of tile: 18 7/16 in."""
    drain = 'kind = "round"\nsize = "6 in"\nat = { "A-B" = "24 in", "D-A" = "24 in" }'
    words = {
        "drains": drain,
        "curb": 'drop = "9 in"',
        "outline": 'rectangle = ["48 in", "48 in"]\nedges = { "A-B" = "curb" }',
    }
    plan = planned(make(**words))
    high = plan.findings.index(found_of(plan, "curb-high"))
    assert (("drains[0].drop", "18 7/16 in"),) in [way.change for way in remedies(plan)[high].best]


def test_another_channel_s_stop_that_was_there_is_not_brought_by_a_longer_one(make):
    """Two channels in a corner, both too short: drain 2's is told at its other end once drain 1 reaches its."""
    channels = (
        'kind = "channel"\nsize = "65 mm"\nfrom = { x = "100 mm", y = "60 mm" }\nto = { x = "2900 mm", y = "60 mm" }\n'
        'drop = "20 in"\n[[drains]]\nkind = "channel"\nsize = "65 mm"\nfrom = { x = "60 mm", y = "100 mm" }\n'
        'to = { x = "60 mm", y = "1400 mm" }\ndrop = "20 in"'
    )
    room = {"outline": 'rectangle = ["3000 mm", "1500 mm"]', "bed": 'shape = "plane"'}
    plan = planned(make(drains=channels, **room))
    for number in (1, 2):
        best = remedies(plan)[plan.findings.index(found_of(plan, "channel-short", number - 1))].best
        assert best[0].says.startswith(f"make drain {number} ")


def test_however_little_is_tried_what_a_finding_names_itself_is(make, monkeypatch):
    """Effort for two plans, and four stops: a bed too thin and too thick comes before lath that is missing."""
    wood = make(
        readings=[("A", "20 1/4 in"), ("B", "22 in"), ("C", "24 in"), ("D", "22 in")],
        floor='kind = "wood"\nmoisture_barrier = "poly"\nlath = false',
    )
    plan = planned(wood)
    rules = [finding.rule for finding in plan.findings if finding.level is Level.STOP]
    assert rules.index("bed-thin") < rules.index("bed-thick") < rules.index("wood-no-lath")
    monkeypatch.setattr("engine.remedies.trials._EFFORT", 12.0)
    answers = dict(zip((finding.rule for finding in plan.findings), remedies(plan), strict=True))
    assert answers["bed-thin"].is_open
    (lath,) = answers["wood-no-lath"].best
    assert lath.change == (("floor.lath", "true"),)
    assert not answers["wood-no-lath"].is_open


def test_a_bed_on_a_slab_is_bonded_where_else_only_hard_work_does(make_plan):
    """50.8 mm at most over a barrier and none without; 31.75 at least keeps the drain from being lowered enough."""
    readings = [(f'"{corner}"', drop) for corner, drop in zip("ABCD", (532, 532, 532, 560), strict=True)]
    bare = make_plan(ROOM, at=(600, 500), drop=500, readings=readings)
    plan = planned(changed(bare.job, (("floor.bond_coat", ""), ("floor.moisture_barrier", "felt"))))
    thick = found_of(plan, "bed-thick")
    answer = remedies(plan)[plan.findings.index(thick)]
    (bonded,) = (remedy for remedy in answer.best if remedy.says.startswith("bond the bed to the slab"))
    after = planned(changed(plan.job, bonded.change))
    assert dict(bonded.change) == {"floor.moisture_barrier": "", "floor.bond_coat": "true"}
    assert not {"bed-thick", "bond-unsure"} & {found.rule for found in after.findings}
    assert not any("bond the bed" in remedy.says for remedy in sum((a.remedies for a in remedies(bare)), ()))


class TestWallsTooLowForTheirRuns:
    """Level walls at a height of one's own, which higher would be too steep where the drain is near."""

    def test_the_drain_is_moved_to_where_they_fall_enough(self, make_plan):
        """By hand: 5/8 in at 1/4 in/ft is 30 in of run, 32 off the middle: 26.46 along, for 18 across, off B-C."""
        words = {"at": '{ x = "18 in", y = "18 in" }', "size": "4 in", "drop": "20 in", "units": "in"}
        words |= {"fall": "1/4 in/ft", "mark_step": "1/16 in", "bed": 'wall_height = "5/8 in"'}
        plan = make_plan('rectangle = ["48 in", "36 in"]', readings=[('"A"', "21 in")], **words)
        about = dict(zip((found.rule for found in plan.findings), remedies(plan), strict=True))["fall-low"]
        move = next(remedy for remedy in about.best if "move" in remedy.says)
        assert move.says == "move the drain by 3 9/16 in, to x 21 9/16 in, y 18 in: there the bed falls enough"
        walls = next(remedy for remedy in about.remedies if "wall height" in remedy.says)
        assert walls.brings == ("fall-steep",)

    def test_one_of_two_drains_is_raised_and_the_walls_with_it(self, several):
        """To drain 2 the longest run is 650 mm, which takes 13.5 of fall: 9 of wall and 5 more."""
        plan = several("rectangle = [1524, 914]", (250, 450, 500), (1000, 450, 500), bed="wall_height = 9")
        answer = dict(zip(plan.findings, remedies(plan), strict=True))[found_of(plan, "fall-low", 1)]
        assert any(remedy.says == "raise drain 1 by 5 mm: line reading 495 mm" for remedy in answer.best)
        for drop, is_low in ((495, False), (496, True)):
            left = planned(changed(plan.job, (("drains[0].drop", f"{drop} mm"),))).findings
            assert any(found.rule == "fall-low" and found.drains == (1,) for found in left) is is_low
