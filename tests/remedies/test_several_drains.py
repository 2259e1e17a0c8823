"""Remedies where there are several drains, and of floors round corners, against figures worked by hand."""

from __future__ import annotations

import numpy as np
import pytest

from engine.bed.parted_walls import PartedWalls
from engine.bed.surfaces import valley_parts
from engine.limits.findings import Level
from engine.plan import bed_of
from engine.plan import plan as planned
from engine.remedies import changed, remedies
from engine.remedies.several import level_with_others, set_one
from engine.remedies.trials import Trials

S = 1 / 48
ROW = "rectangle = [3000, 1000]"
LONG = "rectangle = [2000, 1000]"
COMB = [(0, 0), (3600, 0), (3600, 2000), (2400, 2000), (2400, 900), (1200, 900), (1200, 2000), (0, 2000)]
ZIG = [(0, 0), (2400, 0), (2400, 2000), (1600, 2000), (1600, 800), (800, 800), (800, 2000), (0, 2000)]


def answers(plan, rule):
    found = remedies(plan)
    return [answer for finding, answer in zip(plan.findings, found, strict=True) if finding.rule == rule]


def after(plan, remedy):
    return planned(changed(plan.job, remedy.change))


def rules(plan, level=Level.STOP):
    return [finding.rule for finding in plan.findings if finding.level is level]


@pytest.fixture(scope="module")
def near(several):
    return several(LONG, (900, 500, 500), (1150, 500, 510), shape="even-fall")


@pytest.fixture(scope="module")
def leaning(several):
    """A floor 15 mm higher on the right under two drains alike, where a bed from 30 to 55 mm deep is asked for."""
    plan = several(LONG, (500, 500, 500), (1500, 500, 500), shape="even-fall", bed="least_depth = 30\nmost_depth = 55")
    new = enumerate([("B", "525"), ("C", "525"), ("D", "540")], start=1)
    entries = [entry for i, (at, drop) in new for entry in ((f"readings[{i}].at", at), (f"readings[{i}].drop", drop))]
    return planned(changed(plan.job, (("readings[0].drop", "540"), *entries)))


@pytest.fixture(scope="module")
def row(several):
    return several(ROW, (500, 500, 500), (1500, 500, 503), (2500, 500, 498))


@pytest.fixture(scope="module")
def ell(several):
    outline = [(0, 0), (2075, 0), (2075, 961), (1287, 961), (1287, 1929), (0, 1929)]
    plan = several(outline, (457, 152, 504), (596, 1350, 499))
    return planned(changed(plan.job, (("figures.fall_most", "37 %"),)))


@pytest.fixture(scope="module")
def told(row):
    return answers(row, "fall-steep")


