"""The work in the plan as text: cut list, boards as bars, straightedges, mud, load, shopping, order, other ways."""

from __future__ import annotations

import re

import pytest

from engine.sheets.page.cutting import strip_rows
from engine.sheets.text import plan_text

OUT_OF_LEVEL = [('"A"', 520.0), ('"B"', 516.0), ('"C"', 524.0), ('"D"', 530.0)]
ELL = [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)]


def section(text, title):
    """The lines under a heading, joined, so that wrapping does not matter."""
    lines = text.splitlines()
    start = next(i for i, line in enumerate(lines) if line.startswith(title))
    rest = lines[start + 1 :]
    end = next((i for i, line in enumerate(rest) if line and line == line.upper() and line[0].isalpha()), len(rest))
    return " ".join(" ".join(rest[:end]).split())


@pytest.fixture(scope="module")
def ell(make_plan):
    """A room with a corner that points into it, an even fall, and boards shorter than its long walls."""
    return plan_text(
        make_plan(ELL, at=(450, 1350), shape="even-fall", extra='[strips]\nstock = "1000 mm"\nthickness = "12 mm"\n')
    )


@pytest.fixture(scope="module")
def room(make_plan):
    """A room with a curb and readings."""
    return plan_text(
        make_plan(
            [(0, 0), (1500, 0), (1500, 900), (0, 900)],
            at=(600, 400),
            drop=480.0,
            readings=OUT_OF_LEVEL,
            outline_extra='edges = { "D-A" = "curb" }',
            extra='[curb]\ndrop = "380 mm"\n',
        )
    )


class TestStrips:
    def test_inside_and_outside_corners_are_told_apart(self, ell):
        cut = section(ell, "PERIMETER STRIPS")
        # C-D ends at D, which points into the floor: half of 270 degrees leaves the inner face longer by its thickness.
        assert "at D: outside corner, saw 45.0 degrees off square, inner face longer by 12 mm" in cut
        assert "at A: inside corner, saw 45.0 degrees off square, inner face shorter by 12 mm" in cut

    def test_a_sloped_top_is_told_from_place_to_place(self, ell):
        assert "top sloped, straight from place to place, measured from A:" in section(ell, "PERIMETER STRIPS")

    def test_where_the_top_slopes_its_height_and_gap_are_those_of_the_strip_as_it_is_cut(self, samples):
        """1400 mm of a plane at 1:48: from 19 to 45 mm high, not the 29.2 mm to bed under a strip of 19 mm."""
        cut = section(plan_text(samples["tram_depot"]), "PERIMETER STRIPS")
        assert "1400 mm long, inner face 1376 mm, 19 mm to 45 mm high with up to 4 mm to bed under it" in cut

    def test_where_its_heights_read_alike_a_strip_is_told_as_of_one(self, make_plan):
        """A channel 5 mm askew: the bed rises by 0.1 mm along A-B, from 8.4 to 8.5 over a floor 40 mm under it."""
        channel = '[[drains]]\nkind = "channel"\nsize = 60\n'
        channel += "from = { x = 100, y = 455 }\nto = { x = 1100, y = 450 }\ndrop = 500\n"
        level = [(f'"{corner}"', 540.0) for corner in "ABCD"]
        made = make_plan("rectangle = [1200, 900]", shape="plane", readings=level, extra=channel)
        assert [strip.is_sloped for strip in made.strips] == [True] * 4
        along_channel = section(plan_text(made), "PERIMETER STRIPS").split("B-C:")[0]
        assert "inner face 1176 mm, 45 mm high with" in along_channel
        assert "top sloped" not in along_channel
        assert strip_rows(made)[0].height == "45 mm"
        assert strip_rows(made)[1].height.startswith("45 at 0, ")

    def test_a_notched_strip_is_as_high_as_it_is_cut(self, make_plan):
        """The bed is 23 mm up; the floor climbs from 40 mm under the flange to 15 over it, half way along A-B.

        5 mm would be left there; the strip is cut 13 mm higher and notched. 23 + 40 less 18 are left at its ends.
        """
        readings = [*((f'"{corner}"', 540.0) for corner in "ABCD"), ((1000, 0), 485.0)]
        made = make_plan("rectangle = [2000, 1000]", at=(1000, 500), drop=500.0, readings=readings)
        cut = section(plan_text(made), "PERIMETER STRIPS")
        assert "A-B: 2000 mm long, inner face 1976 mm, 18 mm high with up to 45 mm to bed under it" in cut
        assert strip_rows(made)[0].height == "18 mm"

    def test_the_gap_under_a_strip_is_told_along_it_where_it_varies(self, make_plan):
        """The walls' bed is 12.93 mm up, so 13; the floor 30 mm under the flange at A and D, 42 at B and C; in the
        middle of A-B 40 in place of the 36 of a straight floor. A-B is 13 + 30 less 3 mm high, D-A 13 + 30 - 3.
        """
        readings = [
            ('"A"', 530.0),
            ('"B"', 542.0),
            ('"C"', 542.0),
            ('"D"', 530.0),
            ("{ x = 600, y = 0 }", 540.0),
        ]
        made = make_plan("rectangle = [1200, 600]", at=(600, 300), drop=500.0, readings=readings)
        cut = section(plan_text(made), "PERIMETER STRIPS")
        told = "to bed under it, straight from place to place, measured from"
        assert f"{told} A: 3 mm at 0 mm, 13 mm at 600 mm and 15 mm at 1200 mm" in cut
        assert f"{told} C: 15 mm at 0 mm and 3 mm at 1200 mm" in cut
        assert cut.count(told) == 2
        assert [row.gap for row in strip_rows(made)] == ["3 to 15 mm", "3 mm", "3 to 15 mm", "3 mm"]

    def test_a_strip_beside_an_open_edge_is_square(self, make_plan):
        text = plan_text(
            make_plan("rectangle = [1500, 900]", at=(600, 400), outline_extra='edges = { "D-A" = "open" }')
        )
        cut = section(text, "PERIMETER STRIPS")
        assert "at A: cut square, beside the open edge" in cut
        assert "D-A:" not in cut

    def test_a_high_spot_is_notched_and_one_too_high_is_called_so(self, make_plan):
        # 40 mm of slab standing up beside A-B under a bed that is only some 20 to 60 mm over it.
        readings = [('"A"', 520), ('"B"', 520), ('"C"', 520), ('"D"', 520), ("{ x = 750, y = 0 }", 456)]
        text = plan_text(make_plan("rectangle = [1500, 900]", at=(600, 400), drop=470.0, readings=readings))
        assert re.search(r"notch its foot \d+ mm high from \d+ mm to \d+ mm from A", section(text, "PERIMETER STRIPS"))
        flat = [('"A"', 456), ('"B"', 456), ('"C"', 520), ('"D"', 520)]
        text = plan_text(make_plan("rectangle = [1500, 900]", at=(600, 400), drop=470.0, readings=flat))
        assert "NO STRIP FITS HERE" in section(text, "PERIMETER STRIPS")

    def test_a_flange_in_a_strips_way_is_called_so(self, make_plan):
        text = plan_text(make_plan("rectangle = [1500, 900]", at=(600, 55), size=100))
        assert "THE STRIP RUNS INTO A FLANGE" in section(text, "PERIMETER STRIPS")


