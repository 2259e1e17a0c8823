"""Every figure of one's own in place of the rulebook's moves the plan, or the plan says that it is only told."""

from __future__ import annotations

import pytest

from engine.job.rule_figures import Figure
from engine.limits.checks.own import told_only
from engine.plan import plan
from engine.sheets.work_figures import work_figures

SITE = 'supply = "site"\nparts = 4.5'
WOOD = 'kind = "wood"\nmoisture_barrier = "felt"\nlath = true'
BARE = 'kind = "wood"'
BETWEEN = 'waterproofing = "between-beds"\nupper_bed = "1 1/2 in"'
STEEP = 'shape = "even-fall"\nfall = "1/4 in/ft"'
CURB = {"outline": 'rectangle = ["48 in", "48 in"]\nedges = { "A-B" = "curb" }', "curb": 'drop = "16 in"'}
HIGH = 'kind = "round"\nsize = "6 in"\nat = { "A-B" = "24 in", "D-A" = "24 in" }\ndrop = "20 1/2 in"'  # 1 1/2 in
OPEN = {"outline": 'rectangle = ["48 in", "48 in"]\nedges = { "A-B" = "open" }'}
TWO = {
    "outline": 'rectangle = ["96 in", "48 in"]',
    "drains": (
        'kind = "round"\nsize = "6 in"\nat = { "A-B" = "24 in", "D-A" = "24 in" }\ndrop = "20 in"\n\n[[drains]]\n'
        'kind = "round"\nsize = "6 in"\nat = { "A-B" = "24 in", "D-A" = "72 in" }\ndrop = "20 in"'
    ),
}
ACCESSIBLE = {**CURB, "job": 'name = "x"\nrulebook = "us-accessible"', "bed": STEEP}
TESTED = {"flood_test": 'filled = "2 in"\nhours = 24\nleft = "2 in"'}
# What each figure is set to, on which job: chosen so that it has to matter there.
MATTERS = {
    Figure.FALL_LEAST: ('"3/8 in/ft"', {"bed": STEEP}),
    Figure.FALL_MOST: ('"1/4 in/ft"', {}),
    Figure.BED_FALL_LEAST: ('"3/8 in/ft"', {"bed": STEEP}),
    Figure.LINER_FALL_LEAST: ('"3/8 in/ft"', {"bed": STEEP, "build": BETWEEN}),
    Figure.SUNK_MOST: ('"1/4 in"', OPEN),
    Figure.CURB_LEAST: ('"6 in"', CURB),
    Figure.CURB_MOST: ('"2 1/2 in"', CURB),
    Figure.THRESHOLD_MOST: ('"4 in"', ACCESSIBLE),
    Figure.LINING_OVER_CURB: ('"5 in"', CURB),
    Figure.LINING_OVER_THRESHOLD_UPC: ('"5 in"', CURB),
    Figure.LINING_OVER_THRESHOLD_IPC: ('"5 in"', CURB),
    Figure.AREA_LEAST: ('"20 sq ft"', {}),
    Figure.AREA_LEAST_UPC: ('"20 sq ft"', {}),
    Figure.CIRCLE_LEAST: ('"50 in"', {}),
    Figure.DRAINS_APART_MOST: ('"3 ft"', TWO),
    Figure.DRAIN_TO_WALL_MOST: ('"1 ft"', {}),
    Figure.UNBONDED_LEAST: ('"1 3/4 in"', {"floor": WOOD, "drains": HIGH}),
    Figure.UNBONDED_MOST: ('"5 in"', {"floor": WOOD}),
    Figure.BONDED_LEAST: ('"3 in"', {}),
    Figure.UPPER_BED_LEAST: ('"2 in"', {"build": BETWEEN}),
    Figure.WIRE_FABRIC_AREA: ('"10 sq ft"', {"build": BETWEEN}),
    Figure.SAND_LEAST: ("5", {"mortar": SITE}),
    Figure.SAND_MOST: ("4.25", {"mortar": SITE}),
    Figure.SAND_CURLS: ("5", {"mortar": SITE}),
    Figure.BED_LOAD_AN_INCH: ('"15 psf"', {}),
    Figure.CURE_LEAST: ('"72 h"', {}),
    Figure.CONE_TILE_EDGE: ('"1 in"', {}),
    Figure.WOOD_BARRIER: ('"not needed"', {"floor": BARE}),
    Figure.WOOD_LATH: ('"not needed"', {"floor": BARE}),
    Figure.LATH_LAP: ('"8 in"', {"floor": WOOD}),
    Figure.LATH_FASTENER_SPACING: ('"4 in"', {"floor": WOOD}),
    Figure.CLEAVAGE_LAP: ('"12 in"', {"floor": WOOD}),
    Figure.PAN_TEST_DEPTH: ('"3 in"', {}),
    Figure.FLOOD_TIME_LEAST: ('"48 h"', TESTED),
    Figure.FLOOD_HEAD_MOST: ('"2 in"', {}),
    Figure.FLOOD_WAIT: ('"72 h"', {}),
    Figure.WATER_LOAD_AN_INCH: ('"6 psf"', {}),
    Figure.DRY_IN_PLACE: ('"120 lb per cu ft"', {"mortar": SITE}),
    Figure.CEMENT_LOOSE: ('"80 lb per cu ft"', {"mortar": SITE}),
    Figure.SAND_LOOSE: ('"100 lb per cu ft"', {"mortar": SITE}),
    Figure.LATH_SHEET_WIDTH: ('"40 in"', {"floor": WOOD}),
    Figure.LATH_SHEET_LENGTH: ('"40 in"', {"floor": WOOD}),
}
# Figures that are only told: what they are set to, on which job, and how the plan then says it.
SAID = {
    Figure.CURB_TOP_FALL: ('"3/8 in/ft"', CURB, "fall toward the drain, 3/8 in/ft"),
    Figure.OUTLET_LEAST: ('"1 3/4 in"', {}, "The outlet is at least 1 3/4 in wide"),
    Figure.OUTLET_USUAL: ('"3 in"', {}, "Usually the outlet is 3 in wide"),
    Figure.DRAIN_DEPTH_USUAL: ('"1 5/8 in"', {}, "Usually the mud is 1 5/8 in deep there"),
    Figure.WARM_LEAST: ('"10 days"', {}, "above 50 F (10 C) for 10 days"),
    Figure.LARGE_FORMAT_EDGE: ('"2 in"', {}, "at most 1/8 in out in 10 ft"),
    Figure.OUT_OF_FLAT_IN_10_FT: ('"3/8 in"', {}, "at most 3/8 in out in 10 ft"),
    Figure.LARGE_FORMAT_OUT_OF_FLAT_IN_10_FT: (
        '"3/16 in"',
        {"build": 'tile_edge = "24 in"'},
        "at most 3/16 in out in 10 ft",
    ),
    Figure.LARGE_FORMAT_OUT_OF_FLAT_IN_2_FT: (
        '"3/16 in"',
        {"build": 'tile_edge = "24 in"'},
        "at most 3/16 in out in 2 ft",
    ),
    Figure.STIFFNESS_CERAMIC: ("480", {"floor": WOOD}, "at most span / 480"),
    Figure.STIFFNESS_STONE: ("960", {"floor": WOOD}, "at most span / 960"),
    Figure.LIVE_LOAD: ('"60 psf"', {"floor": WOOD}, "carries 60 psf (2.88 kPa) of people"),
    Figure.PAN_TEST_TIME: ('"1 h"', {}, "The code's own least is 1 h"),
    Figure.FLOOD_TIME_MOST: ('"60 h"', {}, "at most 60 h"),
    Figure.FLOOD_FALL_MOST: ('"50 %"', {}, "let it stand 24 h, at most 72 h."),
    Figure.FLOOD_WAIT_COLD: ('"60 h"', {}, "60 h under 50 F"),
    Figure.LIFT_MOST: (
        '"70 lb"',
        {},
        "One person should lift at most 70 lb; a bag of 60 lb is no more than that",
    ),
    Figure.THRESHOLD_MOST_TRANSFER: ('"3 in"', ACCESSIBLE, "in alterations, 3 in"),
    Figure.DEAD_LOAD_USUAL: ('"14 psf"', {"floor": WOOD}, "allowed only 14 psf"),
    Figure.MOSAIC_AREA: (
        '"12 sq in"',
        {"build": 'tile_edge = "8 in"'},
        "mosaic (tiles under 0.08 sq ft (12 sq in))",
    ),
}


