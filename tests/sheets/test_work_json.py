"""The work in the plan as JSON: the contract's keys, plain values, and nulls while the plan waits."""

from __future__ import annotations

import json
from datetime import date, timedelta
from itertools import pairwise

import pytest

from engine.quantities import PSF
from engine.sheets.digest import digest
from engine.sheets.json import plan_json
from engine.sheets.work_figures import KEYS

# A liner between two beds, boards shorter than the long walls, mud from bags or mixed on site.
EXTRA = (
    '[build]\nwaterproofing = "between-beds"\nupper_bed = "40 mm"\n'
    '[strips]\nstock = "1000 mm"\n[mortar]\nsupply = "{supply}"\n'
)


@pytest.fixture(scope="module", params=["bag", "site"])
def planned(request, make_plan):
    return make_plan(
        [(0, 0), (1500, 0), (1500, 900), (0, 900)],
        at=(600, 400),
        drop=480.0,
        readings=[(f'"{name}"', drop) for name, drop in zip("ABCD", (520.0, 516.0, 524.0, 530.0), strict=True)],
        outline_extra='edges = { "D-A" = "curb" }',
        extra=EXTRA.format(supply=request.param) + '[curb]\ndrop = "380 mm"\n',
    )


@pytest.fixture(scope="module")
def printed(planned):
    return json.loads(plan_json(planned))


def test_shopping_has_the_contracts_keys_first(printed):
    for purchase in printed["shopping"]:
        assert list(purchase)[:4] == ["item", "quantity", "unit", "of"]
        assert isinstance(purchase["quantity"], float)
        assert purchase["quantity"] == int(purchase["quantity"]) > 0
        assert purchase["reckoned"]
        assert purchase["source"]


def test_a_mm_jobs_bags_are_the_contracts_default(printed, planned):
    mix = printed["mortar"]["mix"]
    if mix["supply"] == "site":
        assert mix["sand"]["volume"] == pytest.approx(5 * mix["cement"]["volume"], abs=5)
        return
    assert (mix["of"], mix["bag"], mix["yield"]) == ("25 kg", 25.0, 12_500_000)
    bought = next(item for item in printed["shopping"] if item["item"] == "deck-mud")
    assert (bought["quantity"], bought["unit"], bought["of"]) == (mix["bags"], "bag", "25 kg")
    assert mix["exact"] == pytest.approx(1.1 * (planned.depth.volume + 1500 * 900 * 40) / 12.5e6, abs=0.0006)


def test_portions_add_up_to_both_beds(printed):
    parts, mud = printed["portions"]["parts"], printed["mortar"]
    assert sum(part["volume"] for part in parts) == pytest.approx(mud["bed"], abs=len(parts))
    assert sum(part["upper_volume"] for part in parts) == pytest.approx(mud["upper_bed"], abs=len(parts))
    assert mud["upper_bed"] == 1500 * 900 * 40
    if mud["mix"]["supply"] == "bag":
        opened = sum(part["bags"] + part["upper_bags"] for part in parts)
        assert opened == mud["mix"]["bags"]


def test_boards_hold_every_strip_and_splices_are_told(printed):
    stock = printed["stock"]
    for board in stock["boards"]:
        used = sum(piece["length"] for piece in board["pieces"])
        assert used + stock["kerf"] * (len(board["pieces"]) - 1) + board["offcut"] <= 1000 + 1e-3
    cut = sum(piece["length"] for board in stock["boards"] for piece in board["pieces"])
    assert cut == pytest.approx(2 * (1500 + 900), abs=1e-3)
    assert [splice["wall"] for splice in stock["splices"]] == ["A-B", "C-D"]
    assert stock["splices"][0]["along"] == 1000.0


def test_order_has_durations_and_says_where_each_wait_ends(printed):
    steps = printed["order"]
    assert [step["number"] for step in steps] == list(range(1, len(steps) + 1))
    for step, after in pairwise(steps):
        assert after["day"] == step["day"] + step["days"]
        assert "date" not in step
        if step["wait"]:
            assert step["days"] * 24 >= step["wait"]["hours"]
            assert step["wait"]["source"]
    assert {c["hazard"] for step in steps for c in step["cautions"]} >= {
        "silica",
        "wet-cement",
        "lifting",
        "structure",
        "plumbing",
        "local-code",
    }


def test_dates_are_there_where_a_start_is(variant):
    found = json.loads(plan_json(variant("[floor]", "start = 2027-02-27\n[floor]")))
    for step in found["order"]:
        assert date.fromisoformat(step["date"]) == date(2027, 2, 27) + timedelta(days=step["day"])


def test_load_is_in_kilopascals(printed):
    load = printed["load"]
    # The upper bed alone: 40 mm of mud at 12 psf per inch (TileLetter).
    upper = next(part for part in load["parts"] if part["name"] == "upper bed")
    assert upper["mean"] == upper["worst"] == pytest.approx(40 / 25.4 * 12 * PSF, abs=0.00051)
    assert load["mean"] == pytest.approx(sum(part["mean"] for part in load["parts"]), abs=0.002)
    assert load["allowance"] is None


def test_layers_add_up_to_the_finished_height(printed):
    grate = sum(layer["most"] for layer in printed["layers"] if layer["name"] in ("upper-bed", "tile-mortar", "tile"))
    assert printed["heights"]["grate"] == pytest.approx(grate)


def test_every_figure_names_its_source(printed):
    assert printed["sources"]["water-load-an-inch"]["source"] == "ASTM D5957 note 1"
    assert all(entry["source"] for entry in printed["sources"].values())


def test_a_partial_plan_has_nulls(begun):
    found = json.loads(plan_json(begun))
    assert [found[key] for key in ("stock", "pulls", *KEYS)] == [None] * (2 + len(KEYS))


def test_the_digest_stays_over_what_it_covers(make_plan):
    room = {"at": (600, 400), "drop": 480.0}
    wet, dry = (
        make_plan("rectangle = [1500, 900]", **room, extra=f'[mortar]\nwaste = "{waste} %"') for waste in (5, 50)
    )
    assert digest(wet) == digest(dry)
    assert json.loads(plan_json(wet))["mortar"] != json.loads(plan_json(dry))["mortar"]
