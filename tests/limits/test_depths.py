"""Depth limits by what the bed lies on, and what a thin, thick or impossible bed is told."""

from __future__ import annotations

import pytest

from engine.job.model import RulebookName
from engine.limits.depth_limits import depth_limits
from engine.limits.findings import Level
from engine.limits.rulebook import Origin, rulebook
from engine.plan import plan

INCH = 25.4
BARE = 'kind = "concrete"'
OVER_FELT = 'kind = "concrete"\nmoisture_barrier = "felt"'
BONDED = 'kind = "concrete"\nbond_coat = true'
EVEN = 'shape = "even-fall"'


def _readings(drop):
    return [(corner, drop) for corner in "ABCD"]


@pytest.mark.parametrize(
    ("floor", "least", "most", "why"),
    [
        (BONDED, 0.75, None, ""),
        (BARE, 0.75, None, ""),
        (f'{BONDED}\nmoisture_barrier = "felt"', 1.25, 2, "a bed over a moisture barrier is not bonded"),
        (f'{BONDED}\nmoisture_barrier = "poly"', 1.25, 2, "a bed over a moisture barrier is not bonded"),
        (f'{BONDED}\nmoisture_barrier = "membrane"', 1.25, 2, "a bed over a moisture barrier is not bonded"),
        ('kind = "wood"', 1.25, 2, "a bed on wood is not bonded"),
        ('kind = "wood"\nbond_coat = true', 1.25, 2, "a bed on wood is not bonded"),
    ],
)
def test_limits_go_by_what_the_bed_lies_on(make, floor, least, most, why):
    limits = depth_limits(make(floor=floor), rulebook(RulebookName.US_MODEL))
    assert limits.least.value == pytest.approx(least * INCH)
    assert (limits.most and limits.most.value) == (most and pytest.approx(most * INCH))
    assert limits.because.startswith(why)
    assert bool(limits.because) is bool(why)


@pytest.mark.parametrize("book", [n for n in RulebookName if n not in ("us-model", "us-accessible")])
def test_other_books_borrow_the_figure_and_only_caution(make, book):
    least = depth_limits(make(floor=OVER_FELT), rulebook(book)).least
    assert (least.value, least.level) == (1.25 * INCH, Level.CAUTION)
    assert "borrowed from TCNA F103B" in least.cited


def test_a_figure_of_ones_own_stands_in_and_keeps_the_level(make):
    book = rulebook(RulebookName.US_MODEL)
    own = depth_limits(make(floor=OVER_FELT, bed=f'{EVEN}\nleast_depth = "1 in"'), book).least
    assert (own.value, own.origin, own.level) == (INCH, Origin.OWN, Level.STOP)
    assert own.cited == "your own figure, not the rulebook's (1 1/4 in: TCNA F103B, as cited by others)"
    none = depth_limits(make(floor=BONDED, bed=f'{EVEN}\nmost_depth = "3 in"'), book).most
    assert (none.level, none.cited) == (Level.CAUTION, "your own figure, not the rulebook's")


@pytest.mark.parametrize(
    ("floor", "drop", "level"),
    [
        (OVER_FELT, "21 1/4 in", None),
        (OVER_FELT, "21 7/32 in", Level.STOP),
        (BONDED, "20 3/4 in", None),
        (BONDED, "20 23/32 in", Level.CAUTION),
    ],
)
def test_exactly_the_least_depth_passes(found, floor, drop, level):
    thin = found("bed-thin", _readings(drop), floor=floor, bed=EVEN)
    assert [finding.level for finding in thin] == ([level] if level else [])


@pytest.mark.parametrize(("corner_depth", "thick"), [("2 in", False), ("2.001 in", True)])
def test_exactly_the_most_depth_passes(found, corner_depth, thick):
    # a level floor 1 1/4 in under the flange, and walls 3/4 in above it: 2 in deep along the walls
    height = {"2 in": "0.75 in", "2.001 in": "0.751 in"}[corner_depth]
    bed = f'shape = "level-walls"\nwall_height = "{height}"'
    assert bool(found("bed-thick", _readings("21 1/4 in"), floor=OVER_FELT, bed=bed)) is thick


