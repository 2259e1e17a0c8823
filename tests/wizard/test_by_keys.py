"""What the wizard owes its people, by keys alone: steps in any order, every cut, findings, undo, explanations."""

import re
from contextlib import asynccontextmanager
from dataclasses import replace
from pathlib import Path

import pytest

from engine.plan import plan
from tui.desk import Desk
from tui.results.pages import PAGES, page_lines
from tui.state import State
from tui.step_names import StepName
from tui.steps.readings import ReadingsStep
from tui.terminal import sentence
from tui.widgets.height_map import HeightMap
from tui.widgets.map_layers import MapLayer

SAMPLES = sorted((Path(__file__).parents[2] / "sample_jobs").glob("*.toml"))
NUMBER = re.compile(r"\d+(?: \d+/\d+|/\d+|\.\d+)?")


async def to_step(hand, name, key="pagedown"):
    while f"{name}]" not in hand.row(0):
        await hand.press(key)


@pytest.fixture
def blank(wizard):
    """The wizard on a blank job."""

    @asynccontextmanager
    async def opened():
        async with wizard(None) as hand:
            await hand.until(lambda: "blank job" in hand.screen)
            await hand.press("b")
            await hand.until_ready()
            yield hand

    return opened


class TestSteps:
    async def test_of_a_blank_job_can_be_visited_in_any_order_and_none_is_a_dead_end(self, blank):
        async with blank() as hand:
            for name, key in (("As built", "pageup"), ("Results", "f7"), ("Floor", "f8"), ("Readings", "f8")):
                await to_step(hand, name, key)
                assert f"[·{name}]" in hand.row(0)
                assert hand.app.wizard.focused is not None

    async def test_enter_on_what_is_needed_goes_to_its_field(self, blank):
        async with blank() as hand:
            await to_step(hand, "Results", "f7")
            assert "Still needed for a whole plan: Enter goes there" in pane(hand)
            await hand.press("down", "enter")
            assert "[·Outline]" in hand.screen

    async def test_where_nothing_can_be_entered_enter_changes_nothing_and_goes_on(self, wizard, tmp_path):
        path = tmp_path / "no-bed.toml"
        sample = (Path(__file__).parents[2] / "tui" / "samples" / "ferry_street.toml").read_text("utf-8")
        path.write_text(re.sub(r'(at = "C"\ndrop = )"[^"]*"', r'\1"20 3/8"', sample).split("[bed]")[0], "utf-8")
        async with wizard(path) as hand:
            job = hand.desk.session.job
            await to_step(hand, "As built", "f7")
            assert "enter outline, drain and bed first" in pane(hand)
            await hand.press("enter")
            assert "Floor]" in hand.screen
            assert hand.desk.session.job == job

    async def test_show_whether_they_are_done_or_in_trouble(self, wizard):
        async with wizard() as hand:
            assert "✓Drain" in hand.screen
            await to_step(hand, "Drain")
            await hand.press("down", "ctrl+e", "ctrl+u")
            await hand.type("6 zz")
            assert "!Drain" in hand.screen


class TestStart:
    async def test_says_in_a_sentence_what_it_does_and_opens_the_worked_sample(self, wizard):
        async with wizard(None) as hand:
            await hand.until(lambda: "worked sample" in hand.screen)
            assert "fallmark plans the sloped mortar bed of a tiled shower floor" in " ".join(
                hand.screen.split()
            ).replace("│ ", "").replace("┃ ", "")
            await hand.press("w")
            await hand.until_ready()
            await hand.press("pageup", "pageup")
            assert "Wall marks, in walking order" in hand.screen


class TestMap:
    async def test_the_cut_goes_through_every_wall_at_a_key(self, wizard):
        async with wizard() as hand:
            walls = hand.desk.planner.plan.outline.walls
            while "Cut from" not in hand.screen:
                await hand.press("f4")
            await hand.press("f5")
            for wall in (*walls, walls[0]):
                assert f"from {wall}" in hand.screen
                assert "bed" in hand.screen
                await hand.press("right")

    async def test_each_layer_has_its_legend_in_the_jobs_units(self, wizard):
        async with wizard() as hand:
            for layer in MapLayer:
                assert layer.value in hand.screen
                if layer not in (MapLayer.WATER, MapLayer.ERROR):  # what is built is not read yet
                    assert re.search(r"\d(/\d+)? in(/ft)?\b", hand.screen)
                await hand.press("f4")

    async def test_the_cursor_tells_depth_bed_and_floor_of_its_spot(self, wizard):
        async with wizard() as hand:
            await hand.press("f5", "right", "right", "down")
            told = hand.screen
            for word in ("mud", "bed", "rough"):
                assert word in told
            await hand.press("right")
            assert hand.screen != told

    async def test_a_finding_in_use_has_its_place_under_the_cursor(self, wizard, tmp_path):
        path = tmp_path / "thin.toml"
        sample = (Path(__file__).parents[2] / "tui" / "samples" / "ferry_street.toml").read_text("utf-8")
        path.write_text(re.sub(r'(at = "C"\ndrop = )"[^"]*"', r'\1"20 3/8"', sample), encoding="utf-8")
        async with wizard(path) as hand:
            found = [finding for finding in hand.desk.planner.plan.findings if finding.x is not None]
            assert found
            await hand.press("f6")
            while hand.app.wizard.finding is not found[0]:
                await hand.press("down")
            assert hand.app.wizard.query_one(HeightMap).spot == (found[0].x, found[0].y)


