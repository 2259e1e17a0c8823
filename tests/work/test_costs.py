"""Costs: only of what the person priced, exact, rounded up to cents where they are told; refused in words otherwise."""

from __future__ import annotations

import csv
import io
import json
from decimal import Decimal

import pytest

from engine.errors import JobError
from engine.job.edit import entry_text, with_entry, with_units
from engine.job.shop_items import PRICE_KINDS, Item, WayItem, price_key
from engine.job.toml_file import dump_job, parse_job
from engine.plan import plan
from engine.quantities import Units
from engine.sheets.cost_figures import shopping_csv
from engine.sheets.digest import digest
from engine.sheets.json import plan_json
from engine.sheets.text import plan_text
from engine.work.costs import shopping_bill, to_cents, total_words, way_bill

JOB = """format = 1

[job]
name = "priced"

[floor]
kind = "concrete"
bond_coat = true

[outline]
rectangle = ["48 in", "48 in"]

[[drains]]
kind = "round"
size = "6 in"
at = { "A-B" = "24 in", "D-A" = "24 in" }
drop = "20 in"

[[readings]]
at = "A"
drop = "22 in"

[bed]
shape = "level-walls"
"""
PRICES = '\n[prices]\ncurrency = "EUR"\ndeck_mud = 7.45\nportland_cement = "3,335"\nleveller = 30\n'


def planned(prices=""):
    return plan(parse_job(JOB + prices))


@pytest.fixture(scope="module")
def priced():
    return planned(PRICES)


class TestExact:
    def test_each_line_is_quantity_times_price(self, priced):
        """7 bags at 7.45 are 52.15; 1 bag of cement at 3.335 is 3.335, told as 3.34."""
        bill = shopping_bill(priced.work)
        bags = next(one.quantity for one in priced.work.shopping if one.item is Item.DECK_MUD)
        assert bill.line(Item.DECK_MUD).cost == int(bags) * Decimal("7.45")
        assert bill.line(Item.CEMENT).cost == Decimal("3.335")
        assert bill.total == int(bags) * Decimal("7.45") + Decimal("3.335")

    def test_a_total_is_rounded_up_to_cents_once(self):
        """Three times 0.001 are 0.003 and so 0.01, not three cents."""
        assert to_cents(sum([Decimal("0.001")] * 3)) == Decimal("0.01")
        assert to_cents(Decimal("10.00")) == Decimal("10.00")

    def test_tenths_do_not_drift_as_floats_do(self):
        bill = shopping_bill(planned("\n[prices]\ndeck_mud = 0.1\nportland_cement = 0.2\n").work)
        bags = next(line.needed.quantity for line in bill.lines if line.needed.item is Item.DECK_MUD)
        assert bill.total == bags / 10 + Decimal("0.2")

    def test_a_price_of_nothing_is_a_price(self):
        bill = shopping_bill(planned("\n[prices]\ntile = 0\n").work)
        assert bill.total == 0
        assert Item.TILE not in bill.unpriced