class TestStock:
    def test_bars_are_one_board_long_and_name_their_pieces(self, ell):
        bars = [line for line in ell.splitlines() if line.startswith("|")]
        assert len(bars) == len(re.findall(r"^Board \d+:", ell, re.MULTILINE))
        assert {len(bar) for bar in bars} == {71}
        assert "A-B" in bars[0]

    def test_a_bar_is_to_scale(self, make_plan):
        text = plan_text(
            make_plan("rectangle = [1000, 500]", at=(400, 250), extra='[strips]\nstock = "2000 mm"\nkerf = "0 mm"\n')
        )
        bars = sorted(line for line in text.splitlines() if line.startswith("|"))
        assert [bar.count("|") for bar in bars] == [
            3,
            4,
        ]  # two of 1 m fill a board; two of half a metre leave a rest
        # 70 signs stand for 2 m: a 1 m piece takes 35 of them, its cut included.
        assert all(bar[35] == "|" for bar in bars)

    def test_says_where_to_splice(self, ell):
        boards = section(ell, "BOARDS FOR THE STRIPS")
        assert "Splice the strip of A-B 1000 mm from A" in boards
        assert "No fewer boards will do." in boards


class TestStraightedges:
    def test_one_board_is_trimmed_from_the_longest_down(self, room):
        told = section(room, "STRAIGHTEDGES")
        order = re.search(r"in this order as the work goes: ([^.]*)\.", told).group(1)
        lengths = [int(text) for text in re.findall(r"\d+", order)]
        assert lengths == sorted(lengths, reverse=True)
        assert len(lengths) > 1
        for length in lengths:
            assert re.search(rf"{length} mm: serves [A-D]-[A-D] from \d+ mm to \d+ mm", told)

    def test_where_the_water_bends_the_corner_is_named(self, ell):
        assert "Round corner D the water bends" in section(ell, "STRAIGHTEDGES")


class TestMudAndLoad:
    def test_mud_in_bags(self, room):
        mud = section(room, "MORTAR")
        assert re.search(r"Bags: \d+ bags of 25 kg, each making 12.5 L", mud)
        assert "Squeeze a handful" in mud
        assert "from the far corners to the way out (D-A)" in mud

    def test_site_mix_by_parts(self, make_plan):
        text = plan_text(
            make_plan("rectangle = [1500, 900]", at=(600, 400), extra='[mortar]\nsupply = "site"\nparts = 4\n')
        )
        assert "1 part of cement to 4 of damp loose sand by volume, no lime" in section(text, "MORTAR")

    def test_load_against_what_is_allowed(self, room, whole, variant):
        assert "the job does not say what the floor was checked for" in section(room, "LOAD ON THE FLOOR")
        text = plan_text(variant('kind = "concrete"', 'kind = "concrete"\ndead_load_allowance = "45 psf"'))
        assert "Allowed: 45 psf (2.15 kPa): your own figure" in section(text, "LOAD ON THE FLOOR")
        assert "licensed engineer" in section(plan_text(whole), "LOAD ON THE FLOOR")