class TestOneDrainForTheDepth:
    """At the right rim of drain 2, x 1550, the line reads 540 - 15 x 0.775 = 528.4 on the floor: 1.6 mm too thin there.

    At A the bed is 40 + (500 root 2 - 50) / 48 = 53.7 deep: what raises it there by 2 makes it too thick.
    """

    def test_the_one_is_raised_and_no_further_than_it_must(self, leaning):
        (answer,) = answers(leaning, "bed-thin")
        one, every = answer.remedies[0], answer.remedies[-1]
        assert one.says == "raise drain 2 by 2 mm: line reading 498 mm"
        assert not {"bed-thin", "bed-thick"} & {*rules(after(leaning, one), Level.CAUTION)}
        assert "bed-thin" in rules(planned(changed(leaning.job, (("drains[1].drop", "499"),))), Level.CAUTION)
        assert every.says.startswith("raise every drain by 2 mm")
        assert every.brings == ("bed-thick",)

    def test_nothing_is_said_of_heights_that_is_true_of_all_drains_alike_only(self, leaning):
        assert not answers(leaning, "bed-thin")[0].ruled_out

    def test_too_thick_it_is_lowered(self, leaning):
        thick = planned(changed(leaning.job, (("drains[0].drop", "497"), ("drains[1].drop", "497"))))
        (answer,) = answers(thick, "bed-thick")
        assert "lower drain 1 by 2 mm: line reading 499 mm" in [remedy.says for remedy in answer.best]

    def test_it_is_raised_by_more_than_twice_what_lacks_where_the_walls_rise_by_less_than_it(self, make_plan):
        """A hump 34 mm high by B-C, drain 1 far off it: the walls go up with its longest way, which grows shorter."""
        around = [((x, y), "540") for x, y in ((2040, 500), (2220, 500), (2160, 380), (2160, 620))]
        readings = [*((f'"{corner}"', "540") for corner in "ABCD"), ((2160, 500), "506"), *around]
        second = '[[drains]]\nkind = "round"\nsize = 100\nat = { x = 1900, y = 500 }\ndrop = 500\n'
        outline = [(0, 0), (2300, 0), (2300, 1000), (0, 1000)]
        plan = make_plan(outline, at=(500, 500), drop=500, readings=readings, extra=second)
        thin = next(finding for finding in plan.findings if finding.rule == "bed-thin")
        assert "3 mm less" in thin.says
        assert "raise drain 1 by 7 mm: line reading 493 mm" in [idea.says for idea in set_one(Trials(plan), thin)]
        for number in (0, 1):
            change = (("drains[0].drop", "500"), ("drains[1].drop", "500"), (f"drains[{number}].drop", "494"))
            assert {"bed-thin", "fall-steep"} & {*rules(planned(changed(plan.job, change)))}


class TestProud:
    """Two drains 250 mm apart, the second 10 mm lower, with an even fall: it draws the bed under the first."""

    def test_how_far_the_first_stands_over_the_bed(self, near):
        """Nearest the other its rim is 250 - 50 - 50 from the other's: 150 / 48 up from 10 under."""
        (stop,) = [finding for finding in near.findings if finding.rule == "drain-proud"]
        assert pytest.approx(6.875) == 10 - 150 * S
        assert stop.level is Level.STOP
        assert "drain 1 stands up to 6.9 mm over the bed round it" in stop.says
        assert (stop.x, stop.y) == pytest.approx((950, 500))

    def test_it_is_lowered_or_the_other_raised(self, near):
        (answer,) = answers(near, "drain-proud")
        (lower,) = answer.best
        assert lower.says == "lower drain 1 by 7 mm: line reading 507 mm"
        assert rules(after(near, lower)) == []

    def test_where_only_some_of_the_water_runs_past_it_is_a_caution(self, several):
        """4 mm lower: the near side of the rim is 150 / 48 = 3.125 up, 0.875 too little, the far side 250 / 48."""
        plan = several(LONG, (900, 500, 500), (1150, 500, 504), shape="even-fall")
        (caution,) = [finding for finding in plan.findings if finding.rule == "drain-proud"]
        assert caution.level is Level.CAUTION
        assert "0.9 mm over the bed beside it" in caution.says

    def test_far_enough_apart_neither_is(self, several):
        plan = several(LONG, (500, 500, 500), (1500, 500, 510), shape="even-fall")
        assert "drain-proud" not in rules(plan) + rules(plan, Level.CAUTION)


