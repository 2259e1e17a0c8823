"""What stands in the column beside the drawings: about as tall as they, so that no paper is lost."""

import math
from collections.abc import Sequence

from .svg import Drawing

_HEADING = 5.0  # [mm of paper] with the air about it
_MARK, _MARKS = 3.95, 15.0  # [mm of paper] a row of the marks' table; its heading, head and words
_LINE, _LETTERS = 3.2, 37  # [mm of paper] a line of facts, and how many letters go on one
_OVER = 4.0  # [mm of paper] that the column may be taller than the drawings

Rows = list[tuple[str, str]]


def tall_drawings(drawings: Sequence[Drawing | None]) -> float:
    """The height of the drawings with their headings [mm of paper]."""
    heights = [drawing.root.get("height", "0mm") for drawing in drawings if drawing is not None]
    return sum(float(height.removesuffix("mm")) + _HEADING for height in heights)


def tall_facts(*lists: Rows) -> float:
    """About the height of lists of facts, each under its heading; 0 for empty ones [mm of paper]."""
    return sum(_HEADING + _LINE * sum(math.ceil(len(text) / _LETTERS) for _, text in rows) for rows in lists if rows)


def tall_marks(count: int) -> float:
    """About the height of the table of so many marks [mm of paper]."""
    return _MARKS + _MARK * count if count else 0.0


def fits(tall: float, room: float) -> bool:
    """Whether what is so tall stands beside drawings so tall [mm of paper]."""
    return tall <= room + _OVER