def test_a_thin_bed_is_told_by_how_much_the_drain_must_rise(found):
    thin = found("bed-thin", _readings("21 1/16 in"), floor=OVER_FELT, bed=EVEN)[0]
    assert thin.says.startswith("the bed is 1 1/16 in deep ")
    assert ", 3/16 in less than 1 1/4 in: a bed over a moisture barrier is not bonded" in thin.says
    assert thin.remedy == "raise the drain by 3/16 in, or grind the high spot by 3/16 in"
    assert thin.change == (("drains[0].drop", "19 13/16 in"),)
    assert thin.source == "TCNA F103B, as cited by others"
    assert thin.x is not None


def test_raising_is_not_offered_where_it_would_make_the_bed_too_thick(found):
    sloped = [("A", "21 1/16 in"), ("B", "21 1/4 in"), ("C", "21 1/4 in"), ("D", "21 1/16 in")]
    thin = found("bed-thin", sloped, floor=OVER_FELT, bed='shape = "level-walls"\nwall_height = "11/16 in"')[0]
    assert thin.change == ()
    assert thin.remedy.startswith("grind the high spot by ")
    assert "would make the bed too thick elsewhere" in thin.remedy


def test_raising_is_not_offered_where_the_curb_would_become_too_low(found):
    thin = found(
        "bed-thin",
        _readings("21 1/16 in"),
        floor=OVER_FELT,
        bed=EVEN,
        outline='rectangle = ["48 in", "48 in"]\nedges = { "D-A" = "curb" }',
        curb='drop = "17 1/2 in"',  # 2 1/16 in over the finished drain: 20 - 7/16 - 17 1/2
    )[0]
    assert thin.change == ()
    assert "would leave the curb too low" in thin.remedy


def test_lowering_is_not_offered_where_the_curb_would_become_too_high_over_the_floor_beside_it(found):
    (thick,) = found(
        "bed-thick",
        _readings("21 3/4 in"),
        floor=OVER_FELT,
        bed=EVEN,
        job='name = "x"\nrulebook = "us-accessible"',
        outline='rectangle = ["48 in", "48 in"]\nedges = { "D-A" = "curb" }',
        curb='drop = "18 5/8 in"',  # 1/2 in over the floor there: 20 - 7/16 - 7/16 - 18 5/8
    )
    assert thick.change == ()
    assert "would leave the curb too high" in thick.remedy


def test_a_planned_drain_is_set_where_the_bed_is_thick_enough(found):
    drain = 'kind = "round"\nsize = "6 in"\nat = { x = "24 in", y = "24 in" }'
    assert found("bed-thin", _readings("21 in"), floor=OVER_FELT, bed=EVEN, drains=drain) == []


def test_a_bed_under_the_floor_is_a_stop_and_thin_too(make):
    job = make(readings=_readings("19 7/8 in"), bed=EVEN)
    by_rule = {finding.rule: finding for finding in plan(job).findings}
    below = by_rule["bed-below-floor"]
    assert below.level is Level.STOP
    assert below.says.startswith("the bed lies 1/8 in under the rough floor ")
    assert "raise the drain by 7/8 in" in below.remedy
    assert by_rule["bed-thin"].level is Level.CAUTION


def test_a_floor_just_level_with_the_flange_is_not_below(found):
    assert found("bed-below-floor", _readings("20 in"), bed=EVEN) == []


def test_a_thick_bed_is_told_what_to_do_by_how_much(found):
    thick = found("bed-thick", _readings("22 in"), floor=OVER_FELT, bed=EVEN)[0]
    # hypot(24, 24) - 3 = 30.94 in at 1/4 in/ft stands 0.6446 in over the flange, 2 in under it is the floor
    assert thick.says.startswith("the bed is 2 21/32 in deep at corner A, 11/16 in more than 2 in: ")
    assert thick.remedy.startswith("lower the drain by 11/16 in, or fill the low spot by 11/16 in")
    assert thick.remedy.endswith("or allow 2 11/16 in as your own most depth if the specifier calls for more")
    assert thick.change == (("drains[0].drop", "20 11/16 in"),)


