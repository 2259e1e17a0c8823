"""A plan's picture in so many cells: the map, its legend beside or under it, a spot's figures."""

from __future__ import annotations

from dataclasses import field, replace
from functools import cached_property

from engine.phrases import counted_phrase, joined, phrase
from engine.plan import Plan
from engine.records import record, result
from engine.types import Array

from ..tongues import Tongue, spoken, told
from . import map_legend
from .ink import PictureLine, Span, in_words
from .lines import wrapped
from .looks import Looks
from .map_cells import MapCells, draw
from .map_frame import Frame, fit
from .map_layers import MapLayer, Samples, missing_outline
from .map_spot import spot_figures
from .map_strokes import stencil

_COLUMN_FROM = (58, 17)  # [cells] from this size on, the legend stands beside the map
_GAP = 2  # [cells] between the map and the legend's column
_WORDS = 130  # characters of a spot's figures
_MOST_WORD_ROWS = 4
_NO_ROOM = phrase("No room for the map here: make the window larger.")


@record
class Arrangement:
    """The map's left and top in the picture; the legend beside it, or rows for words under it."""

    frame: Frame
    left: int
    top: int
    is_beside: bool
    rows_under: int


def arrange(corners: Array, width: int, height: int) -> Arrangement | None:
    """The arrangement for a floor with corners (n, 2) [mm] in so many cells; None without room."""
    if width >= _COLUMN_FROM[0] and height >= _COLUMN_FROM[1]:
        frame = fit(corners, width - map_legend.COLUMN_WIDTH - _GAP, height)
        if frame is not None:
            used = frame.columns + _GAP + map_legend.COLUMN_WIDTH
            return Arrangement(frame, (width - used) // 2, (height - frame.rows) // 2, True, 0)
    wanted = 1 + min(-(-_WORDS // max(width, 1)), _MOST_WORD_ROWS)
    under = max(min(wanted, height // 3), 1)
    frame = fit(corners, width, height - under)
    if frame is None:
        return None
    top = (height - under - frame.rows) // 2
    return Arrangement(frame, (width - frame.columns) // 2, top, False, under)


@result
class MapPicture:
    """One plan, layer and size: drawn once, then only cursor and words change."""

    plan: Plan | None
    layer: MapLayer
    width: int
    height: int
    looks: Looks
    tongue: Tongue = field(default_factory=spoken)  # some words are drawn into it

    @cached_property
    def arrangement(self) -> Arrangement | None:
        """Where everything goes; None without an outline or room."""
        if self.plan is None or not self.plan.outline:
            return None
        return arrange(self.plan.outline.ring, self.width, self.height)

    @cached_property
    def samples(self) -> Samples | None:
        """The plan's surfaces under the map's cells."""
        plan, at = self.plan, self.arrangement
        if plan is None or at is None or not plan.outline:
            return None
        return Samples(plan, at.frame, stencil(plan.outline, at.frame, self.looks))

    @cached_property
    def cells(self) -> MapCells | None:
        """The drawn map."""
        if self.plan is None or self.samples is None:
            return None
        return draw(self.plan, self.samples, self.layer, self.looks)

    def with_layer(self, layer: MapLayer) -> MapPicture:
        """The same floor with another layer; what was sampled is kept."""
        other = MapPicture(self.plan, layer, self.width, self.height, self.looks)
        other.__dict__.update(arrangement=self.arrangement, samples=self.samples)
        return other

    def lines(self, spot: tuple[float, float] | None = None) -> list[PictureLine]:
        """The picture's rows, `height` of them; spot: the cursor's x and y [mm]."""
        plan, at, cells = self.plan, self.arrangement, self.cells
        if plan is None or at is None or cells is None:
            return self._in_words()
        cursor = None if spot is None else at.frame.cell(*spot)
        words = () if spot is None else spot_words(plan, *spot, self.layer)
        rows = self._map_rows(cells, at, cursor)
        if at.is_beside:
            return _beside(rows, self._column(plan, cells, words), at, self.height)
        under = self._under(plan, cells, words, at.rows_under)
        return [*rows, *under, *([()] * at.rows_under)][: self.height]

    def _in_words(self) -> list[PictureLine]:
        has_outline = self.plan is not None and self.plan.outline
        words = _NO_ROOM if has_outline else missing_outline(self.plan, phrase("The map"))
        return in_words(words, self.width, self.height)

    def _map_rows(self, cells: MapCells, at: Arrangement, cursor: tuple[int, int] | None) -> list[PictureLine]:
        indent = (Span(" " * at.left),) if at.left else ()
        drawn = [(*indent, *line) for line in cells.lines(cursor)]
        below = self.height - at.rows_under - at.top - len(drawn)
        return [*([()] * at.top), *drawn, *([()] * below)]

    def _column(self, plan: Plan, cells: MapCells, words: tuple[str, ...]) -> list[PictureLine]:
        width = map_legend.COLUMN_WIDTH
        head = map_legend.column(plan, cells, self.looks, width, self.height)
        if not words:
            return head
        steps = head[: head.index(())] if () in head else head
        return [*steps, (), *_fitting(words, width, self.height - len(steps) - 1)][: self.height]

    def _under(self, plan: Plan, cells: MapCells, words: tuple[str, ...], rows: int) -> list[PictureLine]:
        if not words:
            return map_legend.lines(plan, cells, self.looks, self.width, rows)
        figures = _fitting(words, self.width, rows)
        if rows <= len(figures):
            return figures[:rows]
        return [map_legend.line(plan, cells, self.looks, self.width), *figures]


def _fitting(forms: tuple[str, ...], width: int, rows: int) -> list[PictureLine]:
    broken = (wrapped(told(words), width) for words in forms)
    lines = next((lines for lines in broken if len(lines) <= rows), wrapped(told(forms[-1]), width))
    return [(Span(line),) for line in lines]


def spot_words(plan: Plan, x: float, y: float, layer: MapLayer = MapLayer.DEPTH) -> tuple[str, ...]:
    """What a layer tells of a place, with findings about it; for little room, then without the rough floor."""
    found = spot_figures(plan, x, y)
    figures, short = found.words(layer), replace(found, rough=None).words(layer)
    near = [
        str(index + 1)
        for index, finding in enumerate(plan.findings)
        if finding.x is not None and finding.y is not None and abs(finding.x - x) + abs(finding.y - y) < 1.0
    ]
    if not near:
        return figures, short
    about = counted_phrase(
        "Finding {numbers} is about this place.",
        "Findings {numbers} are about this place.",
        len(near),
        numbers=", ".join(near),
    )
    return joined(" ", [figures, about]), figures, short


def _beside(rows: list[PictureLine], column: list[PictureLine], at: Arrangement, height: int) -> list[PictureLine]:
    start = min(at.top, max(height - len(column), 0))
    until = at.left + at.frame.columns + _GAP
    lines = list(rows)
    for row, line in enumerate(column, start):
        blank = until - map_legend.length(lines[row])
        lines[row] = (*lines[row], Span(" " * blank), *line)
    return lines