class TestTold:
    def test_what_has_no_price_is_named_and_not_in_the_total(self, priced):
        bill = shopping_bill(priced.work)
        assert {line.needed.item for line in bill.lines} == {Item.DECK_MUD, Item.CEMENT}
        bought = [one.item for one in priced.work.shopping]
        assert list(bill.unpriced) == [item for item in bought if item not in (Item.DECK_MUD, Item.CEMENT)]
        assert "without a price: bonded membrane" in total_words(bill)

    def test_without_any_price_nothing_is_said_of_cost(self):
        usual = planned()
        assert shopping_bill(usual.work) is None
        assert "Cost" not in plan_text(usual)
        assert "cost" not in plan_json(usual)
        assert shopping_csv(usual).startswith("item,quantity,unit,of,reckoned,source\n")
        assert "No prices are given" in plan_text(usual)

    def test_a_currency_alone_is_no_price(self):
        assert shopping_bill(planned('\n[prices]\ncurrency = "EUR"\n').work) is None

    def test_in_text_json_and_csv(self, priced):
        bags = int(priced.work.shopping[0].quantity)
        cost = f"{bags * Decimal('7.45')}"
        assert f"Cost: {bags} at 7.45 EUR each: {cost} EUR" in plan_text(priced)
        whole = json.loads(plan_json(priced))
        assert whole["shopping"][0]["price"] == 7.45
        assert whole["shopping"][0]["cost"] == float(cost)
        assert whole["costs"]["total"] == float(to_cents(bags * Decimal("7.45") + Decimal("3.335")))
        rows = list(csv.DictReader(io.StringIO(shopping_csv(priced))))
        assert (rows[0]["item"], rows[0]["price"], rows[0]["cost"]) == ("deck-mud", "7.45", cost)
        assert [row["cost"] for row in rows if row["item"] == "tile"] == [""]
        assert len(rows) == len(priced.work.shopping)

    def test_other_ways_only_by_their_own_prices(self, priced):
        mortar, tray, receptor = (way_bill(priced.work, way) for way in priced.work.ways)
        assert mortar == shopping_bill(priced.work)
        assert tray.line(WayItem.LEVELLER).cost == tray.line(WayItem.LEVELLER).needed.quantity * 30
        assert WayItem.TRAY in tray.unpriced
        assert receptor.unpriced[-1] is WayItem.RECEPTOR
        assert "cost, as priced" in plan_text(priced)

    def test_a_tray_costs_the_same_floor_as_the_mortar_bed(self):
        """16 sq ft of floor and 10 % for cuts: 18 sq ft of tile at 4; a tray at 300; the bag of tile mortar at 20.

        Level floor: 1/8 in of leveller over 16 sq ft is 1/6 cu ft, told as 0.17, at 30 a cubic foot 5.10; primer at
        0.50 and the mortar that the tray lies in at 2 the sq ft of floor.
        """
        prices = (
            "\n[prices]\ntile = 4\ntile_mortar = 20\nbonded_membrane = 2\nsloped_tray = 300\nleveller = 30\n"
            'primer = "0.50"\nbedding_mortar = 2\n'
        )
        work = planned(prices).work
        mortar, tray, _ = (way_bill(work, way) for way in work.ways)
        membrane = mortar.line(Item.MEMBRANE)
        assert tray.unpriced == ()
        assert tray.line(Item.TILE).cost == 18 * 4
        assert tray.line(Item.MEMBRANE) == membrane
        assert tray.total == Decimal("5.10") + 16 * Decimal("0.50") + 16 * 2 + 300 + 18 * 4 + 20 + membrane.cost

    def test_a_receptor_on_a_level_floor_takes_bedding_mortar_and_no_primer(self):
        work = planned("\n[prices]\nreceptor = 400\nprimer = 9\nbedding_mortar = 2\nleveller = 30\n").work
        receptor = way_bill(work, work.ways[2])
        assert receptor.line(WayItem.PRIMER) is None
        assert receptor.total == 400 + 16 * 2

    def test_prices_change_nothing_that_is_built(self, priced):
        assert digest(priced) == digest(planned())

    def test_a_currency_is_shown_as_typed_and_never_obeyed(self):
        """A spreadsheet takes a cell that begins with = for a formula."""
        text = '\n[prices]\ncurrency = "=1+1"\ndeck_mud = 1\n'
        assert "'=1+1" in shopping_csv(planned(text))
        assert "=1+1" in plan_text(planned('\n[prices]\ncurrency = "[b]=1+1"\ndeck_mud = 1\n'))


class TestFile:
    def test_keeps_prices_as_typed(self):
        job = parse_job(JOB + PRICES)
        assert dump_job(job).endswith(PRICES)
        assert entry_text(job, "prices.portland_cement") == "3,335"
        assert parse_job(dump_job(job)) == job

    def test_sets_and_takes_away_one(self):
        job = with_entry(parse_job(JOB), "prices.tile", "31.90")
        assert job.prices[0][1].each == Decimal("31.90")
        assert with_entry(job, "prices.tile", "").prices == ()

    @pytest.mark.parametrize(
        ("text", "words"),
        [
            ("-1", "cannot be negative"),
            ("a lot", "no plain number"),
            ("1 EUR", "no plain number"),
            ("2e3", "no plain"),
        ],
    )
    def test_refuses_what_is_no_price(self, text, words):
        with pytest.raises(JobError, match=words):
            with_entry(parse_job(JOB), "prices.tile", text)

    def test_other_units_are_refused_while_there_are_prices(self):
        """A price for a sq ft is none for a m2, and a bag of 94 lb is none of 25 kg."""
        with pytest.raises(JobError, match="packs and areas in the job's units; take them out"):
            with_units(parse_job(JOB + PRICES), Units.MM)
        assert with_units(parse_job(JOB), Units.MM).units is Units.MM

    def test_every_item_can_have_one(self):
        assert set(PRICE_KINDS) == {"currency", *(price_key(item) for item in (*Item, *WayItem))}
