"""The explain key: words for every field, and every figure with this job's numbers and the source of its limit."""

import json
import re
from pathlib import Path

import pytest

from engine.job.model import DrainKind
from engine.sheets.derivation import figure_at
from engine.sheets.json import plan_json
from engine.sheets.why_text import why_text
from tui.beside import Influencing
from tui.desk import Desk
from tui.explaining import figure_page, line_page
from tui.explanations import explanation
from tui.results.pages import PAGES, page_lines
from tui.rows import ChoiceRow, TextRow
from tui.steps.all import STEP_CLASSES
from tui.steps.step import FormStep
from tui.widgets.field import LABEL_CELLS

SIGNAL_BOX = Path(__file__).parents[2] / "sample_jobs" / "signal_box.toml"
SHOPPING = next(page for page in PAGES if page.name == "Shopping")
MUD = next(page for page in PAGES if page.name.startswith("Mud"))


def all_fields():
    desks = [Desk.blank(), Desk.sample(), Desk.sample(), Desk.sample(), Desk.sample(), Desk.sample()]
    desks[2].session.enter("outline.form", "walls")
    desks[3].session.enter("outline.form", "corners")
    desks[4].session.enter("drains[0].kind", DrainKind.CHANNEL.value)
    desks[5].add_row("readings@A")
    desks[5].session.enter("build.waterproofing", "between-beds")
    for desk in desks:
        for step in STEP_CLASSES.values():
            if issubclass(step, FormStep):
                yield from (row for row in step.rows(desk.view) if isinstance(row, TextRow | ChoiceRow))


class TestFieldWords:
    def test_every_field_of_every_step_has_words_and_a_label_that_fits(self):
        rows = list(all_fields())
        assert len({row.key for row in rows}) > 50
        for row in rows:
            assert explanation(row.key).what
            assert len(explanation(row.key).label) <= LABEL_CELLS

    def test_a_usual_length_is_told_in_millimetres_too(self):
        usual = {explanation(row.key).usual for row in all_fields()}
        lengths = {text for text in usual if re.search(r"\d in\b", text) and not re.search("per 12 in|psf", text)}
        assert len(lengths) > 10
        assert [text for text in lengths if " mm" not in text] == []

    async def test_the_key_shows_what_how_usual_and_source(self, wizard):
        async with wizard() as hand:
            await hand.press("pagedown", "pagedown", "down", "f1")
            await hand.until(lambda: "How to find it" in hand.screen)
            assert "Measure across the top" in hand.screen
            assert "IPC 417.3" in hand.screen
            await hand.press("escape")
            assert "Flange size" in hand.line


class TestFigureWords:
    @pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
    def test_every_figure_of_the_results_is_explained(self, page):
        plan = Desk.sample().planner.plan
        lines = [line for line in page_lines(page, plan) if line.figure]
        assert lines
        for line in lines:
            title, paragraphs = line_page(line.text, line.about) if line.about else figure_page(plan, line.figure)
            assert title != "Nothing to explain here", line.figure
            assert all(text for _, text in paragraphs)

    def test_every_line_of_a_page_is_known_by_its_own_name(self):
        plan = Desk.sample().planner.plan
        for page in PAGES:
            figures = [line.figure for line in page_lines(page, plan) if line.about]
            assert len(figures) == len(set(figures))

    def test_what_is_bought_tells_how_it_was_reckoned_and_by_whom(self):
        desk = Desk.sample()
        purchase = desk.planner.plan.work.shopping[0]
        line = next(x for x in page_lines(SHOPPING, desk.planner.plan) if x.figure.startswith("purchase"))
        paragraphs = dict(line_page(line.text, line.about)[1])
        assert purchase.reckoned[1:] in paragraphs["How it came about"]
        assert purchase.source[1:] in paragraphs["Source"]

    def test_the_bags_are_worked_out_with_this_jobs_numbers(self):
        plan = Desk.sample().planner.plan
        line = next(x for x in page_lines(MUD, plan) if x.figure == "mud:bags")
        found = plan.work.mortar
        assert f"{found.mix.exact:.2f} bags, so {found.mix.count}" in str(line_page(line.text, line.about))

    def test_the_wall_height_is_worked_out_with_this_jobs_numbers(self):
        _, paragraphs = figure_page(Desk.sample().planner.plan, "wall_height")
        assert re.search(r"1/4 in/ft x 28 29/32 in = .*5/8 in", paragraphs[0][1])

    def test_a_limit_names_its_source(self):
        _, paragraphs = figure_page(Desk.sample().planner.plan, "most_fall")
        assert "IRC 2021 P2709.1" in " ".join(text for _, text in paragraphs)

    def test_a_job_that_is_not_far_enough_says_so(self):
        _, paragraphs = figure_page(Desk.blank().planner.plan, "volume")
        assert paragraphs