class TestOneOfARow:
    """Three drains in a row of three squares of 1 m: the walls stand where the highest drain's corners need them.

    It stands 2 mm over the first: (500 root 2 - 50) / 48 = 13.69 and 2 are 16 mm, rounded up; 3 mm under the first that
    is 19 mm over 450, steeper than 1 : 24 by 0.25 mm. Set 1 mm lower the walls stand at 15.
    """

    def test_the_smallest_change_of_height(self, row, told):
        """The second counts 2 x 48 mm nearer then, and the drains lie 4000 / 3 apart at the mean: the first ridge is
        96 x 4000 / 3 / 2000 = 64 mm off the middle, which leaves 386 mm; 16 mm of fall need 16 x 24 = 384.
        """
        assert row.bed.wall_height == 16
        level = next(remedy for remedy in told[0].best if "line reading" in remedy.says)
        assert level.says == "raise drain 2 by 1 mm: line reading 502 mm"
        assert after(row, level).bed.beds[0].most_fall == pytest.approx(16 / (500 - 64 - 50))

    def test_no_smaller_change_of_height_of_any_drain_does(self, row, told):
        """Of the third's part: 1 mm up or down of any drain leaves it too steep."""
        level = next(remedy for remedy in told[2].best if "line reading" in remedy.says)
        assert level.figure == 2
        for number, drop in enumerate((500, 503, 498)):
            for by in (-1, 1):
                less = planned(changed(row.job, ((f"drains[{number}].drop", f"{drop + by} mm"),)))
                assert less.bed.beds[2].most_fall > 1 / 24

    def test_the_least_move_of_any_drain(self, row, told):
        """The first needs 16 x 24 = 384 mm of run: of all drains the middle one has to go least for that.

        It makes the third's part steeper than that is.
        """
        (move,) = [remedy for remedy in told[0].remedies if remedy.says.startswith("move drain")]
        assert move.brings == ("fall-steep",)
        assert after(row, move).bed.beds[2].most_fall > row.bed.beds[2].most_fall > 1 / 24
        assert after(row, move).bed.beds[0].most_fall <= 1 / 24 < row.bed.beds[0].most_fall
        turns = np.arange(6) * np.pi / 3
        for number, drain in enumerate(row.drains):
            ring = drain.flange.centre + (move.figure - 2) * np.column_stack([np.cos(turns), np.sin(turns)])
            for x, y in ring.tolist():
                nearer = planned(changed(row.job, ((f"drains[{number}].at", f"x {x:.1f} mm, y {y:.1f} mm"),)))
                assert not isinstance(nearer.bed, PartedWalls) or nearer.bed.beds[0].most_fall > 1 / 24

    def test_moved_against_a_wall_it_would_bring_another_stop(self, several):
        """500 apart, 450 to the ridge midway is too steep: off it a drain comes to stand 26 mm from a wall."""
        pair = several("rectangle = [1200, 1000]", (400, 500, 500), (900, 500, 500))
        moves = [way for way in answers(pair, "fall-steep")[0].remedies if way.says.startswith("move drain 2")]
        assert all(way.brings == ("fall-steep",) for way in moves)
        assert len(rules(after(pair, moves[0]))) == 1

    def test_each_is_named(self, row):
        says = [finding.says for finding in row.findings if finding.rule == "fall-steep"]
        assert [f"the fall to drain {number} is" in said for number, said in enumerate(says, 1)] == [True] * 3


class TestRoundACorner:
    """An L of two drains parted by a ridge from its inward corner, where no formula tells which heights do."""

    @staticmethod
    def level(plan):
        says = [remedy for remedy in answers(plan, "fall-steep")[0].best if "line reading" in remedy.says]
        return says[0] if says else None

    def test_the_least_change_of_height_is_found(self, ell):
        assert [part.is_ridge.sum() for part in ell.bed.parts] == [1, 1]
        level = self.level(ell)
        assert level.says == "lower drain 1 by 3 mm: line reading 507 mm"
        (steep,) = [finding.drains[0] for finding in ell.findings if finding.rule == "fall-steep"]
        for number, drop in enumerate((504, 499)):
            for by in (-2, -1, 1, 2):
                less = planned(changed(ell.job, ((f"drains[{number}].drop", f"{drop + by} mm"),)))
                assert less.bed.beds[steep].most_fall > 0.37

    def test_one_left_open_stays_where_it_is_planned(self, ell):
        """Level with the first: that is lowered by itself, and so the other has to be entered."""
        plan = planned(changed(ell.job, (("drains[1].drop", ""),)))
        change = self.level(plan).change
        assert self.level(plan).says == "lower drain 1 by 8 mm: line readings 512 mm, 504 mm"
        assert change == (("drains[0].drop", "512 mm"), ("drains[1].drop", "504 mm"))
        for number, by in ((0, by) for by in range(-7, 8)):
            less = planned(changed(plan.job, (*change, (f"drains[{number}].drop", f"{504 + by} mm"))))
            assert "fall-steep" in rules(less)

    def test_where_not_each_smaller_one_is_tried_that_is_told(self, ell, monkeypatch):
        monkeypatch.setattr("engine.remedies.several._EFFORT", 30.0)
        level = self.level(ell)
        assert level is not None
        assert level.says.endswith("; a smaller change may do")


