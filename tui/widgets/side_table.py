"""The heights at a cut's ends and its drain, as a small table that is also the drawing's key."""

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from engine.phrases import phrase
from engine.plan import Plan
from engine.quantities import Units, format_length
from engine.sheets.cut import Cut
from engine.types import Array

from ..tongues import told
from .ink import Ink, PictureLine, Span
from .side_cut import profile
from .side_matter import Layers

_NONE = "-"
_UNIT_WORDS = {Units.INCH: phrase("inches"), Units.MM: "mm"}
_SHORT: dict[str, str] = {  # the labels where the long ones do not fit
    "inches": "in",
    "mud, deep": phrase("deep"),
    "tile top": phrase("tile"),
    "upper bed": phrase("upper"),
    "rough floor": phrase("rough"),
}


class Swatch(NamedTuple):
    """How one kind of matter is drawn."""

    character: str
    ink: Ink


_BLANK = Swatch(" ", Ink.TEXT)


class _Row(NamedTuple):
    swatch: Swatch
    label: str
    figures: tuple[str, str, str]


def table(plan: Plan, cut: Cut, layers: Layers, swatches: dict[str, Swatch], width: int) -> list[PictureLine]:
    """The table's lines, head first, at most so wide; none where it does not fit.

    swatches: by the row's name, "tile", "upper bed", "mud" and "rough floor".
    """
    head = _Row(_BLANK, _UNIT_WORDS[plan.job.units], (cut.wall, told(phrase("drain")), cut.far_wall))
    rows = list(_rows(plan, cut, layers, swatches))
    shortened = [row._replace(label=_SHORT.get(row.label, row.label)) for row in (head, *rows)]
    for lines in ([head, *rows], shortened):
        longest = [max(len(row.figures[k]) for row in lines) for k in range(3)]
        labels = max(len(told(row.label)) for row in lines) + 2
        gap = next((gap for gap in (3, 2, 1) if labels + sum(longest) + 3 * gap <= width), None)
        if gap is not None:
            widths = (labels, *(figures + gap for figures in longest))
            return [_line(lines[0], widths, Ink.STRONG), *(_line(row, widths, Ink.TEXT) for row in lines[1:])]
    return []


def _rows(plan: Plan, cut: Cut, layers: Layers, swatches: dict[str, Swatch]) -> Iterator[_Row]:
    at = profile(plan, cut, np.array([0.0, cut.drain, cut.length]))
    at_ends = np.array([True, False, True])

    def texts(figures: Array) -> tuple[str, str, str]:
        first, middle, last = (
            format_length(value, plan.job.units).rsplit(" ", 1)[0] if np.isfinite(value) else _NONE
            for value in figures.tolist()
        )
        return first, middle, last

    yield _Row(_BLANK, phrase("mud, deep"), texts(at.bed - at.rough))
    yield _Row(swatches["tile"], phrase("tile top"), texts(np.where(at_ends, at.bed + layers.total, np.nan)))
    if layers.upper_bed:
        upper = np.where(at_ends, at.bed + layers.upper_bed, np.nan)
        yield _Row(swatches["upper bed"], phrase("upper bed"), texts(upper))
    yield _Row(swatches["mud"], phrase("bed"), texts(at.bed))
    yield _Row(swatches["rough floor"], phrase("rough floor"), texts(at.rough))


def _line(row: _Row, widths: tuple[int, ...], ink: Ink) -> PictureLine:
    figures = "".join(text.rjust(width) for text, width in zip(row.figures, widths[1:], strict=True))
    return Span(*row.swatch), Span(f" {told(row.label)}".ljust(widths[0] - 1) + figures, ink)
