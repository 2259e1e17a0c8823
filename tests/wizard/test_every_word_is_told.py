"""A made-up tongue in another alphabet: what is still in Latin letters on a screen was never told, or was typed.

Its letters are as wide as ours, so that everything stands where it stands in English.
"""

import re
import string
import tomllib
from gettext import NullTranslations
from pathlib import Path

import pytest

import engine.limits
from engine.phrases import told as told_part
from engine.remedies import remedies
from engine.sheets.digest import digest
from engine.why import explained, known_figures
from tui.desk import Desk
from tui.explanations import explanation
from tui.results.pages import PAGES, page_lines
from tui.rows import ChoiceRow, WordsRow
from tui.step_names import STEPS, StepName
from tui.steps.all import STEP_CLASSES
from tui.steps.step import FormStep

SAMPLES = Path(__file__).parents[2] / "sample_jobs"
OTHER = str.maketrans(
    string.ascii_lowercase + string.ascii_uppercase,
    "абцдефгхийклмнопярстувщхыз" + "АБЦДЕФГХИЙКЛМНОПЯРСТУВЩХЫЗ",
)


class Foreign(NullTranslations):
    """Every letter of a pattern in the other alphabet; its parts are told by themselves."""

    def gettext(self, message):
        parsed = string.Formatter().parse(message)
        return "".join(text.translate(OTHER) + ("" if name is None else f"{{{name}}}") for text, name, _, _ in parsed)

    def ngettext(self, one, many, number):
        return self.gettext(one if number == 1 else many)


@pytest.fixture(autouse=True)
def foreign(monkeypatch):
    """Whatever tongue the wizard takes, it speaks the made-up one."""
    monkeypatch.setattr("tui.tongues._catalogue_of", lambda _: Foreign())


def left(screen, typed=""):
    """Runs of four or more Latin letters that nobody typed; the paths of a job's keys are the file's own."""
    screen = re.sub(r"\b[a-z_]+(\[\d+\])?(\.[a-z_]+)+", "", screen)
    return {word for word in re.findall(r"[A-Za-z]{4,}", screen) if word not in typed}


def texts_of(row):
    """What a row of a form says, without what was typed."""
    if isinstance(row, WordsRow):
        return [row.text]
    shared = [row.label, row.fault, row.mark, "" if row.offer is None else row.offer.why]
    if isinstance(row, ChoiceRow):
        return [*shared, row.label_of(row.left_out), *(option.label for option in row.options)]
    return [*shared, row.left_out, row.echo]


def in_foreign(text):
    """A text in the made-up tongue."""
    return str(told_part(text, Foreign()))


SOURCES = " ".join(  # what a source is called stays as it is
    figure["source"]
    for book in (Path(engine.limits.__file__).parent).glob("*.toml")
    for figure in tomllib.loads(book.read_text(encoding="utf-8"))["figures"].values()
)
SAMPLE_TYPED = (
    "Worked sample: Ferry Street, flat 2. Invented figures. Change what you like and save it under your own name."
)


class TestSteps:
    async def test_of_a_blank_job_as_it_is_entered(self, wizard):
        async with wizard(None, size=(100, 40)) as hand:
            await hand.until(lambda: "fallmark".translate(OTHER) in hand.screen)
            assert left(hand.screen, "español English") == set()
            await hand.press("b")
            await hand.until_ready()
            for _ in STEPS:
                await hand.until(lambda: hand.app.wizard.focused is not None)
                assert left(hand.screen) == set()
                await hand.press("enter", "pagedown")

    async def test_of_a_whole_job_and_what_explains_it(self, wizard):
        async with wizard(size=(100, 40)) as hand:
            typed = SAMPLE_TYPED + digest(hand.desk.planner.plan)
            for step in STEPS:
                await hand.until(lambda: hand.app.wizard.focused is not None)
                for _ in PAGES if step is StepName.RESULTS else ():
                    assert left(hand.screen, typed) == set()
                    await hand.press("right")
                assert left(hand.screen, typed) == set()
                if step is not StepName.RESULTS:  # its figures' pages are read below, without a screen
                    await hand.press("f1")
                    await hand.until(lambda: hand.app.screen is not hand.app.wizard)
                    assert left(hand.screen, typed) == set()
                    await hand.press("escape")
                await hand.press("pagedown")


class TestDialogs:
    async def test_of_files_quitting_and_help(self, wizard):
        async with wizard(size=(100, 40)) as hand:
            for keys in (["f3"], ["shift+f2"], ["ctrl+p"], ["escape"], ["f1", "f1"], ["f5", "f1"]):
                await hand.press(*keys)
                await hand.until(lambda: hand.app.screen is not hand.app.wizard)
                assert left(hand.screen, SAMPLE_TYPED + "ferry-street.toml.html worked-sample") == set()
                await hand.press("escape")


class TestFields:
    @pytest.mark.parametrize("form", ["walls", "corners"])
    def test_of_every_step_in_each_form_of_outline_with_a_channel_and_what_cannot_be_read(self, form):
        desk = Desk.sample()
        for key, text in (
            ("outline.form", form),
            ("drains[0].kind", "channel"),
            ("drains[0].size", "4x"),
            ("build.waterproofing", "between-beds"),
            ("job.start", "2027-03-08"),
            ("bed.fall", "0"),
        ):
            desk.session.enter(key, text)
        desk.plan_now()
        desk.add_row("readings@A")
        for step in STEP_CLASSES.values():
            if issubclass(step, FormStep):
                for row in desk.view.with_error(step.rows(desk.view)):
                    assert {word for text in texts_of(row) for word in left(in_foreign(text))} == set(), row


class TestWords:
    @pytest.mark.parametrize("name", ["bath_house", "mill_house", "quarry_lane", "signal_box_read_again"])
    def test_of_every_page_finding_and_remedy(self, plan_of, name):
        made = plan_of(SAMPLES / f"{name}.toml")
        words = [line.text for page in PAGES for line in page_lines(page, made)]
        for finding in made.findings:
            words += [finding.says, finding.remedy]
        for answer in remedies(made):
            words += [way.says for way in answer.remedies] + list(answer.ruled_out)
        assert {word for text in words for word in left(in_foreign(text), digest(made))} == set()

    @pytest.mark.parametrize("name", ["bath_house", "quarry_lane"])
    def test_of_every_page_on_how_a_figure_came_about(self, plan_of, name):
        made = plan_of(SAMPLES / f"{name}.toml")
        for figure in known_figures(made):
            title, paragraphs = explained(made, figure) or ("", [])
            for text in (title, *(text for part in paragraphs for text in part)):
                assert left(in_foreign(text), SOURCES) == set(), text

    def test_of_every_explanation(self):
        for key in ("floor.kind", "drains[0].size", "readings", "bed.fall", "results.mud.bags", "as_built"):
            found = explanation(key)
            words = [found.label, *(text for part in found.paragraphs() for text in part if text)]
            assert {word for text in words for word in left(in_foreign(text))} == set()
