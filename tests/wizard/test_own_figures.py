"""Figures of one's own in the wizard: taken from a list, typed, explained, emptied; by keys alone."""

from __future__ import annotations

from decimal import Decimal

import pytest

from engine.job.rule_figures import Figure
from tui.desk import Desk
from tui.own_figures import NEW
from tui.results.pages import PAGES, page_lines
from tui.rows import ChoiceRow
from tui.step_names import StepName
from tui.steps.all import STEP_CLASSES
from tui.tongues import Tongue, speak, told
from tui.widgets.field import LABEL_CELLS

CURB, WAIT = "figures.curb_least", "figures.flood_wait"


def row_at(desk, key):
    return next((row for row in STEP_CLASSES[StepName.BED].rows(desk.view) if row.key == key), None)


class TestKeys:
    async def test_one_is_taken_from_the_list_typed_explained_and_emptied(self, wizard):
        async with wizard() as hand:
            await hand.press(*["pagedown"] * 4)
            while "Another figure" not in hand.line:
                await hand.press("down")
            assert "63 to choose from" in hand.screen
            await hand.press("w")
            assert hand.desk.session.text(NEW) == "flood_wait"
            assert "[wait from membrane to flood test]" in hand.screen
            await hand.press("enter")
            assert "Wait from membrane to flood test" in hand.line
            assert "the rulebook's: 24 h" in hand.screen
            await hand.type("36 h")
            assert hand.desk.session.text(WAIT) == "36 h"
            assert "read as 36 h" in hand.screen
            await hand.press("f1")
            await hand.until(lambda: "ASTM D5957" in hand.screen)
            await hand.press("escape")
            assert any(f.rule == "own-figure" for f in hand.desk.planner.plan.findings)
            await hand.press("ctrl+u")
            assert "Wait from membrane to flood test" in hand.line
            await hand.press("enter")
            assert hand.desk.session.job.figures == ()
            assert row_at(hand.desk, WAIT) is None


class TestRows:
    def test_a_taken_one_keeps_its_place_while_it_is_typed(self):
        desk = Desk.sample()
        desk.session.enter(NEW, "curb_least")
        for text in ("5", "50", "50 ", "50 m", "50 mm"):
            desk.session.enter(CURB, text)
            rows = [row.key for row in STEP_CLASSES[StepName.BED].rows(desk.view)]
            assert rows.index(CURB) == rows.index(NEW) + 1
        desk.session.leave()
        rows = [row.key for row in STEP_CLASSES[StepName.BED].rows(desk.view)]
        assert rows.index(CURB) == rows.index(NEW) - 1
        assert desk.session.text(NEW) == ""

    def test_the_list_holds_every_other_figure_by_its_words(self):
        desk = Desk.sample()
        desk.session.enter(CURB, "50 mm")
        options = row_at(desk, NEW).options
        assert {option.text for option in options} == {figure.key for figure in Figure} - {"curb_least"}
        assert [option.label for option in options] == sorted(option.label for option in options)

    def test_what_is_needed_or_not_is_chosen(self):
        desk = Desk.sample()
        desk.session.enter(NEW, "wood_lath")
        row = row_at(desk, "figures.wood_lath")
        assert isinstance(row, ChoiceRow)
        assert [option.text for option in row.options] == ["needed", "not needed"]
        desk.session.enter("figures.wood_lath", "not needed")
        assert desk.session.job.figures[0][1].value == "not needed"

    def test_what_cannot_be_read_waits_with_its_fault(self):
        desk = Desk.sample()
        desk.session.enter(CURB, "2 %")
        assert "as a length" in row_at(desk, CURB).fault
        assert desk.session.job.figures == ()
        assert desk.session.half_typed == ["2 %"]

    @pytest.mark.parametrize("units", ["in", "mm"])
    @pytest.mark.parametrize("tongue", list(Tongue))
    def test_the_rulebook_s_figure_is_never_cut_where_it_stands_in_for_one(self, units, tongue):
        desk = Desk.sample()
        desk.session.enter("job.units", units)
        speak(tongue)
        for option in row_at(desk, NEW).options:
            desk.session.enter(NEW, option.text)
            row = row_at(desk, f"figures.{option.text}")
            has_own_line = len(told(row.label)) > LABEL_CELLS
            assert len(told(row.left_out)) <= (34 if has_own_line else 17), told(row.left_out)

    def test_one_that_leaves_no_room_is_refused_at_its_field_and_the_last_plan_stays(self):
        desk = Desk.sample()
        desk.plan_now()
        before = desk.planner.plan
        desk.session.enter("figures.fall_least", "1 in/ft")
        desk.plan_now()
        rows = desk.view.with_error(STEP_CLASSES[StepName.BED].rows(desk.view))
        fault = next(row.fault for row in rows if row.key == "figures.fall_least")
        assert "leaves no room" in fault
        assert desk.planner.plan.bed == before.bed

    def test_a_finding_that_names_it_leads_to_its_field(self):
        desk = Desk.sample()
        desk.session.enter(CURB, "50 mm")
        desk.plan_now()
        (note,) = [f for f in desk.planner.plan.findings if f.rule == "own-figure"]
        assert row_at(desk, note.key) is not None
        desk.session.undo()
        assert desk.session.job.figures == ()

    def test_how_to_go_back_names_it_as_its_field_is_called(self):
        desk = Desk.sample()
        keys = ("bed.least_depth", "bed.most_depth", "bed.wall_height", CURB)
        for key, text in zip(keys, ("1 in", "4 in", "1 in", "50 mm"), strict=True):
            desk.session.enter(key, text)
        desk.plan_now()
        told = {f.key: f.remedy for f in desk.planner.plan.findings if f.rule == "own-figure"}
        assert told == {key: f"to go back, leave out the {row_at(desk, key).label.lower()}" for key in keys}


class TestPrices:
    def test_each_thing_on_the_list_has_a_field_that_says_what_it_comes_to(self):
        desk = Desk.sample()
        desk.session.enter("prices.deck_mud", "7,45")
        desk.session.enter("prices.currency", "EUR")
        desk.plan_now()
        bags = int(desk.planner.plan.work.shopping[0].quantity)
        row = row_at(desk, "prices.deck_mud")
        assert row.echo == f"{bags} at 7.45 EUR each: {bags * Decimal('7.45')} EUR"
        assert row_at(desk, "prices.sloped_tray").left_out == "no price"

    def test_one_that_is_none_says_so_at_its_field_and_an_emptied_one_goes_when_it_is_left(self):
        desk = Desk.sample()
        desk.session.enter("prices.deck_mud", "-3")
        assert "cannot be negative" in row_at(desk, "prices.deck_mud").fault
        desk.session.enter("prices.felt", "3")  # not on this job's list
        desk.session.enter("prices.felt", "")
        assert row_at(desk, "prices.felt") is not None
        desk.session.leave()
        assert desk.session.job.prices == ()
        assert row_at(desk, "prices.felt") is None

    def test_the_shopping_page_tells_costs(self):
        desk = Desk.sample()
        desk.session.enter("prices.deck_mud", "7.45")
        desk.plan_now()
        shopping, ways = (next(p for p in PAGES if p.name.startswith(name)) for name in ("Shopping", "Other"))
        lines = [line.text for line in page_lines(shopping, desk.planner.plan)]
        assert any("at 7.45 each" in line for line in lines)
        assert any(line.startswith("Cost in all:") for line in lines)
        assert any("cost: " in line.text for line in page_lines(ways, desk.planner.plan))
