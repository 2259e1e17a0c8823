"""strips-overlap, strip-notched, strip-low, strip-on-flange, strip-steep and stock-short."""

from __future__ import annotations

import math
import re
from fractions import Fraction

import pytest

from engine.layout.strip_heights import LOWEST_STRIP
from engine.limits.findings import Level

LEVEL = {"A": "22 in", "B": "22 in", "C": "22 in", "D": "22 in"}
RULES = ("strip-notched", "strip-low", "strip-on-flange", "strip-steep")


def bumped(drop):
    """The level floor with a high spot half way along A-B, the bed 11/16 in over the flange at 20 in."""
    return [*LEVEL.items(), ((24, 0), drop)]


def any_of(found, **words):
    return [finding for rule in RULES for finding in found(rule, **words)]


def test_a_sound_floor_has_none(found):
    assert any_of(found) == []


def test_a_high_spot_under_a_strip_is_a_note_with_its_stretch(found):
    # The spot is 7/16 in over the flange, 1/4 in under the bed: less than a strip and its 1/8 in of clearance.
    note = found("strip-notched", readings=bumped("19 9/16"))[0]
    assert note.level is Level.NOTE
    assert "along A-B" in note.says
    assert "from A by" in note.says
    assert (note.x, note.y) == (pytest.approx(24 * 25.4, abs=1), pytest.approx(0, abs=1))
    assert found("strip-low", readings=bumped("19 9/16")) == []


def test_where_no_strip_stands_it_says_by_how_much_to_raise_the_bed(found):
    # The whole wall stands 1/2 in over the flange and the bed 3/16 in over that.
    high = {**LEVEL, "A": "19 1/2 in", "B": "19 1/2 in"}
    caution = found("strip-low", readings=high.items())[0]
    assert caution.level is Level.CAUTION
    assert "no strip stands along A-B: the bed is at least 3/16 in over the rough floor there" in caution.says
    # 6 mm for a strip and 1/8 in under it, less 3/16 in: 4.41 mm, 3/16 in by the next sixteenth.
    short = LOWEST_STRIP + 25.4 / 8 - 3 / 16 * 25.4
    assert 25.4 / 8 < short < 3 / 16 * 25.4
    assert caution.remedy.startswith("raise the bed there by 3/16 in, ")


def test_where_a_straight_foot_leaves_too_little_it_says_so_and_not_that_the_bed_is_low(found):
    """Both corners stand 11/16 in over the flange, 1/2 in under a bed that sags between them to 7/8 in.

    A foot from corner to corner, 1/8 in clear of them, stands 13/16 in up: 1/16 in of strip is left in the middle.
    """
    sagging = {"A": "19 5/16 in", "B": "19 5/16 in", (24, 0): "19 5/8 in", "C": "22 in", "D": "22 in"}
    (caution,) = [
        each
        for each in found("strip-low", readings=sagging.items(), bed='shape = "even-fall"\nfall = "1/2 in/ft"')
        if "A-B" in each.says
    ]
    assert "over the rough floor's high spots its straight foot leaves it under 1/4 in" in caution.says
    told = re.match(r"raise the bed there by ([0-9/]+) in, ", caution.remedy)
    assert 1 / 16 <= Fraction(told[1]) <= 1 / 4  # less what a notch at the corners gives, in whole sixteenths


def test_a_flange_in_a_strips_way_is_a_caution(found):
    drain = 'kind = "round"\nsize = "6 in"\nat = { "A-B" = "3 1/4 in", "D-A" = "24 in" }\ndrop = "20 in"'
    caution = found("strip-on-flange", drains=drain)[0]
    assert caution.level is Level.CAUTION
    assert "the strip along A-B would lie on a flange" in caution.says
    assert found("strip-on-flange", drains=drain, strips='thickness = "1/4 in"') == []


def test_a_channel_from_wall_to_wall_is_a_note(found):
    drain = (
        'kind = "channel"\nsize = "3 in"\nfrom = { wall = "A-B", along = "0 in", off = "6 in" }\n'
        'to = { wall = "A-B", along = "48 in", off = "6 in" }\ndrop = "20 in"'
    )
    notes = found("strip-on-flange", drains=drain, bed='shape = "plane"')
    assert [note.level for note in notes] == [Level.NOTE] * 2
    assert "B-C" in notes[0].says
    assert "D-A" in notes[1].says


@pytest.mark.parametrize("shape", ["even-fall", "level-walls"])
@pytest.mark.parametrize("short", ["19 1/4", "19 1/2", "20", "21"])
def test_the_quick_look_never_passes_over_what_the_strips_know(make, shape, short):
    from engine.plan import plan

    job = make([*LEVEL.items(), ((24, 0), short), ((0, 30), "20 1/4")], bed=f'shape = "{shape}"')
    planned = plan(job)
    told = {(f.rule, f.says.split("along ")[1][:3]) for f in planned.findings if f.rule in RULES}
    known = {("strip-low", strip.wall) for strip in planned.strips if not strip.fits}
    known |= {("strip-notched", strip.wall) for strip in planned.strips if strip.notches and strip.fits}
    assert told == known


