"""fall-low, fall-steep and runs-unequal: on which side of the limit they speak, and what they offer."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from engine.job.model import BedShape
from engine.limits.checks import check_all
from engine.limits.checks.falls import held_falls
from engine.limits.findings import Level
from engine.limits.rulebook import rulebook
from engine.limits.stages import Stages
from engine.plan import plan
from engine.survey.spot import Needs, Spot

WAITING = Needs("bed", "")


class _Bed:
    """A bed of which only the falls and the floor are looked at."""

    shape = BedShape.EVEN_FALL
    wall_height, longest_run = 10.0, 500.0

    def __init__(self, floor, least, most):
        self.reach = SimpleNamespace(floor=floor)
        self.least_fall, self.most_fall = least, most
        self.least_fall_at, self.most_fall_at = Spot(least, 0.0, 0.0), Spot(most, 609.6, 0.0)


def _rules(job, least, most):
    """What is broken; a note may still say how little room there is."""
    floor = plan(job).outline
    stages = Stages(floor, WAITING, WAITING, (), WAITING, _Bed(floor, least, most), WAITING)
    found = check_all(job, rulebook(job.rulebook), stages)
    return [finding.rule for finding in found if finding.level is not Level.NOTE]


@pytest.mark.parametrize(
    ("book", "least", "most"),
    [
        ("us-model", 1 / 48, 1 / 24),
        ("us-accessible", 1 / 48, 1 / 48),
        ("au-ncc", 1 / 80, 1 / 50),
        ("uk-bs5385", 1 / 80, 1 / 35),
    ],
)
def test_exactly_at_both_limits_passes_and_a_billionth_beyond_does_not(make, book, least, most):
    job = make(job=f'name = "x"\nrulebook = "{book}"')
    noise = 1e-10
    assert _rules(job, least, most) == []
    assert _rules(job, least * (1 - noise), most * (1 + noise)) == []
    assert _rules(job, least * (1 - 2e-9), most) == ["fall-low"]
    assert _rules(job, least, most * (1 + 2e-9)) == ["fall-steep"]


def test_a_book_without_a_most_fall_finds_nothing_steep(make):
    assert _rules(make(job='name = "x"\nrulebook = "nz-e3"'), 1 / 50, 1 / 5) == []


def test_two_percent_is_too_low_for_a_quarter_inch_a_foot(found):
    low = found("fall-low", bed='shape = "even-fall"\nfall = "2 %"')
    assert [finding.level for finding in low] == [Level.STOP]
    assert low[0].says == "the fall is 0.24 in/ft everywhere, less than 1/4 in/ft"
    assert low[0].remedy == "plan a fall of at least 1/4 in/ft"
    assert low[0].source == "IRC 2021 P2709.1"
    assert low[0].change == (("bed.fall", "1/4 in/ft"),)


def test_a_wall_height_of_ones_own_is_told_what_it_must_be(found):
    low = found("fall-low", bed='shape = "level-walls"\nwall_height = "1/2 in"')[0]
    # the longest run is hypot(24, 24) - 3 = 30.94 in; 30.94 / 48 = 0.6446 in, marked at 11/16 in
    assert "set the wall height to 11/16 in, 3/16 in more" in low.remedy
    assert "at corner A" in low.says
    assert (low.x, low.y) == (0.0, 0.0)
    assert low.key == "bed.wall_height"


def test_level_walls_too_steep_are_lowered_where_a_height_meets_both(found):
    steep = found("fall-steep", bed='shape = "level-walls"\nfall = "3/8 in/ft"')[0]
    # 30.94 in at 3/8 in/ft is 0.967, marked 31/32 up to 1 in; over the shortest run of 21 in that is 0.571 in/ft
    assert steep.says == "the fall is 0.572 in/ft on A-B, 24 in from A, more than 1/2 in/ft"
    assert steep.change == (("bed.wall_height", "7/8 in"),)  # 21 in at 1/2 in/ft: as little lower as does


def test_level_walls_that_cannot_meet_both_get_an_even_fall_and_a_note_why(make):
    job = make(outline='rectangle = ["72 in", "48 in"]')
    by_rule = {finding.rule: finding for finding in plan(job).findings}
    assert by_rule["fall-steep"].change == (("bed.shape", "even-fall"),)
    assert "every line at 1/4 in/ft" in by_rule["fall-steep"].remedy
    note = by_rule["runs-unequal"]
    assert note.level is Level.NOTE
    # the drain stands 24 in from A-B and D-A: hypot(48, 24) - 3 = 50.67 over 21 is 2.413
    assert "2.42 times the shortest" in note.says
    assert "room for at most 2.00 times" in note.says


def test_a_planned_fall_over_the_most_is_lowered_with_the_shape(found):
    steep = found("fall-steep", bed='shape = "even-fall"\nfall = "3/4 in/ft"')[0]
    assert steep.says == "the fall is 3/4 in/ft everywhere, more than 1/2 in/ft"
    assert steep.change == (("bed.fall", "1/2 in/ft"),)


def test_accessible_level_walls_have_no_room_and_even_fall_is_exact(make):
    accessible = 'name = "x"\nrulebook = "us-accessible"'
    level = {finding.rule: finding for finding in plan(make(job=accessible)).findings}
    assert "there is room for no difference" in level["runs-unequal"].says
    assert level["fall-steep"].level is Level.STOP
    assert "from memory" in level["fall-steep"].source
    even = plan(make(job=accessible, bed='shape = "even-fall"')).findings
    assert not {"fall-low", "fall-steep"} & {finding.rule for finding in even}


def test_worked_example_ncc_1800_by_900_cannot_have_level_walls(make):
    """NCC commentary: 900/80 = 11.25 mm and 450/11.25 = 1:40; the widest room is 1.6 times longer than wide."""
    job = make(
        readings=[],
        job='name = "x"\nunits = "mm"\nrulebook = "au-ncc"',
        outline='rectangle = ["1800", "900"]',
        drains='kind = "round"\nsize = "1"\nat = { x = "900", y = "450" }',
        bed='shape = "level-walls"\nmark_step = "0.01 mm"',
    )
    by_rule = {finding.rule: finding for finding in plan(job).findings}
    # with a flange 1 mm wide: 899.5 / 80 = 11.244, marked 11.25, over 449.5 is 2.503 %
    assert by_rule["fall-steep"].says.startswith("the fall is 2.51 % on A-B, 900 mm from A")
    assert "measured square to the wall" in by_rule["fall-steep"].says
    assert "room for at most 1.60 times" in by_rule["runs-unequal"].says
    # 1.6 times 449.5, the shortest run, is 719.2 to a flange 1 mm wide
    fits = make(
        readings=[],
        job='name = "x"\nunits = "mm"\nrulebook = "au-ncc"',
        outline='rectangle = ["1439.4", "900"]',
        drains='kind = "round"\nsize = "1"\nat = { x = "719.7", y = "450" }',
        bed='shape = "level-walls"\nmark_step = "0.01 mm"',
    )
    assert not {"fall-low", "fall-steep", "runs-unequal"} & {finding.rule for finding in plan(fits).findings}


def test_worked_example_60_by_32_with_a_point_drain_is_too_steep(make):
    """34 in to the corner at 1/4 in/ft is 0.708 in; over 16 in that is 0.531 in/ft, more than 1/2."""
    job = make(
        outline='rectangle = ["60 in", "32 in"]',
        drains='kind = "round"\nsize = "0.01 in"\nat = { x = "30 in", y = "16 in" }\ndrop = "20 in"',
        bed='shape = "level-walls"\nmark_step = "0.0001 in"',
    )
    steep = next(finding for finding in plan(job).findings if finding.rule == "fall-steep")
    assert steep.says.startswith("the fall is 0.532 in/ft on A-B, 30 in from A")


ROUND = f"walls = [{', '.join(['{ length = 1000, rise = 207.1 }'] * 4)}]"
HALF_ROUND = "walls = [{ length = 1000, rise = 100 }, { length = 1000 }, { length = 1000 }, { length = 1000 }]"


@pytest.mark.parametrize(
    ("height", "broken"), [(13.6, {"fall-low"}), (13.689, set()), (14, {"fall-steep"})], ids=["low", "one", "steep"]
)
def test_a_round_room_has_one_fall_for_all_that_its_chords_lie_off_the_arc(make_plan, height, broken):
    """Runs of 657.1 mm at 1:48 are 13.689; to the chords' middles, up to 0.1 mm nearer, as much is 1:47.99."""
    words = {"at": (500, 500), "drop": 480.0, "rulebook": "us-accessible", "bed": f"wall_height = {height}"}
    found = make_plan(ROUND, **words)
    assert found.bed.longest_run - found.bed.runs.shortest.value > 0.05
    assert {finding.rule for finding in found.findings} & {"fall-low", "fall-steep", "runs-unequal"} == broken


@pytest.mark.parametrize(("y", "is_curved"), [(700, False), (300, True)])
def test_only_runs_to_curved_walls_are_unsure(make_plan, y, is_curved):
    """The longest run ends in a corner where a straight wall ends, too; the shortest at C-D, or at A-B, which bows."""
    found = make_plan(HALF_ROUND, at=(500, y), drop=480.0)
    low, high = held_falls(found.bed, found.outline)
    bed, near = found.bed, found.bed.runs.shortest.value
    assert low == bed.least_fall
    assert high == (bed.wall_height / (near + 0.1) if is_curved else bed.most_fall)