def _judged(found):
    """The numbers of a plan's bed and work, and its findings' rules and levels: all but words."""
    rules = [(f.rule, f.level) for f in found.findings if f.rule != "own-figure"]
    work = {key: value for key, value in work_figures(found).items() if key != "sources"}
    bed = (found.bed.wall_height, found.bed.most_fall, found.depth.volume)
    return rules, bed, _numbers(work), found.flood_log and found.flood_log.verdict


def _numbers(found):
    if isinstance(found, dict):
        return [_numbers(value) for value in found.values()]
    if isinstance(found, list):
        return [_numbers(value) for value in found]
    return found if isinstance(found, int | float) else None


def _words(found):
    """What a plan's findings, but for the notes on own figures, and its steps say."""
    texts = [text for f in found.findings if f.rule != "own-figure" for text in (f.says, f.remedy)]
    for task in (step.task for step in found.work.order):
        texts += [said.text for said in task.says] + [caution.says for caution in task.cautions]
        texts += [task.wait.says] if task.wait else []
    return "".join(f"{text}." for text in texts)


def test_each_figure_stands_in_one_of_the_two_tables():
    assert set(MATTERS) | set(told_only()) == set(Figure)
    assert not set(MATTERS) & set(told_only())
    assert set(SAID) == set(told_only()) - {Figure.ROSE_REACH}  # which changes nothing, and the note says why


@pytest.mark.parametrize("figure", MATTERS)
def test_what_is_not_only_told_moves_a_figure_or_a_finding(make, figure):
    own, tables = MATTERS[figure]
    usual, moved = (_judged(plan(make(**tables, figures=text))) for text in (None, f"{figure.key} = {own}"))
    assert usual != moved


@pytest.mark.parametrize("figure", SAID)
def test_what_is_only_told_is_told_where_the_note_says(make, figure):
    own, tables, says = SAID[figure]
    usual, told = (plan(make(**tables, figures=text)) for text in (None, f"{figure.key} = {own}"))
    assert [says in _words(found) for found in (usual, told)] == [False, True]
    assert any(f.key == f"figures.{figure.key}" and told_only()[figure] in f.says for f in told.findings)