def test_where_each_height_is_ruled_out_nothing_is_told_to_be_left(several):
    """Two drains with a wall's corner between them: each height that no bound rules out is made a bed of."""
    outline = [(0, 0), (1425, 0), (1421, 872), (913, 876), (903, 1277), (0, 1279)]
    plan = several(outline, (264, 397, 460), (566, 726, 460))
    for answer in answers(plan, "fall-steep"):
        assert [remedy.change for remedy in answer.best] == [(("bed.shape", "even-fall"),)]
        assert not any(says.startswith("more changes") for says in answer.ruled_out)
    for number, drop in ((number, drop) for number in (0, 1) for drop in range(430, 491, 6)):
        after = planned(changed(plan.job, ((f"drains[{number}].drop", f"{drop} mm"),)))
        assert "fall-steep" in rules(after)


def test_heights_that_a_bound_rules_out_are_not_planned(several, monkeypatch):
    """Two drains 120 mm apart leave runs of 20 mm at most: under walls 78 mm high only one as high as they would do."""
    tried = []
    monkeypatch.setattr("engine.remedies.trials.bed_of", lambda job: tried.append(job) or bed_of(job))
    plan = several(COMB, (600, 1700, 500), (600, 1580, 500))
    assert plan.bed.wall_height == 78
    trials = Trials(plan)
    steep = [finding for finding in plan.findings if finding.rule == "fall-steep"]
    assert not [idea for finding in steep for idea in level_with_others(trials, finding)]
    assert 0 < len(tried) <= 8
    assert all(abs(drain.drop.value - 500) in (0, 77, 78) for job in tried for drain in job.drains)


def test_a_drain_that_does_not_see_its_part_is_moved_to_where_it_does(several):
    """It stands under a notch of 50 mm in the long wall, whose far side it sees only from beyond 1100."""
    notched = [(0, 0), (2000, 0), (2000, 1000), (1100, 1000), (1100, 950), (900, 950), (900, 1000), (0, 1000)]
    plan = several(notched, (500, 500, 500), (1040, 500, 500))
    assert valley_parts(plan.bed)
    (move,) = [way for way in answers(plan, "fall-steep")[1].best if way.says.startswith("move drain 2")]
    assert not valley_parts(after(plan, move).bed)
    assert after(plan, move).bed.beds[1].most_fall <= 1 / 24
    assert "shorter" not in move.says
    for x, y in ((1365, 500), (1350, 440), (1300, 640), (1040, 820)):  # wherever a ridge then runs
        nearer = planned(changed(plan.job, (("drains[1].at", f"x {x} mm, y {y} mm"),)))
        assert nearer.bed.beds[1].most_fall > 1 / 24


def test_drains_in_one_leg_are_given_one_more_for_the_other(several):
    """Both drains of a U stand in one leg: from a place in the other a third sees the walls that they do not."""
    plan = several(COMB, (600, 1700, 500), (600, 1000, 500))
    (answer,) = answers(plan, "hidden-floor")
    third = next(remedy for remedy in answer.remedies if remedy.says.startswith("add drain 3, like the first"))
    found = after(plan, third)
    assert found.drains[2].flange.centre[0] > 2400
    assert "hidden-floor" not in rules(found, Level.CAUTION)


def test_a_channels_run_goes_on_behind_its_wall(several):
    """Along E-F, 65 mm wide and 0.5 off: up the legs 2000 - 800 and 0.5 more, which is more than down to A-B."""
    plan = several(ZIG, (400, 1600, 500))
    (answer,) = answers(plan, "hidden-floor")
    channel = next(remedy for remedy in answer.remedies if "channel along E-F" in remedy.says)
    assert "the longest run is then 1201 mm, the rise 25.5 mm" in channel.says
    assert after(plan, channel).bed.longest_run == pytest.approx(2000 - 800 + 0.5)