class TestWhatAFigureRestsOn:
    """The page of a figure of the results tells what each entry does to it, as `fallmark why` does."""

    async def test_it_comes_while_the_page_is_read(self, wizard):
        async with wizard(SIGNAL_BOX, size=(80, 40)) as hand:
            await hand.press("f7", "f7")
            for _ in PAGES:
                if any(line.strip().startswith("Least depth") for line in hand.screen.splitlines()):
                    break
                await hand.press("right")
            while "Least depth" not in hand.line:
                await hand.press("down")
            await hand.press("f1")
            await hand.until(lambda: "What it rests on" in hand.screen)
            await hand.until(lambda: "readings[8].drop" in hand.screen)
            assert "drains[0].drop" in hand.screen
            await hand.press("escape")
            assert "Least depth" in hand.line

    async def test_it_tells_what_why_tells(self):
        plan = Desk.opened(SIGNAL_BOX).planner.plan
        says = await Influencing.of(plan, "least_depth").words()
        told = [line for line in why_text(plan, "least depth").splitlines() if line.startswith("  - ")]
        assert len(says) - 1 == len(told)
        for words, line in zip(says[1:], told, strict=True):
            assert line.removeprefix("  - ").partition(" = ")[0] in words

    async def test_no_entry_is_named_by_its_key_alone(self):
        """A drain's distance from a wall by that wall, as the form has it."""
        plan = Desk.opened(SIGNAL_BOX).planner.plan
        walls = [f"{wall[0]}-{wall[-1]}" for wall in plan.outline.walls]
        says = [line for figure in ("mark:0", "longest_run") for line in await Influencing.of(plan, figure).words()]
        entries = [line for line in says if " = " in line]
        assert any(re.match(rf"From wall ({'|'.join(walls)}) \(drains\[0\]\.at\.", line) for line in entries)
        assert not [line for line in entries if not re.match(r"[A-Z].* \(.+\) = ", line)]

    async def test_what_is_closed_is_worked_out_no_further(self):
        resting = Influencing.of(Desk.opened(SIGNAL_BOX).planner.plan, "mark:0")
        resting.forget()
        assert await resting.words() == ()

    async def test_a_strip_a_straightedge_the_mud_and_a_purchase_rest_on_entries_too(self):
        desk = Desk.opened(SIGNAL_BOX)
        plan = desk.planner.plan
        lines = [line for page in PAGES for line in page_lines(page, plan) if line.about and line.about.path]
        heads = {line.about.path.partition("[")[0].partition(".")[0] for line in lines}
        assert heads == {"strips", "straightedges", "shopping", "portions", "mortar", "load"}
        whole = json.loads(plan_json(plan))
        assert [line for line in lines if figure_at(whole, line.about.path) is None] == []
        says = await Influencing(plan, ("strips[0].height",)).words()
        assert any("(strips.short)" in words for words in says)

    def test_what_is_no_number_rests_on_nothing(self):
        plan = Desk.sample().planner.plan
        assert Influencing.of(plan, "digest") is None
        assert Influencing.of(plan, "finding:0") is None
