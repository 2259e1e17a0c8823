"""The map as a grid of cells: a character, a shade or none, an ink; drawn from a plan without any widget."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from engine.survey.spot import Needs
from tui.widgets.ink import Ink, PictureLine, Span
from tui.widgets.map_bands import Bands, bands
from tui.widgets.map_layers import MapLayer, Samples, field, floor_mask
from tui.widgets.map_marks import Mark, MarkKind, marks
from tui.widgets.map_strokes import edge_cells, label_cells, letter_cells
from tui.widgets.ramps import LEVELS, shades

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from engine.job.model import EdgeKind
    from engine.plan import Plan
    from engine.types import Array, Mask
    from tui.widgets.looks import Looks
    from tui.widgets.map_frame import Frame

_PAGE = 64  # more than any level: ink and level in one number, so that runs of one style are found at once
_ON_SHADE = (MarkKind.STATION,)  # marks that stand on the shade instead of covering it


@dataclass(frozen=True, eq=False)
class MapCells:
    """A drawn map.

    characters, inks, levels: (rows, columns); levels: the ramp's level 0..5 under each cell, -1 for none;
    on_floor: (rows, columns), the cells that may be shaded; bands: what the shades mean, None without any.
    """

    frame: Frame
    layer: MapLayer
    characters: NDArray[np.str_]
    inks: NDArray[np.int16]
    levels: NDArray[np.int16]
    on_floor: Mask
    bands: Bands | None
    marks: tuple[Mark, ...]
    edges: frozenset[EdgeKind]

    @property
    def shade(self) -> Array:
        """How dark each cell is, 0 to 1, not a number where nothing is shaded, (rows, columns) [-]."""
        return np.where(self.levels < 0, np.nan, self.levels / (LEVELS - 1))

    def lines(self, cursor: tuple[int, int] | None = None) -> list[PictureLine]:
        """The map's rows as spans of one style each, the cursor's cell standing out."""
        lines = _spans(self.characters, self.inks, self.levels)
        if cursor is not None and 0 <= cursor[0] < len(lines):
            lines[cursor[0]] = _with_cursor(lines[cursor[0]], cursor[1])
        return lines


class _Canvas:
    """The three grids while they are being drawn on."""

    def __init__(self, rows: int, columns: int) -> None:
        self.characters: NDArray[np.str_] = np.full((rows, columns), " ", dtype="<U1")
        self.inks: NDArray[np.int16] = np.full((rows, columns), Ink.TEXT, dtype=np.int16)
        self.levels: NDArray[np.int16] = np.full((rows, columns), -1, dtype=np.int16)

    def put(self, row: int, column: int, character: str, ink: Ink, *, on_shade: bool = False) -> None:
        self.characters[row, column] = character
        self.inks[row, column] = ink
        if not on_shade:
            self.levels[row, column] = -1

    def shade(self, cells: Mask, levels: NDArray[np.int16], looks: Looks) -> None:
        self.levels[cells] = levels
        self.inks[cells] = np.where(levels < 0, Ink.TEXT, Ink.SHADE)
        self.characters[cells] = np.array([*shades(looks), " "])[levels]


def draw(plan: Plan, samples: Samples, layer: MapLayer, looks: Looks) -> MapCells:
    """The map of one layer; a plan that is not far enough is drawn as far as it is."""
    frame, on_floor = samples.frame, samples.on_floor
    canvas = _Canvas(frame.rows, frame.columns)
    figures = field(samples, layer)
    meaning = None
    if figures is not None:
        meaning = bands(figures.least, figures.most, layer.dimension, plan.job.units)
        canvas.shade(on_floor, meaning.levels(figures.values), looks)
    edges = _draw_edges(plan, frame, looks, canvas)
    found = tuple(marks(plan, frame, on_floor, looks))
    for mark in found:
        canvas.put(mark.row, mark.column, mark.character, mark.kind.value, on_shade=mark.kind in _ON_SHADE)
    grids = canvas.characters, canvas.inks, canvas.levels
    return MapCells(frame, layer, *grids, on_floor, meaning, found, edges)


def sample(plan: Plan, frame: Frame, looks: Looks) -> Samples:
    """The plan's surfaces on the cells that the outline's strokes leave free."""
    on_floor = floor_mask(plan, frame)
    if not isinstance(plan.outline, Needs):
        for cell in edge_cells(plan.outline, frame, looks):
            on_floor[cell.row, cell.column] = False
        for cell in letter_cells(plan.outline, frame):
            on_floor[cell.row, cell.column] = False
    return Samples(plan, frame, on_floor)


def _draw_edges(plan: Plan, frame: Frame, looks: Looks, canvas: _Canvas) -> frozenset[EdgeKind]:
    if isinstance(plan.outline, Needs):
        return frozenset()
    for row, column, character in edge_cells(plan.outline, frame, looks):
        canvas.put(row, column, character, Ink.EDGE)
    for row, column, character in label_cells(plan.outline, frame):
        canvas.put(row, column, character, Ink.EDGE)
    for row, column, character in letter_cells(plan.outline, frame):
        canvas.put(row, column, character, Ink.LETTER)
    return frozenset(plan.outline.kinds)


def _spans(
    characters: NDArray[np.str_], inks: NDArray[np.int16], levels: NDArray[np.int16]
) -> list[PictureLine]:
    """Rows cut where the style changes."""
    styles = inks * _PAGE + levels + 1
    changes = styles[:, 1:] != styles[:, :-1]
    lines: list[PictureLine] = []
    for row, text in enumerate("".join(line) for line in characters.tolist()):
        cuts = [0, *(np.flatnonzero(changes[row]) + 1).tolist(), len(text)]
        firsts = styles[row, cuts[:-1]].tolist()
        lines.append(
            tuple(
                Span(text[start:end], Ink(style // _PAGE), style % _PAGE - 1)
                for start, end, style in zip(cuts, cuts[1:], firsts, strict=False)
            )
        )
    return lines


def _with_cursor(line: PictureLine, column: int) -> PictureLine:
    """The line with an X in place of one character."""
    spans: list[Span] = []
    at = 0
    for span in line:
        local = column - at
        at += len(span.text)
        if not 0 <= local < len(span.text):
            spans.append(span)
            continue
        before, after = span.text[:local], span.text[local + 1 :]
        spans += [span._replace(text=before)] if before else []
        spans.append(Span("X", Ink.CURSOR))
        spans += [span._replace(text=after)] if after else []
    return tuple(spans)
