"""The tongues the wizard speaks: English as it is written, others by their gettext catalogues in this folder.

Everything on a screen goes through `told` at the edge, where it is painted. A catalogue holds words only: every
figure is put in as the engine wrote it, so a tongue never changes one.
"""

from __future__ import annotations

from enum import Enum
from gettext import NullTranslations, translation
from pathlib import Path

from engine.phrases import Phrase

_CATALOGUES = Path(__file__).parent
_DOMAIN = "fallmark"


class Tongue(Enum):
    """A language by its ISO 639-1 code."""

    ENGLISH = "en"
    SPANISH = "es"


_spoken: NullTranslations = NullTranslations()


def speak(tongue: Tongue) -> None:
    """From here on `told` answers in this tongue; English where its catalogue lacks a sentence."""
    global _spoken  # noqa: PLW0603 - a process speaks one tongue at a time, as with gettext's own install
    _spoken = translation(_DOMAIN, _CATALOGUES, [tongue.value], fallback=True)


def told(text: str) -> str:
    """A text in the tongue spoken: a phrase by its pattern; any other text was typed by someone and stays as it is."""
    return text.told(_spoken) if isinstance(text, Phrase) else text