class TestLayersAndHeights:
    def test_lath_is_laid_out_on_the_floor(self, variant):
        layers = section(plan_text(variant("bond_coat = true", "lath = true")), "LAYERS")
        # A floor of 48 x 40 in under sheets of 27 x 96 in: two rows along A-B, the second lapped 2 in over the first.
        assert "Row 1, cut from sheet 1: 48 in x 27 in, from 0 in to 48 in along A-B and 0 in to 27 in off it" in layers
        assert (
            "Row 2, cut from sheet 1: 48 in x 15 in, from 0 in to 48 in along A-B and 25 in to 40 in off it" in layers
        )

    def test_each_corner_has_its_finished_height(self, room):
        heights = section(room, "FINISHED HEIGHTS")
        for corner in "ABCD":
            assert re.search(rf"Corner {corner}: [\d.]+ mm above the grate", heights)

    def test_the_tile_stands_as_far_over_a_mark_as_the_grate_over_the_flange(self, room):
        """The tile of 5/16 in, 7.9375 mm, in 1/8 in, 3.175 mm: 11.1 mm, told up."""
        heights = section(room, "FINISHED HEIGHTS")
        assert "Drain grate: 11.2 mm above the flange" in heights
        assert "At a wall mark: tile 11.2 mm above the mark" in heights

    def test_an_open_edge_says_how_deep_the_recess_is(self, make_plan):
        text = plan_text(
            make_plan("rectangle = [1500, 900]", at=(600, 400), outline_extra='edges = { "D-A" = "open" }')
        )
        assert re.search(r"has to lie [\d.]+ mm under the finished floor outside", section(text, "FINISHED HEIGHTS"))

    def test_both_codes_heights_of_the_lining_are_told(self, room):
        assert "the codes differ, the higher figure is taken: 77 mm (UPC 408.7); 51 mm (IPC 417.5.2)" in section(
            room, "FINISHED HEIGHTS"
        )


class TestOrder:
    def test_cautions_stand_at_the_steps_where_they_matter(self, room):
        order = section(room, "ORDER OF WORK")
        steps = re.split(r"Step \d+, day \d+: ", order)
        mixing = next(step for step in steps if step.startswith("Carry in and mix"))
        assert "CAUTION, silica" in mixing
        assert "CAUTION, wet cement" in mixing
        assert "CAUTION, lifting" in mixing
        drain = next(step for step in steps if step.startswith("Set the drain"))
        assert "CAUTION, plumbing" in drain

    def test_portions_stand_in_their_order(self, room):
        order = section(room, "ORDER OF WORK")
        assert order.index("Portion 1, more than") < order.index("Portion 2,") < order.index("Portion 3, up to")

    def test_a_portion_that_takes_the_rest_of_an_open_bag_opens_none(self, make_plan):
        bags = '[mortar]\nbag = "40 kg"\nyield = "0.06 m^3"\n'  # 60 l; the portions take 22.6, 20 and 22.1 l
        level = {"drop": 470.0, "readings": [('"A"', 500.0)]}
        found = make_plan("rectangle = [1500, 900]", at=(600, 400), extra=bags, **level)
        order = section(plan_text(found), "ORDER OF WORK")
        assert re.findall(r"with waste, ([^-.]*?) - ", order) == [
            "open 1 bag",
            "from the bag that is open",
            "open 1 bag",
        ]

    def test_the_flood_test_says_depth_water_weight_time_and_what_passes(self, room):
        steps = re.split(r"Step \d+, day \d+: ", section(room, "ORDER OF WORK"))
        test = next(step for step in steps if step.startswith("Flood test"))
        for words in (
            "51 mm deep at the threshold",
            "of water,",
            "kPa",
            "24 h, at most 72 h",
            "It passes when",
        ):
            assert words in test

    def test_dates_stand_beside_the_days(self, variant):
        text = plan_text(variant("[floor]", "start = 2028-02-28\n[floor]"))
        assert "Step 1, day 1, 2028-02-28" in text
        assert "day 2, 2028-02-29" in text


class TestShoppingAndOtherWays:
    def test_every_item_says_how_it_was_reckoned(self, room):
        items = section(room, "SHOPPING LIST").split(" - ")
        assert len(items) >= 6
        for item in items:
            assert "Reckoned: " in item
            assert "(source: " in item

    def test_the_straightedges_board_is_long_enough_for_the_longest(self, room):
        order = re.search(r"in this order as the work goes: (\d+) mm", " ".join(room.split()))
        bought = re.search(r"straightedge board: 1 board of (\d+) mm", " ".join(room.split()))
        assert int(bought.group(1)) >= int(order.group(1))

    def test_the_table_has_three_ways_in_columns(self, room):
        rows = [line for line in room.splitlines() if line.startswith(("fits the room", "waits, in all"))]
        assert len(rows) == 2
        assert all(len(re.split(r"\s{2,}", row)) == 4 for row in rows)
        assert "No prices are given" in " ".join(room.split())
