"""The finished bed in the wizard: stations offered, readings typed as they are called out, what to mend at once."""

from __future__ import annotations

from pathlib import Path

from engine.plan import plan
from tui.desk import Desk
from tui.explaining import field_page
from tui.rows import TextRow, WordsRow
from tui.stations import built_fields
from tui.steps.as_built import AsBuiltStep

SAMPLE = Path(__file__).parents[2] / "sample_jobs" / "coopers_yard.toml"


def rows_of(desk):
    return AsBuiltStep.rows(desk.view)


def entered(desk, **drops):
    for place, drop in drops.items():
        desk.session.enter(f"as_built@{place}", drop)
        desk.session.leave()
    desk.plan_now()


class TestStations:
    def test_the_flange_comes_first_then_corners_then_half_way_to_the_drain(self):
        desk = Desk.sample()
        names = [field.name for field in built_fields(desk.session.job, desk.planner.plan)]
        assert names[:5] == ["flange", "A", "B", "C", "D"]
        assert {"A half way", "A-B half way"} <= set(names)

    def test_each_offers_the_drop_that_the_plan_gives_it(self):
        desk = Desk.sample()
        found = desk.planner.plan
        by_name = {field.name: field for field in built_fields(desk.session.job, found)}
        assert by_name["A"].planned == found.marks[0].below_line
        assert by_name["flange"].planned == found.drains[0].drop

    def test_a_reading_at_an_offered_place_stands_there_and_nowhere_else(self):
        desk = Desk.sample()
        entered(desk, A="19 5/8")
        fields = built_fields(desk.session.job, desk.planner.plan)
        assert [field.name for field in fields if field.index == 0] == ["A"]


class TestReadings:
    def test_a_reading_is_kept_as_typed_and_planned_with(self):
        desk = Desk.sample()
        entered(desk, A="19 5/8 in", B="19 3/4")
        assert [str(reading.drop.text) for reading in desk.session.job.as_built] == ["19 5/8 in", "19 3/4"]
        assert desk.session.job.readings == Desk.sample().session.job.readings
        texts = [row.mark for row in rows_of(desk) if isinstance(row, TextRow) and row.text]
        assert texts == ["", "1/8 in low"]

    def test_what_cannot_be_read_waits_beside_the_job(self):
        desk = Desk.sample()
        desk.session.enter("as_built@A", "19 5/")
        assert desk.session.job.as_built == ()
        assert "fraction" in desk.session.fault("as_built@A")

    def test_an_emptied_reading_goes_when_the_field_is_left(self):
        desk = Desk.sample()
        entered(desk, A="19 5/8")
        desk.session.enter("as_built@A", "")
        assert len(desk.session.job.as_built) == 1
        desk.session.leave()
        assert desk.session.job.as_built == ()

    def test_a_birdbath_and_its_mend_stand_on_the_step(self):
        desk = Desk.sample()
        entered(desk, **{"A": "19 5/8", "A-B 24 in off 9 in": "20 7/16"})
        text = "\n".join(row.text for row in rows_of(desk) if isinstance(row, WordsRow))
        assert "Water stands 3/16 in deep" in text
        assert "- fill" in text
        assert AsBuiltStep.state(desk.view).value == "trouble"

    def test_before_there_is_a_bed_the_step_says_what_comes_first(self):
        (row,) = rows_of(Desk.blank())
        assert row.text.startswith("The finished bed is read against the planned one")


class TestFloodTest:
    def test_the_log_is_judged_as_it_is_typed(self):
        desk = Desk.sample()
        entered(desk, A="19 5/8")
        for key, text in (("filled", "2 in"), ("hours", "24"), ("left", "1 1/2 in")):
            desk.session.enter(f"flood_test.{key}", text)
        desk.plan_now()
        text = "\n".join(row.text for row in rows_of(desk) if isinstance(row, WordsRow))
        assert "Fail: 1/2 in of 2 in lost in 24 h" in text


async def test_keys_alone_enter_readings_and_a_station_of_ones_own(wizard):
    async with wizard(SAMPLE, size=(100, 40)) as hand:
        await hand.press("pageup")
        await hand.until(lambda: "As built]" in hand.screen and "flange" in hand.line)
        assert "stands 3/16 in deep" in hand.screen
        assert "Water on the bed" in hand.screen
        for _ in range(7):
            await hand.press("enter")
        await hand.type("19 5/8")
        await hand.press("enter", "insert")
        await hand.until(lambda: "A station of your own" in hand.screen)
        await hand.press("enter")
        await hand.type("12")
        await hand.press("enter")
        await hand.type("9")
        await hand.press("enter")
        await hand.type("19 9/16")
        await hand.press("enter")
        await hand.until(lambda: len(hand.desk.session.job.as_built) == 10)
        assert len(plan(hand.desk.session.job).as_built.stations) == 9


async def test_the_map_shows_water_at_this_step_and_the_layer_before_at_the_next(wizard):
    async with wizard(SAMPLE) as hand:
        await hand.press("f4", "pageup")
        assert "Water on the bed" in hand.screen
        await hand.press("pageup", "pagedown", "pagedown")
        await hand.until(lambda: "Floor]" in hand.screen)
        assert "Bed height" in hand.screen
        await hand.press("pageup", "f4", "pagedown")
        assert "Built over plan" in hand.screen


def test_a_bed_built_as_planned_says_so_without_a_place():
    desk = Desk.sample()
    entered(desk, A="19 5/8")
    assert (
        rows_of(desk)[0].text
        == "Farthest off: none, every reading is as planned. Least fall 0.259 in/ft. No water stands."
    )


def test_a_stations_explanation_tells_where_it_is():
    desk = Desk.sample()
    keys = {field.name: field.key for field in built_fields(desk.session.job, desk.planner.plan)}
    assert ("Where", "A-B 24 in off 9 in") in field_page(keys["A-B half way"])[1]
    assert all(heading != "Where" for heading, _ in field_page(keys["A"])[1])
