"""Several drains: each told by its number, drawn while another is entered, and taken out with a word."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest

from tui.beside import Influencing
from tui.desk import Desk
from tui.explaining import figure_page
from tui.results.pages import PAGES, page_lines
from tui.tongues import told
from tui.widgets.map_layers import drain_flanges

BATH_HOUSE = Path(__file__).parents[2] / "sample_jobs" / "bath_house.toml"


@pytest.fixture
def two(tmp_path):
    """The Bath House with its second drain 12 mm higher."""
    path = tmp_path / "two.toml"
    first, _, last = BATH_HOUSE.read_text(encoding="utf-8").rpartition('"512 mm"')
    path.write_text(f'{first}"500 mm"{last}', encoding="utf-8")
    return path


async def to_drain_2(hand):
    """To the form of a drain that was added, or is there."""
    await hand.press("pagedown", "pagedown")
    while hand.app.wizard.step.key != "drains[1].kind":
        await hand.press("down")


def drains(hand):
    return hand.desk.session.job.drains


class TestResults:
    def test_each_drain_s_height_stands_under_its_number(self, two):
        plan = Desk.opened(two).planner.plan
        lines = [line for line in page_lines(PAGES[0], plan) if line.text.strip()]
        at = [told(line.text) for line in lines].index("Drain 2")
        assert "Drain 1" in [told(line.text) for line in lines[:at]]
        assert "43.3 mm over the rough floor (as measured)" in told(lines[at + 1].text)
        assert "500 mm down to it" in told(lines[at + 2].text)
        assert (lines[at + 1].x, lines[at + 1].y) == tuple(plan.drains[1].flange.centre.tolist())

    def test_what_a_height_rests_on_is_told_of_that_drain(self, two):
        plan = Desk.opened(two).planner.plan
        paragraphs = figure_page(plan, "drain:1")[1]
        names = [told(name) for name, _ in paragraphs]
        assert "You measured the flange: 500 mm" in told(paragraphs[names.index("Drain 2")][1])
        rests_on = " ".join(map(told, asyncio.run(Influencing.of(plan, "drain:1").words())))
        assert "drains[1].drop" in rests_on
        assert "drains[0].at" not in rests_on


class TestForm:
    async def test_left_of_the_first_form_is_none_and_past_the_last_the_drain_is_taken_out_with_a_word(self, wizard):
        async with wizard(BATH_HOUSE) as hand:
            await to_drain_2(hand)
            before = hand.desk.session.job
            await hand.press("left")
            assert hand.desk.session.job == before
            await hand.press("right", "right")
            assert len(drains(hand)) == 2
            await hand.press("right")
            assert len(drains(hand)) == 1
            assert "Drain 2 is left out; F9 undoes" in hand.screen
            await hand.press("f9")
            assert len(drains(hand)) == 2

    async def test_a_new_one_has_no_form_yet_and_a_letter_takes_it_out(self, wizard):
        async with wizard() as hand:
            await hand.press("pagedown", "pagedown", "down", "+")
            await hand.until(lambda: hand.app.wizard.step.key == "drains[1].kind")
            assert "round  square  channel  take it out" in hand.screen
            await hand.press("t")
            assert len(drains(hand)) == 1


class TestMap:
    async def test_a_drain_stays_drawn_while_another_has_no_place_yet(self, wizard):
        async with wizard() as hand:
            flange = hand.desk.planner.plan.drains[0].flange
            await hand.press("pagedown", "pagedown", "down", "+")
            await hand.until(lambda: len(drains(hand)) == 2)
            assert not hand.desk.planner.plan.drains
            assert drain_flanges(hand.desk.planner.plan) == (flange,)
            assert "╬╬╬" in hand.screen
