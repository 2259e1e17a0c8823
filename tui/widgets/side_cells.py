"""The side view as lines of text: the drawn cut, its words, the table of its heights."""

from collections.abc import Iterator
from itertools import groupby
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from engine.limits.words import drain_words
from engine.phrases import joined, phrase
from engine.plan import Plan
from engine.quantities import Units, format_length
from engine.sheets.cut import Cut, CutFrom, cut_through
from engine.survey.spot import Needs
from engine.types import Array

from ..tongues import told
from .ink import Ink, PictureLine, Span, in_words
from .lines import wrapped
from .looks import Colours, Looks
from .map_layers import MapLayer, missing_outline, why_waiting
from .map_marks import ASCII_DRAIN, DRAIN
from .map_strokes import strokes
from .side_matter import Layers, Matter, Profile, first_flange, layers_on_bed, matter, profile, scale_for

_MATTERS = len(Matter)
_LEAST_WIDTH = 24
_LEAST_ROWS = 4  # with fewer for the drawing, words and heights stand alone
_SHORT_TABLE = 2  # head and mud's depth, which stay when the drawing needs the room
_INKS = {
    Matter.AIR: Ink.TEXT,
    Matter.GROUND: Ink.GROUND,
    Matter.MUD: Ink.MUD,
    Matter.UPPER_BED: Ink.UPPER_BED,
    Matter.TILE: Ink.TILE,
    Matter.FLANGE: Ink.DRAIN,
    Matter.OUTLET: Ink.DRAIN,
}
_GLYPHS = dict(zip(Matter, (" ", "/", "░", "▒", "█", DRAIN, "║"), strict=True))
_ASCII_GLYPHS = dict(zip(Matter, (" ", "/", ".", ":", "#", ASCII_DRAIN, "|"), strict=True))
_ON = {  # two matters in one cell, the upper half over the lower
    (Matter.TILE, Matter.MUD): Ink.TILE_ON_MUD,
    (Matter.TILE, Matter.UPPER_BED): Ink.TILE_ON_UPPER_BED,
    (Matter.UPPER_BED, Matter.MUD): Ink.UPPER_BED_ON_MUD,
    (Matter.MUD, Matter.GROUND): Ink.MUD_ON_GROUND,
}
_NONE = "-"
_UNIT_WORDS = Units.pair(phrase("inches"), "mm")
_SHORT: dict[str, str] = {  # the labels where the long ones do not fit
    "inches": "in",
    "mud, deep": phrase("deep"),
    "tile top": phrase("tile"),
    "upper bed": phrase("upper"),
    "rough floor": phrase("rough"),
}


class Swatch(NamedTuple):
    """How a kind of matter, or two in one cell, are drawn."""

    character: str
    ink: Ink


_BLANK = Swatch(" ", Ink.TEXT)


class _Row(NamedTuple):
    swatch: Swatch
    label: str
    figures: tuple[str, str, str]


def side_lines(
    plan: Plan | None, wall: str | None, start: CutFrom, size: tuple[int, int], looks: Looks
) -> list[PictureLine]:
    """The side view in so many (columns, rows); in words where something has to come first."""
    width, height = size
    if plan is None or not plan.outline:
        return in_words(missing_outline(plan, phrase("The side view")), width, height)
    flange = first_flange(plan)
    if flange is None:
        question = plan.drains.says if isinstance(plan.drains, Needs) else phrase("where is the drain?")
        words = phrase("The side view goes through the drain: {question}", question=question)
        return in_words(words, width, height)
    if width < _LEAST_WIDTH:
        return in_words(phrase("No room for the side view here: make the window larger."), width, height)
    walls = plan.outline.walls
    cut = cut_through(plan.outline, flange, wall if wall in walls else walls[0], start)
    return _assembled(plan, cut, start, size, looks)


def _assembled(plan: Plan, cut: Cut, start: CutFrom, size: tuple[int, int], looks: Looks) -> list[PictureLine]:
    width, height = size
    layers = layers_on_bed(plan)
    across = cut.length / (width - 2)
    surfaces = profile(plan, cut, np.asarray((np.arange(width - 2) + 0.5) * across, dtype=float))
    heights = table(plan, cut, layers, looks, width)
    words = _words(plan, cut, start, surfaces)
    room = height - len(wrapped(f"{words} {_times(10)}", width))
    if room - len(heights) < _LEAST_ROWS <= room - _SHORT_TABLE:
        heights = heights[:_SHORT_TABLE]
    room -= len(heights)
    scale = scale_for(surfaces, layers, across, room) if room >= _LEAST_ROWS else None
    drawing: list[PictureLine] = []
    if scale is not None:
        drawing = list(_drawn(cut, matter(cut, surfaces, layers, scale), looks))
        words = f"{words} {_times(scale.times)}"
    lines = [*drawing, *((Span(line),) for line in wrapped(words, width)), *heights]
    return (lines + [()] * height)[:height]


