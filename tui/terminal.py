"""What the terminal can show: colour or not, line characters or plain ASCII."""

import os
import sys

from engine import errors
from engine.phrases import Phrase, shaped
from engine.records import record


@record
class Glyphs:
    """The few characters beside letters and digits that the wizard draws with."""

    here: str  # the field or line the keys act on
    done: str  # a step that holds all it must
    open: str  # a step that still waits for something
    trouble: str  # a step with an entry that cannot be used
    rule: str  # a line between two panes
    line: str  # a line under a heading
    more_up: str  # there is more above
    more_down: str  # there is more below
    ellipsis: str


LINES = Glyphs("▸", "✓", "·", "!", "│", "─", "▲", "▼", "…")
ASCII = Glyphs(">", "+", ".", "!", "|", "-", "^", "v", "~")


def is_ascii_only() -> bool:
    """Whether only plain ASCII surely arrives on this terminal."""
    if os.environ.get("FALLMARK_ASCII", "") not in ("", "0") or os.environ.get("TERM", "") == "dumb":
        return True
    return not _encoding().lower().replace("-", "").startswith("utf")


def _encoding() -> str:
    return getattr(sys.__stdout__, "encoding", None) or "ascii"


def is_colourless() -> bool:
    """Whether no colour was asked for (NO_COLOR set to anything), or the terminal has none."""
    return bool(os.environ.get("NO_COLOR")) or os.environ.get("TERM", "") in ("dumb", "vt100", "vt220")


def glyphs() -> Glyphs:
    """The characters to draw with on this terminal."""
    return ASCII if is_ascii_only() else LINES


def capital(text: str) -> str:
    """Words with a capital first."""
    return f"{text[:1].upper()}{text[1:]}"


def sentence(text: str) -> Phrase:
    """Words as a sentence in any tongue: a capital first, a full stop last."""
    return shaped(text, _sentence)


def _sentence(text: str) -> str:
    text = text.strip()
    end = "" if text.endswith((".", "!", "?")) else "."
    return capital(text) + end if text else ""


def harmless(text: str, limit: int | None = None) -> str:
    """Text as one line that cannot move the cursor or change a colour, cut where longer than `limit`."""
    line = errors.harmless(text)
    if limit is None or len(line) <= limit:
        return line
    return line[: max(limit - 1, 0)] + glyphs().ellipsis