class TestStock:
    def test_boards_shorter_than_a_wall_say_where_to_splice(self, found):
        note = found("stock-short", strips='stock = "40 in"')[0]
        assert note.level is Level.NOTE
        assert note.key == "strips.stock"
        assert "boards of 40 in are shorter" in note.says
        for wall, corner in zip(("A-B", "B-C", "C-D", "D-A"), "ABCD", strict=True):
            assert f"{wall} 40 in from {corner}" in note.remedy
        # The rest of 8 in is longer than the least piece, so it stays as it is.
        assert note.remedy.endswith("or take boards of 48 in")
        assert note.change == (("strips.stock", "48 in"),)

    def test_the_splices_are_the_stock_plans(self, make):
        from engine.plan import plan

        planned = plan(make(strips='stock = "17 in"'))
        told = next(finding.remedy for finding in planned.findings if finding.rule == "stock-short")
        for splice in planned.stock.splices:
            assert f"{round(splice.along / 25.4)} in" in told

    def test_boards_that_are_long_enough_or_not_named_say_nothing(self, found):
        assert found("stock-short", strips='stock = "48 in"') == []
        assert found("stock-short", outline='rectangle = ["60 in", "48 in"]') == []

    def test_its_change_clears_it(self, found):
        note = found("stock-short", strips='stock = "40 in"')[0]
        assert found("stock-short", strips=f'stock = "{note.change[0][1]}"') == []


ELL = [(0, 0), (1500, 0), (1500, 1000), (900, 1000), (900, 500), (0, 500)]


class TestIslandsNearWalls:
    """A post 100 mm square in a room 1500 x 1000 mm; strips 12 mm thick, so 24 mm for two."""

    @staticmethod
    def near(make_plan, x, y, **words):
        post = [(x, y), (x + 100, y), (x + 100, y + 100), (x, y + 100)]
        made = make_plan(
            "rectangle = [1500, 1000]",
            at=(1000, 500),
            drop=500,
            shape="even-fall",
            readings=[('"A"', 560)],
            islands=[post, [(600, 600), (700, 600), (700, 700)]],
            **words,
        )
        return [finding for finding in made.findings if finding.rule == "strips-overlap"]

    def test_nearer_than_two_strips_are_thick_they_overlap(self, make_plan):
        (caution,) = self.near(make_plan, 300, 15)
        assert caution.says == (
            "two strips overlap on A-B, 300 mm from A: island 1 leaves 15 mm there, and they take 24 mm"
        )
        assert caution.remedy.endswith("or take strips of at most 7.5 mm")
        assert (caution.level, caution.key) == (Level.CAUTION, "strips.thickness")
        assert self.near(make_plan, 300, 15, extra="[strips]\nthickness = 7.5\n") == []

    def test_as_far_as_two_are_thick_they_do_not(self, make_plan):
        assert self.near(make_plan, 300, 24) == []

    def test_two_islands_do_too(self, make_plan):
        (caution,) = self.near(make_plan, 480, 600)
        assert caution.says.startswith("two strips overlap at island 1 corner 2: island 2 leaves 20 mm")

    def test_at_an_open_edge_stands_no_strip(self, make_plan):
        assert self.near(make_plan, 300, 15, outline_extra='edges = { "A-B" = "open" }') == []


class TestADrainNearAWallsLine:
    """Level walls, the drain 300 mm past the end E of the wall E-F: a facet as steep as H x 300 / (off x 250)."""

    @staticmethod
    def steep(make_plan, off, shape="level-walls"):
        plan = make_plan(ELL, at=(1200, 500 - off), drop=500, readings=[('"A"', 560)], shape=shape)
        return plan, [finding for finding in plan.findings if finding.rule == "strip-steep"]

    @pytest.mark.parametrize("off", [1, 20])
    def test_its_strip_is_bevelled_more_than_a_saw_tilts(self, make_plan, off):
        plan, (caution,) = self.steep(make_plan, off)
        far = math.hypot(300, off)
        bevel = math.degrees(math.atan(plan.bed.wall_height * far / (off * (far - 50))))
        assert caution.says.startswith(f"the strip along E-F is bevelled {bevel:.1f} degrees, and a saw tilts to 45: ")
        assert (caution.level, caution.key) == (Level.CAUTION, "bed.shape")

    def test_farther_off_a_saw_does(self, make_plan):
        """26 x 306 / (60 x 256): 27 degrees."""
        plan, none = self.steep(make_plan, 60)
        assert (plan.bed.wall_height, none) == (26, [])

    def test_an_even_fall_is_nowhere_steeper_than_its_fall(self, make_plan):
        assert self.steep(make_plan, 1, "even-fall")[1] == []
