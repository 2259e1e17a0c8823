"""A picture before it has any style: spans of text, each with an ink and perhaps a shade."""

from enum import IntEnum
from typing import NamedTuple, TypeAlias

from ..tongues import told
from .lines import wrapped


class Ink(IntEnum):
    """What a stretch of characters stands for; the style follows from it."""

    TEXT = 0
    STRONG = 1
    SHADE = 2  # the height map itself, and its swatches in the legend
    EDGE = 3
    LETTER = 4
    DRAIN = 5
    STATION = 6
    ISLAND = 7
    STOP = 8
    CAUTION = 9
    NOTE = 10
    CURSOR = 11
    MUD = 12
    UPPER_BED = 13
    TILE = 14
    TILE_EDGE = 15
    TILE_ON_MUD = 16
    TILE_ON_UPPER_BED = 17
    UPPER_BED_ON_MUD = 18
    MUD_ON_GROUND = 19
    GROUND = 20


class Span(NamedTuple):
    """A stretch of a line; level is the ramp's step under it (-1: none)."""

    text: str
    ink: Ink = Ink.TEXT
    level: int = -1


PictureLine: TypeAlias = tuple[Span, ...]


def in_words(words: str, width: int, rows: int) -> list[PictureLine]:
    """Words in place of a picture of so many cells."""
    lines: list[PictureLine] = [(Span(line),) for line in wrapped(told(words), max(width, 1))]
    return (lines + [()] * rows)[:rows]