def _words(plan: Plan, cut: Cut, start: CutFrom, surfaces: Profile) -> str:
    is_middle = start is CutFrom.MIDDLE
    said: list[str] = [
        phrase(
            "Cut from {origin} through {drain} to {wall}, {length} long.",
            drain=drain_words(0, len(plan.job.drains)),
            origin=phrase("the middle of {wall}", wall=cut.wall) if is_middle else cut.wall,
            wall=cut.far_wall,
            length=format_length(cut.length, plan.units),
        )
    ]
    if not surfaces.is_floor.all():
        said.append(phrase("Where it is blank there is no floor."))
    if missing := why_waiting(plan, MapLayer.DEPTH):
        said.append(phrase("Not all is there yet. {missing}", missing=missing))
    return told(joined(" ", said))


def _times(times: float) -> str:
    if times == 1:
        return told(phrase("Heights drawn to scale."))
    return told(phrase("Heights drawn {times} times.", times=f"{times:g}"))


def _drawn(cut: Cut, halves: NDArray[np.int8], looks: Looks) -> Iterator[PictureLine]:
    near = Span(strokes(looks)[cut.kind].upright, Ink.EDGE)
    far = Span(strokes(looks)[cut.far_kind].upright, Ink.EDGE)
    pairs = halves[::2].astype(np.int16) * _MATTERS + halves[1::2]
    cells = {pair: _cell(pair, looks) for pair in np.unique(pairs).tolist()}
    for row in pairs.tolist():
        runs = [(pair, len(list(run))) for pair, run in groupby(row)]
        yield (near, *(Span(cells[pair].character * count, cells[pair].ink) for pair, count in runs), far)


def _swatch(kind: Matter, looks: Looks) -> Swatch:
    return Swatch((_ASCII_GLYPHS if looks.ascii else _GLYPHS)[kind], _INKS[kind])


def _cell(pair: int, looks: Looks) -> Swatch:
    """One character for two halves: by halves where colours tell them apart, else by the lower half.

    Thin tile is never lost to what lies under it.
    """
    upper, lower = Matter(pair // _MATTERS), Matter(pair % _MATTERS)
    if upper is Matter.AIR and lower is Matter.TILE:
        return Swatch("_" if looks.ascii else "▄", Ink.TILE_EDGE)
    if (upper, lower) in _ON and looks.colours is not Colours.NONE and not looks.ascii:
        return Swatch("▀", _ON[upper, lower])
    return _swatch(upper if upper is Matter.TILE and lower is not Matter.AIR else lower, looks)


def table(plan: Plan, cut: Cut, layers: Layers, looks: Looks, width: int) -> list[PictureLine]:
    """The table's lines, head first, at most so wide; none where it does not fit."""
    head = _Row(_BLANK, _UNIT_WORDS[plan.units], (cut.wall, told(phrase("drain")), cut.far_wall))
    rows = list(_rows(plan, cut, layers, looks))
    shortened = [row._replace(label=_SHORT.get(row.label, row.label)) for row in (head, *rows)]
    for lines in ([head, *rows], shortened):
        longest = [max(len(row.figures[k]) for row in lines) for k in range(3)]
        labels = max(len(told(row.label)) for row in lines) + 2
        gap = next((gap for gap in (3, 2, 1) if labels + sum(longest) + 3 * gap <= width), None)
        if gap is not None:
            widths = (labels, *(figures + gap for figures in longest))
            return [_line(lines[0], widths, Ink.STRONG), *(_line(row, widths, Ink.TEXT) for row in lines[1:])]
    return []


def _rows(plan: Plan, cut: Cut, layers: Layers, looks: Looks) -> Iterator[_Row]:
    at = profile(plan, cut, np.array([0.0, cut.drain, cut.length]))
    at_ends = np.array([True, False, True])

    def texts(figures: Array) -> tuple[str, str, str]:
        first, middle, last = (
            format_length(value, plan.units).rsplit(" ", 1)[0] if np.isfinite(value) else _NONE
            for value in figures.tolist()
        )
        return first, middle, last

    yield _Row(_BLANK, phrase("mud, deep"), texts(at.bed - at.rough))
    yield _Row(_swatch(Matter.TILE, looks), phrase("tile top"), texts(np.where(at_ends, at.bed + layers.total, np.nan)))
    if layers.upper_bed:
        upper = np.where(at_ends, at.bed + layers.upper_bed, np.nan)
        yield _Row(_swatch(Matter.UPPER_BED, looks), phrase("upper bed"), texts(upper))
    yield _Row(_swatch(Matter.MUD, looks), phrase("bed"), texts(at.bed))
    yield _Row(_swatch(Matter.GROUND, looks), phrase("rough floor"), texts(at.rough))


def _line(row: _Row, widths: tuple[int, ...], ink: Ink) -> PictureLine:
    figures = "".join(text.rjust(width) for text, width in zip(row.figures, widths[1:], strict=True))
    return Span(*row.swatch), Span(f" {told(row.label)}".ljust(widths[0] - 1) + figures, ink)
