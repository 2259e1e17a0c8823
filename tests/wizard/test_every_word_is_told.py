"""A made-up tongue in another alphabet: what is still in Latin letters on a screen was never told, or was typed.

Its letters are as wide as ours, so that everything stands where it stands in English.
"""

import re
import string
from gettext import NullTranslations
from pathlib import Path

import pytest

from tui.explanations import explanation

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
