"""The results by keys alone: every page of them, live, with its places on the map, and nothing reckoned unseen."""

import re
from pathlib import Path

import pytest
from textual.events import Key

from engine.plan import Plan
from engine.sheets.page.page import plan_page
from engine.sheets.text import plan_text
from tui.desk import Desk
from tui.results.pages import PAGES, page_lines
from tui.rows import WordsRow
from tui.steps.bed import BedStep
from tui.steps.drain import DrainStep
from tui.widgets.sheet import SheetLine, SheetLines

SAMPLES = sorted((Path(__file__).parents[2] / "sample_jobs").glob("*.toml"))
NARROWEST = 44  # [cells] a line's room at 80 columns


async def to_results(hand):
    await hand.press("f7", "f7")
    await hand.until(lambda: "Results]" in hand.row(0))
    await hand.until(lambda: hand.app.wizard.focused is not None)


async def to_page(hand, name):
    names = [page.name for page in PAGES]
    ahead = (names.index(name) - names.index(page_name(hand))) % len(names)
    back = len(names) - ahead
    await hand.press(*(["right"] * ahead if ahead <= back else ["left"] * back))
    assert page_name(hand) == name


def page_name(hand):
    return re.match(r"\s*(.+?)  ", hand.row(1))[1]


@pytest.mark.parametrize("name", ["mill_house", "signal_box", "chandlers_row"])
def test_the_bed_s_figures_are_the_same_in_its_step_and_in_the_results(name):
    desk = Desk.opened(next(path for path in SAMPLES if path.stem == name))
    told = " ".join(row.text for row in BedStep.rows(desk.view) if isinstance(row, WordsRow))
    bed = next(page for page in PAGES if page.name.startswith("Bed"))
    lines = {line.figure: line.text for line in page_lines(bed, desk.planner.plan)}
    walls, least, most = re.search(r"Walls (.+) above the flange. Bed (.+) thick .*, (.+) at its", told).groups()
    assert f"{walls} over the flange" in lines["wall_height"]
    assert walls.startswith("up to ") is (name == "chandlers_row")  # its walls are not level
    assert f"{least}," in lines["least_depth"]
    assert f"{most}," in lines["most_depth"]


def test_a_drain_s_planned_height_is_told_where_its_drop_would_be_entered():
    desk = Desk.opened(next(path for path in SAMPLES if path.stem == "tithe_barn"))
    (row,) = (row for row in DrainStep.rows(desk.view) if row.key == "drains[0].drop")
    marks = next(page for page in PAGES if page.name == "Marks")
    line = next(line.text for line in page_lines(marks, desk.planner.plan) if line.text.startswith("Level line"))
    assert row.left_out == "plan 20 3/16 in"
    assert "20 3/16 in down to it" in line


class TestTurning:
    async def test_one_key_goes_through_all_pages_and_round_again(self, wizard):
        async with wizard() as hand:
            await to_results(hand)
            seen = []
            for _ in PAGES:
                seen.append(page_name(hand))
                await hand.press("right")
            assert seen == [page.name for page in PAGES]
            assert page_name(hand) == PAGES[0].name
            await hand.press("left")
            assert page_name(hand) == PAGES[-1].name

    async def test_a_key_right_behind_a_turn_means_the_page_turned_to(self, wizard):
        async with wizard() as hand:
            await to_results(hand)
            for key in ("right", "right", "f1"):
                hand.app.post_message(Key(key, None))
            await hand.until(lambda: "Esc closes" in hand.screen)
            title = hand.app.screen.title_words
            await hand.press("escape", "f1")
            assert title == hand.app.screen.title_words
            await hand.press("escape")
            assert page_name(hand) == PAGES[2].name

    async def test_a_page_is_opened_on_a_figure_of_it(self):
        lines = SheetLines()
        lines.open([SheetLine("A heading"), SheetLine("one", "one"), SheetLine("two", "two")], "")
        assert lines.current.figure == "one"
        lines.show([SheetLine("A heading"), SheetLine("three", "three"), SheetLine("A last word")])
        assert lines.current.figure == "three"

    async def test_the_map_shows_the_place_of_the_line_that_a_page_is_opened_on(self, wizard):
        async with wizard() as hand:
            await to_results(hand)
            for _ in PAGES:
                line, spot = hand.app.wizard.step.line, hand.app.wizard._map.map.spot
                assert spot == (None if line.x is None else (line.x, line.y)), page_name(hand)
                await hand.press("right")

    async def test_coming_back_to_a_page_the_line_is_the_one_that_was_left(self, wizard):
        async with wizard() as hand:
            await to_results(hand)
            await hand.press("down", "down")
            line = hand.line
            await hand.press("right", "left")
            assert hand.line == line

    async def test_long_pages_scroll_by_lines_by_screens_and_to_their_end(self, wizard):
        async with wizard() as hand:
            await to_results(hand)
            await to_page(hand, "Order of work")
            first = hand.line
            await hand.press("down")
            assert hand.line != first
            await hand.press("space")
            assert first not in hand.screen
            await hand.press("backspace", "backspace")
            assert hand.line == first
            await hand.press("end")
            last = page_lines(page_called("Order of work"), hand.desk.planner.plan)[-1].text
            assert last.split()[-1] in hand.screen
            await hand.press("home")
            assert hand.line == first

    async def test_leafing_passes_over_no_row(self, wizard):
        async with wizard() as hand:
            await to_results(hand)
            await to_page(hand, "Order of work")
            sheet = hand.app.wizard.step.sheet
            rows, before = set(), None
            while before != (before := sheet.scroll_offset.y):
                rows |= set(range(before, before + sheet.size.height))
                await hand.press("space")
            assert rows >= set(range(sheet.lines.size.height))
            while before:
                await hand.press("backspace")
                assert sheet.scroll_offset.y >= before - sheet.size.height
                before = sheet.scroll_offset.y

    async def test_a_line_with_a_place_shows_it_on_the_map(self, wizard):
        async with wizard() as hand:
            await to_results(hand)
            await to_page(hand, "Strips")
            await hand.press("down", "down", "down")
            assert "Corner A" in hand.screen

    async def test_the_explain_key_tells_of_the_line_in_use(self, wizard):
        async with wizard() as hand:
            await to_results(hand)
            await to_page(hand, "Shopping")
            await hand.press("f1")
            await hand.until(lambda: "How it came about" in hand.screen)


