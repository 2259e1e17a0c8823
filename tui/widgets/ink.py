"""What a picture is made of before it has any style: spans of text, each with an ink and perhaps a shade."""

from __future__ import annotations

from enum import IntEnum
from typing import NamedTuple, TypeAlias


class Ink(IntEnum):
    """What a stretch of characters stands for; the style follows from it."""

    TEXT = 0
    STRONG = 1
    QUIET = 2
    SHADE = 3  # the height map itself, and its swatches in the legend
    EDGE = 4
    LETTER = 5
    DRAIN = 6
    STATION = 7
    ISLAND = 8
    STOP = 9
    CAUTION = 10
    NOTE = 11
    CURSOR = 12
    MUD = 13
    UPPER_BED = 14
    TILE = 15
    TILE_EDGE = 16
    TILE_ON_MUD = 17
    TILE_ON_UPPER_BED = 18
    UPPER_BED_ON_MUD = 19
    MUD_ON_GROUND = 20
    GROUND = 21


class Span(NamedTuple):
    """A stretch of one line; level is the step of the ramp under it (-1: none)."""

    text: str
    ink: Ink = Ink.TEXT
    level: int = -1


PictureLine: TypeAlias = tuple[Span, ...]


def plain_text(lines: list[PictureLine]) -> str:
    """The picture as bare text, line ends trimmed."""
    return "\n".join("".join(span.text for span in line).rstrip() for line in lines)


def wrap(words: str, width: int) -> list[str]:
    """Words broken into lines of at most so many characters; a longer word is cut."""
    lines: list[str] = []
    current = ""
    for word in words.split():
        piece = word
        while len(piece) > width:
            lines.extend([current] if current else [])
            lines.append(piece[:width])
            current, piece = "", piece[width:]
        joined = f"{current} {piece}".strip()
        if len(joined) > width:
            lines.append(current)
            joined = piece
        current = joined
    return [*lines, current] if current else lines
