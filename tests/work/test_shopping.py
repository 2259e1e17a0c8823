"""The shopping list: what is on it for each build, rounded up to what shops sell."""

from __future__ import annotations

import pytest

from engine.work.shopping import Item, Purchase, amount, item_words

ROOM = {"at": (600, 400), "drop": 470.0, "readings": [(f'"{name}"', 520.0) for name in "ABCD"]}
RECTANGLE = "rectangle = [1500, 900]"


def listed(make_plan, extra="", **words):
    work = make_plan(RECTANGLE, **{**ROOM, **words}, extra=extra).work
    return {purchase.item: purchase for purchase in work.shopping}, work


def test_words_for_quantities():
    def bought(quantity, unit, of=""):
        return amount(Purchase(Item.TILE, quantity, unit, of, "", ""))

    assert bought(1, "bag", "60 lb") == "1 bag of 60 lb"
    assert bought(3, "bag", "60 lb") == "3 bags of 60 lb"
    assert bought(2, "box", "1000") == "2 boxes of 1000"
    assert bought(21, "sq ft") == "21 sq ft"
    assert bought(15, "sq ft", "5/16 in thick") == "15 sq ft, 5/16 in thick"
    assert item_words(Item.WEEP_GRAVEL) == "weep hole gravel"


class TestMud:
    def test_bags_and_cement_for_the_bond_coat(self, make_plan):
        found, work = listed(make_plan)
        assert found[Item.DECK_MUD].quantity == work.mortar.mix.count
        # 1.5 mm over 1.35 m2 at 94 lb per cu ft (1.506 kg/L): 3.05 kg.
        assert work.mortar.slurry == pytest.approx(1.5 * 1500 * 900 * 1.50573e-6, rel=1e-4)
        assert (found[Item.CEMENT].quantity, found[Item.CEMENT].of) == (1, "25 kg")

    def test_site_mix_buys_cement_for_mud_and_bond_coat_together_and_sand(self, make_plan):
        found, work = listed(make_plan, '[mortar]\nsupply = "site"\nparts = 4')
        mix = work.mortar.mix
        assert Item.DECK_MUD not in found
        assert found[Item.CEMENT].quantity == -(-(mix.cement_mass + work.mortar.slurry) // 25)
        assert found[Item.SAND].quantity == -(-mix.sand_mass // 25)
        assert "bond coat" in found[Item.CEMENT].reckoned

    def test_what_is_reckoned_reads_no_less_than_what_is_needed(self, make_plan):
        found, work = listed(make_plan)
        told = float(found[Item.DECK_MUD].reckoned.rsplit(": ", 1)[1].split()[0])
        assert work.mortar.mix.exact <= told < work.mortar.mix.exact + 0.01


class TestBuilds:
    def test_over_and_between(self, make_plan):
        over, _ = listed(make_plan)
        between, work = listed(make_plan, '[build]\nwaterproofing = "between-beds"\nupper_bed = 40')
        assert Item.MEMBRANE in over
        assert Item.LINER not in over
        assert Item.LINER in between
        assert Item.WEEP_GRAVEL in between
        assert Item.MEMBRANE not in between
        assert Item.WIRE_FABRIC not in between
        assert work.mortar.upper == 1500 * 900 * 40

    def test_a_large_pan_buys_wire_fabric_for_all_of_it(self, make_plan):
        work = make_plan(
            "rectangle = [3000, 2500]",
            **{**ROOM, "at": (1500, 1250)},
            extra='[build]\nwaterproofing = "between-beds"\n',
        ).work
        fabric = next(purchase for purchase in work.shopping if purchase.item is Item.WIRE_FABRIC)
        assert fabric.quantity == 9  # 7.5 m2 and a tenth are 8.25

    def test_no_strips_no_boards(self, make_plan):
        edges = ", ".join(f'"{wall}" = "open"' for wall in ("A-B", "B-C", "C-D", "D-A"))
        found, work = listed(make_plan, outline_extra=f"edges = {{ {edges} }}")
        assert work.strips == ()
        assert Item.STRIP_BOARD not in found
        assert Item.STRAIGHTEDGE in found

    def test_the_straightedges_board_is_the_longest_of_them(self, make_plan):
        found, work = listed(make_plan)
        long = float(found[Item.STRAIGHTEDGE].of.split()[0])
        assert work.edges.lengths[0] <= long < work.edges.lengths[0] + 100

    def test_tile_mortar_is_left_out_where_there_is_none(self, make_plan):
        assert Item.TILE_MORTAR not in listed(make_plan, "[build]\ntile_setting = 0")[0]

    @pytest.mark.parametrize("extra", ["", '[mortar]\nsupply = "site"', '[build]\nwaterproofing = "between-beds"'])
    def test_every_item_is_a_whole_number_and_says_how_it_came_about(self, make_plan, extra):
        for purchase in listed(make_plan, extra)[0].values():
            assert purchase.quantity == int(purchase.quantity) > 0
            assert purchase.reckoned
            assert purchase.source
