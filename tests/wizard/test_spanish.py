"""The wizard in Spanish: nothing is cut at 80 x 24, and every figure stands there as it does in English."""

import re
from pathlib import Path

import pytest

from tui.desk import Desk
from tui.dialogs.tell import keys_dialog
from tui.explanations import explanation
from tui.keys import KEY_ACTIONS, Where, footer_actions, key_name
from tui.results.lines import _NAME_CELLS
from tui.results.pages import PAGES, page_lines
from tui.rows import ChoiceRow, TextRow, WordsRow
from tui.step_names import STEPS
from tui.steps.all import STEP_CLASSES
from tui.steps.step import FormStep
from tui.tongues import Tongue, speak, told
from tui.widgets import map_legend
from tui.widgets.bars import PageLine
from tui.widgets.field import LABEL_CELLS

SAMPLES = Path(__file__).parents[2] / "sample_jobs"
TONGUES = list(Tongue)
FORM_CELLS = 40  # the form's width in a window of 80 columns
SHEET_CELLS = 46  # a sheet's


@pytest.fixture(params=TONGUES, ids=lambda tongue: tongue.value)
def tongue(request, monkeypatch):
    """Both tongues, the way a locale chooses them."""
    monkeypatch.setenv("LC_ALL", request.param.value)
    speak(request.param)
    return request.param


def all_rows():
    """The fields of every step, in each form of outline and place, and of every sample."""
    desks = [Desk.blank(), *(Desk.sample() for _ in range(4))]
    desks[1].session.enter("outline.form", "walls")
    desks[2].session.enter("outline.form", "corners")
    desks[3].session.enter("drains[0].kind", "channel")
    desks[4].add_row("readings@A")
    desks[4].session.enter("build.waterproofing", "between-beds")
    for desk in (*desks, *map(Desk.opened, SAMPLES.glob("*.toml"))):
        for step in STEP_CLASSES.values():
            if issubclass(step, FormStep):
                yield from step.rows(desk.view)


@pytest.mark.usefixtures("tongue")
class TestNothingIsCut:
    def test_every_label_stands_beside_its_value(self):
        labels = {told(explanation(row.key).label) for row in all_rows() if isinstance(row, TextRow | ChoiceRow)}
        assert [label for label in labels if len(label) > LABEL_CELLS] == []

    def test_every_choice_and_every_stand_in_fits_beside_its_label(self):
        room = FORM_CELLS - LABEL_CELLS - 4
        for row in all_rows():
            is_beside = not isinstance(row, WordsRow) and len(told(row.label)) <= LABEL_CELLS
            if isinstance(row, ChoiceRow) and is_beside:
                assert [told(o.label) for o in row.options if len(told(o.label)) > room - 4] == []
            if isinstance(row, TextRow) and is_beside:
                assert len(told(row.left_out)) <= room - 2, row.left_out

    @pytest.mark.parametrize("where", list(Where))
    def test_every_footer_fits_eighty_columns(self, where):
        keys = [f" {told(key_name(a.keys[0]))} {told(a.short)} " for a in footer_actions(where)]
        assert sum(len(key) for key in keys) <= 80

    def test_the_steps_leave_room_for_the_jobs_name(self):
        assert sum(len(told(step.value)) + 3 for step in STEPS) <= 70

    def test_the_keys_stand_in_their_own_column(self):
        lines = keys_dialog()._paragraphs[0][1].splitlines()
        assert len(lines) == len(KEY_ACTIONS)
        assert all(line[21] == " " != line[22] for line in lines)

    def test_every_page_has_its_name_and_how_to_turn_on_one_line(self):
        line = PageLine([page.name for page in PAGES])
        for at in range(len(PAGES)):
            line.at = at
            assert line.render().cell_length <= SHEET_CELLS

    def test_every_name_of_a_figure_stands_in_its_column(self):
        made = Desk.sample().planner.plan
        for page in PAGES[:2]:
            for line in page_lines(page, made):
                if line.hangs == _NAME_CELLS:
                    assert told(line.text)[_NAME_CELLS - 1] == " ", told(line.text)

    def test_every_word_of_the_legend_fits_its_column(self):
        words = [*map_legend._UNDER.values(), *map_legend._EDGE_WORDS.values(), map_legend._MINUS]
        assert [told(word) for word in words if len(told(word)) > map_legend.COLUMN_WIDTH - 2] == []


class TestScreens:
    async def test_every_step_at_80_by_24_without_the_sign_of_a_cut(self, wizard, snapshot, monkeypatch):
        monkeypatch.setenv("LANG", "es_MX.UTF-8")
        async with wizard() as hand:
            for step in STEPS:
                await hand.until(lambda step=step: f"{told(step.value)}]" in hand.screen)
                await hand.until(lambda: hand.app.wizard.focused is not None)
                assert hand.screen == snapshot(name=step.value)
                _, *lines = hand.screen.splitlines()
                assert [line for line in lines if "…" in line and "Invented figures" not in line] == []
                await hand.press("pagedown")

    async def test_the_start_page_and_all_keys(self, wizard, snapshot, monkeypatch):
        monkeypatch.setenv("LANG", "es_MX.UTF-8")
        async with wizard(None) as hand:
            await hand.until(lambda: "Bienvenido" in hand.screen)
            assert hand.screen == snapshot(name="Start")
            await hand.press("b")
            await hand.until_ready()
            await hand.press("f1", "f1")
            await hand.until(lambda: "Todas las teclas" in hand.screen)
            assert hand.screen == snapshot(name="Keys")


FIGURE = re.compile(r"\d[\d.,/:]*\d|\d")


class TestFigures:
    @pytest.mark.parametrize("name", ["bath_house", "mill_house", "signal_box_read_again", "tram_depot"])
    def test_every_figure_of_every_page_is_the_same_in_both_tongues(self, plan_of, name):
        made = plan_of(SAMPLES / f"{name}.toml")
        speak(Tongue.SPANISH)
        for page in PAGES:
            for line in page_lines(page, made):
                assert sorted(FIGURE.findall(told(line.text))) == sorted(FIGURE.findall(line.text))
        for finding in made.findings:
            for words in (finding.says, finding.remedy):
                assert sorted(FIGURE.findall(told(words))) == sorted(FIGURE.findall(words))

    def test_every_sheet_is_in_spanish_and_its_english_is_untouched(self):
        made = Desk.sample().planner.plan
        english = [str(line.text) for page in PAGES for line in page_lines(page, made)]
        speak(Tongue.SPANISH)
        lines = [line.text for page in PAGES for line in page_lines(page, made)]
        assert [str(text) for text in lines] == english
        assert "Marcas de pared, en el orden del recorrido" in [told(text) for text in lines]
