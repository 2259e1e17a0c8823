"""How a picture may look on this terminal: how many colours, and whether only plain ASCII."""

from __future__ import annotations

import os
import sys
from dataclasses import replace
from enum import StrEnum
from typing import TYPE_CHECKING

from engine.records import record

from ..terminal import is_ascii_only, is_colourless
from ..themes import HIGH_CONTRAST

if TYPE_CHECKING:
    from textual.app import App

_TRUE_COLOUR_WORDS = ("truecolor", "24bit")
_MANY_COLOUR_ENDINGS = ("-256color", "-direct", "-kitty", "-ghostty")


class Colours(StrEnum):
    """How many colours there are to draw with."""

    TRUE = "true"
    SIXTEEN = "16"
    NONE = "none"


@record
class Looks:
    """What a picture may use; in every one, shade characters carry the meaning."""

    colours: Colours = Colours.TRUE
    ascii: bool = False
    stark: bool = False  # shade characters black on their grounds, for high contrast

    @classmethod
    def detect(cls) -> Looks:
        """The looks for this terminal, but for NO_COLOR, which the framework drops at its start: see `in_app`."""
        return cls(Colours.NONE if is_colourless() else _colours(), is_ascii_only())

    def in_app(self, app: App[object]) -> Looks:
        """The same, without colours where the app was started with NO_COLOR."""
        return replace(self, colours=Colours.NONE) if app.no_color else self

    def in_theme(self, theme: str) -> Looks:
        """The same, with a theme's shades."""
        return replace(self, stark=theme == HIGH_CONTRAST.name)


def _colours() -> Colours:
    says_so = os.environ.get("COLORTERM", "").lower() in _TRUE_COLOUR_WORDS or "WT_SESSION" in os.environ
    has_many = os.environ.get("TERM", "").lower().endswith(_MANY_COLOUR_ENDINGS)
    return Colours.TRUE if says_so or has_many or sys.platform == "win32" else Colours.SIXTEEN
