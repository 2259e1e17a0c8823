"""A depth limit kept by another fall, on beds of every shape: a step less of it does not keep the limit."""

from __future__ import annotations

import pytest

from engine.plan import plan as planned
from engine.quantities import format_fall
from engine.remedies import changed, remedies
from engine.remedies.falls import gentler, set_fall
from engine.remedies.trials import FALL_STEP, Trials

ELL = [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)]
SECOND = '[[drains]]\nkind = "round"\nsize = 100\nat = { x = 450, y = 1500 }\ndrop = 460\n'
STEEP = '[figures]\nfall_most = "60 %"\n'
LOW = [(place, 505) for place in ('"A"', (1400, 450), (450, 1500))]
THICK = ("bed-thick", [], "most_depth = 58", 1)


@pytest.mark.parametrize("more", ["", SECOND], ids=["one drain", "two drains"])
@pytest.mark.parametrize(
    ("shape", "case"),
    [
        ("level-walls", THICK),
        ("even-fall", THICK),
        # High at a corner, where more fall lifts the bed off the floor.
        ("level-walls", ("bed-thin", [('"C"', 438)], "least_depth = 35\nmost_depth = 200", -1)),
        ("even-fall", ("bed-thin", [('"C"', 472)], "least_depth = 40\nmost_depth = 200", -1)),
    ],
)
def test_the_next_fall_on_the_step_that_keeps_it_is_told(make_plan, shape, more, case):
    rule, high, bed, way = case
    plan = make_plan(
        ELL, at=(1400, 450), drop=460, shape=shape, fall="2.5 %", readings=LOW + high, bed=bed, extra=more + STEEP
    )
    (finding,) = (finding for finding in plan.findings if finding.rule == rule)
    (idea,) = set_fall(Trials(plan), finding)
    kept, less = (
        planned(changed(plan.job, (("bed.fall", format_fall(fall, plan.job.units)),)))
        for fall in (idea.figure, idea.figure + way * FALL_STEP[plan.job.units])
    )
    assert idea.change == (("bed.fall", format_fall(idea.figure, plan.job.units)),)
    assert not any(found.rule == rule for found in kept.findings)
    assert any(found.rule == rule for found in less.findings)


class TestFallTooLow:
    """From the flange of 100 mm to the corner 721.1 - 50 mm: at 2.083 % the walls are 13.98 high, to the mark 14."""

    ROOM = ((0, 0), (1200, 0), (1200, 800), (0, 800))

    @pytest.fixture
    def best(self, make_plan):
        def told(**words):
            plan = make_plan(self.ROOM, at=(600, 400), readings=[('"A"', 560)], drop=500, **words)
            at = next(i for i, found in enumerate(plan.findings) if found.rule == "fall-low")
            return plan, [remedy for remedy in remedies(plan)[at].best if "even" not in remedy.says]

        return told

    def is_low(self, plan, fall):
        return any(f.rule == "fall-low" for f in planned(changed(plan.job, (("bed.fall", fall),))).findings)

    def test_the_code_s_least_is_planned_or_what_the_marks_round_up_to_it(self, best):
        plan, (code, least) = best(fall="1.8 %")
        assert code.change == (("bed.fall", "1/4 in/ft"),)
        assert least.change == (("bed.fall", "1.95 %"),)
        assert least.says == "raise the fall to 1.95 %, which the marks round up to enough"
        assert not self.is_low(plan, "1.95 %")
        assert self.is_low(plan, "1.9 %")

    def test_where_no_less_will_do_the_code_s_alone_is_told(self, best):
        _, ways = best(fall="1.8 %", shape="even-fall")
        assert [way.change for way in ways] == [(("bed.fall", "1/4 in/ft"),)]


class TestTooSteep:
    """A square of 48 in, a flange of 6 in in its middle: walls 7/8 in high fall 1 : 24 over 21 in, the most allowed."""

    @pytest.mark.parametrize(
        ("bed", "says", "change", "more"),
        [
            ('fall = "1/2 in/ft"', "lower the fall to 0.33 in/ft", ("bed.fall", "0.33 in/ft"), "0.34 in/ft"),
            ('wall_height = "1 in"', "lower the walls' height to 7/8 in", ("bed.wall_height", "7/8 in"), "15/16 in"),
        ],
    )
    def test_the_fall_or_the_walls_are_lowered_by_as_little_as_does(self, make, bed, says, change, more):
        """0.33 in/ft over (24 root 2 - 3) in are 0.851 in, 7/8 when rounded up; 0.34 in/ft are 0.877 in, 15/16."""
        plan = planned(make(bed=f'shape = "level-walls"\n{bed}'))
        (number,) = [i for i, found in enumerate(plan.findings) if found.rule == "fall-steep"]
        (way,) = gentler(Trials(plan), plan.findings[number])
        assert way.says == says
        assert way.change == (change,)
        assert way.change in [told.change for told in remedies(plan)[number].best]
        assert not planned(changed(plan.job, way.change)).has_stop
        assert planned(changed(plan.job, ((change[0], more),))).has_stop