def test_a_bed_both_thin_and_thick_is_ground_and_filled(make):
    sloped = [("A", "21 in"), ("B", "22 1/2 in"), ("C", "22 1/2 in"), ("D", "21 in")]
    by_rule = {f.rule: f for f in plan(make(sloped, floor=OVER_FELT, bed=EVEN)).findings}
    assert "would make the bed too thin elsewhere" in by_rule["bed-thick"].remedy
    assert by_rule["bed-thick"].change == ()
    assert by_rule["bed-thick"].key == "bed.most_depth"


def test_figures_of_ones_own_are_said_to_be(make):
    bed = f'{EVEN}\nleast_depth = "1 in"\nmost_depth = "3"\nwall_height = "1 in"'
    notes = [f for f in plan(make(floor=OVER_FELT, bed=bed)).findings if f.rule == "own-figure"]
    assert [note.level for note in notes] == [Level.NOTE] * 3
    assert notes[0].says == (
        "the least depth of 1 in is your own figure, not the rulebook's 1 1/4 in (TCNA F103B, as cited by others)"
    )
    assert notes[1].says.startswith("the most depth of 3 in is your own figure, not the rulebook's 2 in")
    assert notes[2].says.endswith("your own figure, which only level walls take: this bed does not use it")


def test_a_wall_height_of_ones_own_is_said_to_be(found):
    note = found("own-figure", bed='shape = "level-walls"\nwall_height = "1 in"')[0]
    assert note.says == "the wall height of 1 in is your own figure, not computed from the fall"
    assert note.remedy == "to go back, leave out the wall height"


def test_an_own_figure_that_is_the_rulebooks_is_not_worth_a_note(found):
    assert found("own-figure", floor=OVER_FELT, bed=f'{EVEN}\nleast_depth = "1 1/4 in"') == []


def test_an_own_figure_is_what_the_bed_is_judged_by(found):
    readings = _readings("21 in")
    assert found("bed-thin", readings, floor=OVER_FELT, bed=f'{EVEN}\nleast_depth = "1 in"') == []
    thin = found("bed-thin", readings, floor=OVER_FELT, bed=f'{EVEN}\nleast_depth = "1.5 in"')[0]
    assert "1/2 in less than 1 1/2 in" in thin.says
    assert "your own figure" in thin.source
    assert "concrete" not in thin.says


@pytest.mark.parametrize(("upper", "thin"), [("1 1/2 in", False), ("1 15/32 in", True)])
def test_the_bed_over_a_liner_has_a_rule_of_its_own(found, upper, thin):
    build = f'waterproofing = "between-beds"\nupper_bed = "{upper}"'
    findings = found("upper-bed-thin", build=build)
    assert [finding.level for finding in findings] == ([Level.STOP] if thin else [])
    if thin:
        assert findings[0].remedy == "make it 1/16 in thicker"
    assert found("upper-bed-thin", build=f'upper_bed = "{upper}"') == []


@pytest.mark.parametrize(
    ("floor", "drop", "says"),
    [
        (BARE, "21 7/32 in", "the bed is 1 7/32 in deep"),
        (BARE, "20 in", "the bed is 0 in deep"),
        (BARE, "19 31/32 in", None),  # under the floor: a stop of its own
        (BARE, "21 1/4 in", None),
        (BONDED, "21 in", None),
        (OVER_FELT, "21 in", None),
    ],
)
def test_a_thin_bed_on_concrete_without_a_bond_coat_is_unsure(found, floor, drop, says):
    unsure = found("bond-unsure", _readings(drop), floor=floor, bed=EVEN)
    assert len(unsure) == (1 if says else 0)
    for finding in unsure:
        assert finding.says.startswith(says)
        assert (finding.level, finding.change) == (Level.CAUTION, (("floor.bond_coat", "true"),))
