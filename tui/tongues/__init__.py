"""The tongues the wizard speaks: English as it is written, others by their gettext catalogues in this folder.

All on a screen goes through `told` when painted. A catalogue holds words only: figures stand as the engine wrote them.
"""

from __future__ import annotations

import os
from enum import Enum
from functools import cache
from gettext import NullTranslations
from pathlib import Path
from unicodedata import combining, normalize

from engine.phrases import Phrase

from ..terminal import is_ascii_only

_CATALOGUES = Path(__file__).parent
_COMPILED = "LC_MESSAGES/fallmark.json.bz2"
_OPENING = str.maketrans("", "", "\u00bf\u00a1")
_LOCALES = ("LC_ALL", "LC_MESSAGES", "LANG")  # the first set and not empty counts: POSIX.1-2017, XBD 8.2


class Tongue(Enum):
    """A language by its ISO 639-1 code."""

    ENGLISH = "en"
    SPANISH = "es"

    @property
    def own_name(self) -> str:
        """Its name among those who speak it."""
        return {Tongue.ENGLISH: "English", Tongue.SPANISH: "español"}[self]

    @property
    def following(self) -> Tongue:
        """The tongue after it, round and round."""
        tongues = list(Tongue)
        return tongues[(tongues.index(self) + 1) % len(tongues)]


_tongue = Tongue.ENGLISH
_catalogue: NullTranslations = NullTranslations()


def speak(tongue: Tongue) -> None:
    """From here on `told` answers in this tongue; English where its catalogue lacks a sentence."""
    global _tongue, _catalogue  # noqa: PLW0603 - a process speaks one tongue at a time, as with gettext's own install
    _tongue = tongue
    _catalogue = _catalogue_of(tongue)


@cache
def _catalogue_of(tongue: Tongue) -> NullTranslations:
    path = _CATALOGUES / tongue.value / _COMPILED
    if not path.exists():
        return NullTranslations()
    try:
        from .catalogue import Catalogue  # English alone never needs it
    except ImportError:  # a Python that was built without bzip2 speaks English
        return NullTranslations()
    return Catalogue(path)


def spoken() -> Tongue:
    """The tongue that `told` answers in."""
    return _tongue


def told(text: str) -> str:
    """A text in the tongue spoken: a phrase by its pattern; what someone typed stays as it is."""
    if not isinstance(text, Phrase):
        return text
    said = text.told(_catalogue)
    return said if said.isascii() or not is_ascii_only() else _without_accents(said)


def _without_accents(said: str) -> str:
    """The bare letters, for terminals where no others surely arrive; no mark opens a question there."""
    apart = normalize("NFD", said.translate(_OPENING))
    return "".join(sign for sign in apart if not combining(sign))


def tongue_of(*codes: str) -> Tongue:
    """The tongue of the first code that is one, else of the environment's locale, else English."""
    locale = next((value for name in _LOCALES if (value := os.environ.get(name))), "")
    known = {tongue.value: tongue for tongue in Tongue}
    return next((known[code] for code in (*codes, locale[:2].lower()) if code in known), Tongue.ENGLISH)