class TestSheets:
    async def test_of_more_lines_than_there_is_room_for_say_so_before_they_are_scrolled(self, wizard):
        async with wizard() as hand:
            await to_step(hand, "Results", "f7")
            for page in PAGES:
                sheet = hand.app.wizard.step.sheet
                await hand.until(lambda sheet=sheet: ("▼" in hand.screen) is (sheet.max_scroll_y > 0))
                assert page.name in hand.screen
                await hand.press("right")


class TestReadings:
    async def test_the_guessed_share_grows_and_the_corner_that_tells_most_is_named(self, wizard):
        async with wizard() as hand:
            await to_step(hand, "Readings")
            assert " 0 % of the floor is guessed." in pane(hand)
            assert "would tell most" not in pane(hand)
            taken_out = hand.app.wizard.focused.row.label
            await hand.press("ctrl+e", "ctrl+u", "down")
            share = int(re.search(r"(\d+) % of the floor is guessed", pane(hand))[1])
            assert share > 10
            assert f"Corner {taken_out} would tell most: then 0 %." in pane(hand)

    def test_no_corner_is_advised_that_would_leave_as_much_guessed(self):
        """After one reading, at B, a second makes no hull yet; from two on a third does."""
        desk = Desk.sample()
        for count, is_told in ((1, False), (2, True)):
            job = desk.session.job
            desk.session.change(State(replace(job, readings=job.readings[1 : 1 + count])))
            desk.plan_now()
            told = str(ReadingsStep.rows(desk.view)[0].text)
            assert "of the floor is guessed" in told
            assert ("would tell most" in told) is is_told
            desk.session.undo()

    async def test_a_station_of_ones_own_is_one_key(self, wizard):
        async with wizard(size=(80, 40)) as hand:
            await to_step(hand, "Readings")
            before = len(hand.desk.session.job.readings)
            await hand.press("+")
            await hand.until(lambda: "A station of your own" in hand.screen)
            await hand.press("enter")
            for text in ("12", "9", "21 5/8"):
                await hand.type(text)
                await hand.press("enter")
            await hand.until(lambda: len(hand.desk.session.job.readings) == before + 1)


class TestUndo:
    async def test_every_kind_of_change_is_taken_back_and_made_again(self, wizard):
        async with wizard() as hand:
            jobs = [hand.desk.session.job]
            await hand.press("down", "right")  # a choice
            jobs.append(hand.desk.session.job)
            await to_step(hand, "Drain")
            await hand.press("down", "ctrl+e", "ctrl+u")
            await hand.type("5 in")  # a length
            jobs.append(hand.desk.session.job)
            await to_step(hand, "Readings")
            await hand.press("ctrl+e", "ctrl+u", "down")  # a reading taken out
            jobs.append(hand.desk.session.job)
            assert len(set(map(str, jobs))) == len(jobs)
            while "Nothing to undo" not in hand.screen:
                await hand.press("f9")
            assert hand.desk.session.job == jobs[0]
            while "Nothing to redo" not in hand.screen:
                await hand.press("f12")
            assert hand.desk.session.job == jobs[-1]
            assert hand.desk.planner.plan.bed.wall_height == plan(jobs[-1]).bed.wall_height


class TestExplanations:
    @pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
    def test_every_line_of_every_page_is_told_with_its_own_numbers(self, path):
        desk = Desk.opened(path)
        desk.plan_now()
        step = desk.make_step(StepName.RESULTS)
        for page in PAGES:
            for line in page_lines(page, desk.planner.plan):
                if line.figure:
                    text = explained(desk, step, line)
                    numbers = NUMBER.findall(line.text)
                    assert not numbers or any(number in text for number in numbers), line.text

    @pytest.mark.usefixtures("moved_once")
    async def test_the_key_tells_of_a_line_of_every_page(self, wizard):
        async with wizard() as hand:
            await to_step(hand, "Results", "f7")
            for page in PAGES:
                assert page.name in hand.screen
                await hand.press("f1")
                await hand.until(lambda: "Esc closes" in hand.screen)
                assert "no words" not in hand.screen
                assert "Nothing to explain" not in hand.screen
                await hand.press("escape", "right")


def pane(hand):
    return " ".join(" ".join(row.split("│")[0] for row in hand.screen.splitlines()).split())


def explained(desk, step, line):
    step.sheet.lines.open([line], line.figure)
    title, paragraphs = desk.explained(step.where, step, None)
    text = " ".join(words for _, words in paragraphs)
    assert "no words" not in text
    assert title != "Nothing to explain here"
    assert all(sentence(words) for _, words in paragraphs)
    return text