def test_walls_are_lowered_for_one_drains_part_alone(several):
    """The wall nearest to drain 2 is 450 mm off its rim, so at 1 in 24 it may stand 18 mm high; drain 1 asks for less.

    From the far corner to drain 2 it is 851 mm, which at the least fall of 1 in 48 takes 17.8 mm.
    """
    hall = [(0, 0), (2400, 0), (2400, 1000), (0, 1000)]
    plan = several(hall, (400, 500, 500), (1650, 500, 500), fall="3 %")
    steep = [finding for finding in plan.findings if finding.rule == "fall-steep"]
    assert [finding.drains for finding in steep] == [(0,), (1,)]
    answer = remedies(plan)[plan.findings.index(steep[1])]
    lower = next(remedy for remedy in answer.best if remedy.says.startswith("lower the walls' height"))
    assert lower.change == (("bed.wall_height", "18 mm"),)
    left = planned(changed(plan.job, lower.change)).findings
    assert [finding.drains for finding in left if finding.rule in ("fall-steep", "fall-low")] == [(0,)]


class TestFinerMarks:
    """The shortest run of 400 to 450 mm takes 18.7 mm at 1/24; the walls are 18.34 high, and 19 by marks of 1 mm."""

    ROOM = ((0, 0), (1200, 0), (1200, 1000), (0, 1000))

    @pytest.fixture
    def told(self, make_plan):
        def build(**words):
            plan = make_plan(self.ROOM, readings=[(f'"{corner}"', 572) for corner in "ABCD"], drop=500, **words)
            at = next(i for i, found in enumerate(plan.findings) if found.rule == "fall-steep")
            return plan, remedies(plan)[at].best

        return build

    @pytest.mark.parametrize(("mark", "does"), [(1, 0.5), (4, 0.5)])
    def test_marks_alone_are_told_where_they_do_and_no_move_with_them(self, told, mark, does):
        plan, best = told(at=(600, 500), fall="1:40", mark_step=mark)
        marks = [remedy for remedy in best if ("bed.mark_step", f"{does} mm") in remedy.change]
        assert [len(remedy.change) for remedy in marks] == [1]
        after = planned(changed(plan.job, marks[0].change))
        assert after.bed.wall_height == 18.5
        assert "fall-steep" not in {found.rule for found in after.findings}

    def test_they_are_as_coarse_as_does(self, told):
        """From the middle the walls are 15.3 high at 1:48: marks of 4 mm make that 16, under the 18.7."""
        _, best = told(at=(600, 500), mark_step=10)
        told_marks = [remedy.change for remedy in best if remedy.says.startswith("set the marks")]
        assert told_marks == [(("bed.mark_step", "4 mm"),)]

    def test_a_move_that_needs_them_takes_as_coarse_ones_as_do(self, told):
        plan, best = told(at=(690, 500), fall="1:40", mark_step=4)
        (move,) = (remedy for remedy in best if "with the marks to" in remedy.says)
        (_, place), (key, marks) = move.change
        assert key == "bed.mark_step"
        coarser = (("drains[0].at", place), (key, f"{2 * float(marks.split()[0])} mm"))
        assert "fall-steep" in {found.rule for found in planned(changed(plan.job, coarser)).findings}
        assert "fall-steep" in {found.rule for found in planned(changed(plan.job, move.change[1:])).findings}

    def test_a_height_of_the_walls_takes_no_finer_marks_than_it_lies_on(self, told):
        """From 15.3 at 1:48 to 18.7 no mark of 10 mm lies, and one of 4."""
        _, best = told(at=(600, 500), fall="1:40", mark_step=10)
        height = next(remedy.change for remedy in best if "bed.wall_height" in dict(remedy.change))
        assert height == (("bed.wall_height", "16 mm"), ("bed.mark_step", "4 mm"))