def page_called(name):
    return next(page for page in PAGES if page.name == name)


class TestLive:
    async def test_a_change_is_on_the_page_at_the_next_look(self, wizard):
        async with wizard() as hand:
            await to_results(hand)
            await to_page(hand, "Shopping")
            assert "bags of 60 lb" in hand.screen
            hand.desk.session.enter("mortar.supply", "site")
            await hand.press("f7", "f8")
            await hand.until(lambda: "portland cement" in hand.screen)

    async def test_only_the_page_on_the_screen_is_reckoned(self, wizard):
        async with wizard() as hand:
            await to_results(hand)
            kept = {"strips", "stock", "straightedges", "work"}
            assert not kept & vars(hand.desk.planner.plan).keys()
            await to_page(hand, "Strips")
            assert kept & vars(hand.desk.planner.plan).keys() == {"strips"}

    def test_the_parts_that_are_kept_have_these_names(self):
        for name in ("strips", "stock", "straightedges", "work"):
            assert hasattr(getattr(Plan, name), "attrname")


class TestWords:
    @pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
    def test_every_line_says_what_the_text_says(self, plan_of, path):
        """Pages are made of the printed plan's own words, so a sample of each is found there."""
        made = plan_of(path)
        text = " ".join(plan_text(made).split())
        for name, figure in (
            ("Layers, heights", "layer:"),
            ("Mud, load", "load:"),
            ("Order of work", ":says:"),
        ):
            for line in page_lines(page_called(name), made):
                if figure in line.figure:
                    assert " ".join(line.text.strip(" -").split()) in text

    @pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
    def test_no_line_is_wider_than_the_narrowest_sheet(self, plan_of, path):
        sheet = SheetLines()
        for page in PAGES:
            lines = page_lines(page, plan_of(path))
            assert lines, page.name
            for line in lines:
                assert all(len(part) <= NARROWEST for part in sheet.wrapped(line, NARROWEST + 2)), page.name

    def test_a_job_that_is_not_far_enough_says_what_is_needed_on_every_page(self):
        made = Desk.blank().planner.plan
        for page in PAGES:
            assert any("floor" in line.text for line in page_lines(page, made))

    def test_an_entry_that_no_strip_can_be_cut_by_is_told_on_its_page(self):
        desk = Desk.sample()
        for key, text in (
            ("outline.rectangle[1]", "20 in"),
            ("drains[0].at.first", "10 in"),
            ("strips.thickness", "11 in"),
        ):
            desk.session.enter(key, text)
        desk.plan_now()
        (_, line) = page_lines(page_called("Strips"), desk.planner.plan)
        assert "leave no floor between them" in line.text

    def test_dates_have_their_weekdays(self):
        desk = Desk.sample()
        desk.session.enter("job.start", "2027-03-08")
        desk.plan_now()
        first = next(x for x in page_lines(page_called("Order of work"), desk.planner.plan) if x.figure)
        assert first.text == "1. Check the floor and the plan: Monday 8 March 2027, day 1"


class TestPaper:
    async def test_a_key_writes_the_page_to_print_and_no_file_is_replaced_unasked(self, wizard):
        async with wizard() as hand:
            await to_results(hand)
            await hand.press("ctrl+p")
            await hand.until(lambda: "Write the page to print" in hand.screen)
            await hand.press("enter")
            await hand.until(lambda: "Page written to" in hand.screen)
            (page,) = Path.cwd().glob("*.html")
            assert page.read_text(encoding="utf-8") == plan_page(hand.desk.planner.plan)
            page.write_text("mine", encoding="utf-8")
            await hand.press("ctrl+p")
            await hand.until(lambda: "Write the page to print" in hand.screen)
            await hand.press("enter")
            await hand.until(lambda: "there already" in hand.screen)
            await hand.press("escape")
            assert page.read_text(encoding="utf-8") == "mine"

    async def test_the_job_itself_is_not_replaced_by_its_page(self, wizard, tmp_path):
        path = tmp_path / "work" / "mine.toml"
        path.write_text('format = 1\n[job]\nname = "mine"\n', encoding="utf-8")
        async with wizard(path) as hand:
            await hand.press("ctrl+p")
            await hand.until(lambda: "Write the page to print" in hand.screen)
            await hand.type("mine.toml")
            await hand.press("enter", "enter")
            await hand.until(lambda: "The page is not written" in hand.screen)
        assert path.read_text(encoding="utf-8").startswith("format = 1")


class TestScreens:
    @pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=lambda size: f"{size[0]}x{size[1]}")
    async def test_every_page(self, wizard, snapshot, size):
        async with wizard(size=size) as hand:
            await to_results(hand)
            for page in PAGES:
                pane = "\n".join(re.split("[│▲▼]", line)[0].rstrip() for line in hand.screen.splitlines())
                assert pane == snapshot(name=page.name)
                await hand.press("right")
