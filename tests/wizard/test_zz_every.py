"""A made-up tongue in another alphabet: what is still in Latin letters on a screen was never told, or was typed.

Its letters are as wide as ours, so that everything stands where it stands in English.
"""

import re
import string
from gettext import NullTranslations
from pathlib import Path

import pytest

from tui.explanations import explanation
from tui.step_names import STEPS

SAMPLES = Path(__file__).parents[2] / "sample_jobs"
OTHER = str.maketrans(
    string.ascii_lowercase + string.ascii_uppercase,
    "абцдефгхийклмнопярстувщхыз" + "АБЦДЕФГХИЙКЛМНОПЯРСТУВЩХЫЗ",
)


class Foreign(NullTranslations):
    """Every letter of a pattern in the other alphabet; its parts are told by themselves."""

    def gettext(self, message):
        parsed = string.Formatter().parse(message)
        return "".join(
            text.translate(OTHER) + ("" if name is None else f"{{{name}}}") for text, name, _, _ in parsed
        )

    def ngettext(self, one, many, number):
        return self.gettext(one if number == 1 else many)


@pytest.fixture(autouse=True)
def foreign(monkeypatch):
    """Whatever tongue the wizard takes, it speaks the made-up one."""
    monkeypatch.setattr("tui.tongues.translation", lambda *_, **__: Foreign())


def left(screen, typed=""):
    """Runs of four or more Latin letters that nobody typed."""
    return {word for word in re.findall(r"[A-Za-z]{4,}", screen) if word not in typed}


SAMPLE_TYPED = (
    "Worked sample: Ferry Street, flat 2. "
    "Invented figures. Change what you like and save it under your own name."
)


class TestSteps:
    async def test_of_a_blank_job_as_it_is_entered(self, wizard):
        async with wizard(None, size=(140, 120)) as hand:
            await hand.until(lambda: "fallmark".translate(OTHER) in hand.screen)
            assert left(hand.screen, "español English") == set()
            await hand.press("b")
            await hand.until_ready()
            for _ in STEPS:
                await hand.until(lambda: hand.app.wizard.focused is not None)
                assert left(hand.screen) == set()
                await hand.press("enter", "pagedown")

    @pytest.mark.parametrize("form", ["walls", "corners"])
    async def test_of_each_form_of_outline(self, wizard, form):
        async with wizard(size=(140, 120)) as hand:
            hand.desk.session.enter("outline.form", form)
            hand.desk.session.enter("drains[0].kind", "channel")
            hand.app.wizard.tell("")
            await hand.press("pagedown")
            assert left(hand.screen, SAMPLE_TYPED) == set()
            await hand.press("pagedown")
            assert left(hand.screen, SAMPLE_TYPED) == set()


class TestDialogs:
    @pytest.mark.parametrize(
        "keys", [["f3"], ["shift+f2"], ["ctrl+p"], ["escape"], ["f1"], ["f1", "f1"], ["f5", "f1"]]
    )
    async def test_of_files_quitting_and_help(self, wizard, keys):
        async with wizard(size=(140, 120)) as hand:
            await hand.press("pagedown", "pagedown", *keys)
            await hand.until(lambda: hand.app.screen is not hand.app.wizard)
            assert left(hand.screen, SAMPLE_TYPED + "ferry-street.toml.html worked-sample") == set()

    def test_of_every_explanation(self):
        for key in ("floor.kind", "drains[0].size", "readings", "bed.fall", "results.mud.bags", "as_built"):
            found = explanation(key)
            words = [found.label, *(text for part in found.paragraphs() for text in part if text)]
            assert set().union(*(left(text.told(Foreign())) for text in words)) == set()


class TestResults:
    @pytest.mark.parametrize("name", ["bath_house", "mill_house", "signal_box_read_again"])
    def test_of_every_page_and_finding(self, name):
        from tui.results.pages import PAGES, page_lines
        from engine.job.toml_file import read_job
        from engine.plan import plan
        made = plan(read_job(SAMPLES / f"{name}.toml"))
        f = Foreign()
        out=[]
        for page in PAGES:
            for line in page_lines(page, made):
                t = line.text.told(f) if hasattr(line.text,"told") else line.text
                if left(t): out.append((page.name[:6], t))
        for fi in made.findings:
            for t in (fi.says, fi.remedy):
                t = t.told(f) if hasattr(t,"told") else t
                if left(t): out.append((fi.rule, t))
        print("\n".join(map(str,out)))
        assert not out
