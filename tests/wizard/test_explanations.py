"""The explain key: words for every field, and every figure with this job's numbers and the source of its limit."""

import re

from engine.job.model import DrainKind
from tui.desk import Desk
from tui.explanations import explanation
from tui.figures import figure_page
from tui.rows import ChoiceRow, TextRow
from tui.steps.all import STEP_CLASSES
from tui.steps.results import ResultsStep
from tui.steps.step import FormStep
from tui.widgets.field import LABEL_CELLS


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

    async def test_the_key_shows_what_how_usual_and_source(self, wizard):
        async with wizard() as hand:
            await hand.press("pagedown", "pagedown", "down", "f1")
            await hand.until(lambda: "How to find it" in hand.screen)
            assert "Measure across the top" in hand.screen
            assert "IPC 417.3" in hand.screen
            await hand.press("escape")
            assert "Flange size" in hand.line


class TestFigureWords:
    def test_every_figure_of_the_results_is_explained(self):
        desk = Desk.sample()
        for line in ResultsStep.lines(desk.view):
            if line.figure:
                title, paragraphs = figure_page(desk.planner.plan, line.figure)
                assert title != "Nothing to explain here", line.figure
                assert all(text for _, text in paragraphs)

    def test_the_wall_height_is_worked_out_with_this_jobs_numbers(self):
        _, paragraphs = figure_page(Desk.sample().planner.plan, "wall_height")
        assert re.search(r"1/4 in/ft x 28 29/32 in = .*5/8 in", paragraphs[0][1])

    def test_a_limit_names_its_source(self):
        _, paragraphs = figure_page(Desk.sample().planner.plan, "most_fall")
        assert "IRC 2021 P2709.1" in " ".join(text for _, text in paragraphs)

    def test_a_job_that_is_not_far_enough_says_so(self):
        _, paragraphs = figure_page(Desk.blank().planner.plan, "volume")
        assert paragraphs
