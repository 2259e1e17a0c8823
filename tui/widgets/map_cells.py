"""The map as a grid of cells: a character, a shade or none, an ink; drawn without any widget."""

from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from engine.bed.catchments import ridge_lines
from engine.bed.surfaces import level_lines, valley_lines
from engine.job.model import EdgeKind
from engine.plan import Plan
from engine.records import result
from engine.types import Array, Mask

from .ink import Ink, PictureLine, Span
from .looks import Looks
from .map_bands import Bands, bands
from .map_frame import Frame
from .map_layers import MapLayer, Samples, field
from .map_marks import Mark, MarkKind, marks, without
from .map_strokes import draw_valleys
from .map_water import arrows, number_drains
from .ramps import shades

_PAGE = 64  # over any level: ink and level in one number tell runs of one style
_INKS = tuple(Ink)


@result
class MapCells:
    """A drawn map.

    characters, inks, levels, on_floor: (rows, columns); levels: the ramp's, 0..5, -1 for none; on_floor: cells that may
    be shaded; bands: what the shades mean, None without any.
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

    @cached_property
    def rows(self) -> list[PictureLine]:
        """The map's rows as spans of one style each."""
        return _spans(self.characters, self.inks, self.levels)

    def lines(self, cursor: tuple[int, int] | None = None) -> list[PictureLine]:
        """The map's rows, the cursor's cell standing out."""
        lines = list(self.rows)
        if cursor is not None:
            lines[cursor[0]] = _with_cursor(lines[cursor[0]], cursor[1])
        return lines


def draw(plan: Plan, samples: Samples, layer: MapLayer, looks: Looks) -> MapCells:
    """The map of one layer; of an unfinished plan, as far as it is."""
    empty = samples.stencil
    characters, inks = empty.characters.copy(), empty.inks.copy()
    levels = np.full(inks.shape, -1, dtype=np.int16)
    figures = field(samples, layer)
    meaning = None
    if figures is not None:
        meaning = bands(figures.least, figures.most, layer.dimension, plan.units)
        levels[empty.on_floor] = meaning.levels(figures.values)
        shaded = levels >= 0
        inks[shaded] = Ink.SHADE
        characters[shaded] = np.array(list(shades(looks)))[levels[shaded]]
    lines = _valleys(plan, samples.frame)
    if len(lines):
        drawn = draw_valleys(lines, looks)
        free = empty.on_floor[drawn.rows, drawn.columns]
        rows, columns = drawn.rows[free], drawn.columns[free]
        characters[rows, columns] = drawn.characters[free]
        inks[rows, columns] = Ink.EDGE
        levels[rows, columns] = -1
    found = tuple(marks(plan, layer, samples.frame, empty.on_floor, looks))
    if layer is MapLayer.WATER:
        dry = empty.on_floor & (levels < 0) & (inks != Ink.EDGE)
        characters[dry] = arrows(plan, samples.points, ascii_only=looks.ascii)[dry[empty.on_floor]]
        number_drains(plan, samples.frame, without(dry, found), characters)
    for mark in found:
        characters[mark.row, mark.column] = mark.character
        inks[mark.row, mark.column] = mark.kind.value
        if mark.kind is not MarkKind.STATION:  # that stands on the shade
            levels[mark.row, mark.column] = -1
    edges = frozenset(plan.outline.kinds) if plan.outline else frozenset()
    return MapCells(samples.frame, layer, characters, inks, levels, empty.on_floor, meaning, found, edges)


def _valleys(plan: Plan, frame: Frame) -> Array:
    bed = plan.bed
    if not bed:
        return np.empty((0, 2, 2))
    lines = (*valley_lines(bed), *level_lines(bed))
    ends = np.array([[(line.low.x, line.low.y), (line.high.x, line.high.y)] for line in lines])
    valleys = frame.cells(ends.reshape(-1, 2)).reshape(-1, 2, 2)
    ridges = (frame.cells(ridge.points) for ridge in ridge_lines(bed))
    return np.concatenate([valleys, *(np.stack([points[:-1], points[1:]], axis=1) for points in ridges)])


def _spans(characters: NDArray[np.str_], inks: NDArray[np.int16], levels: NDArray[np.int16]) -> list[PictureLine]:
    count, columns = characters.shape
    styles = inks * _PAGE + levels + 1
    is_start = np.ones(styles.shape, dtype=bool)
    is_start[:, 1:] = styles[:, 1:] != styles[:, :-1]
    rows, starts = np.nonzero(is_start)
    ends = np.append(starts[1:], columns)
    ends[ends == 0] = columns
    # One string a row, without a loop over its cells.
    texts = np.ascontiguousarray(characters).view(f"<U{columns}")[:, 0].tolist()
    lines: list[list[Span]] = [[] for _ in range(count)]
    for row, start, end, style in zip(*(x.tolist() for x in (rows, starts, ends, styles[is_start])), strict=True):
        lines[row].append(Span(texts[row][start:end], _INKS[style // _PAGE], style % _PAGE - 1))
    return [tuple(line) for line in lines]


def _with_cursor(line: PictureLine, column: int) -> PictureLine:
    spans: list[Span] = []
    at = 0
    for span in line:
        local = column - at
        at += len(span.text)
        if not 0 <= local < len(span.text):
            spans.append(span)
            continue
        before, after = span.text[:local], span.text[local + 1 :]
        pieces = (span._replace(text=before), Span("X", Ink.CURSOR), span._replace(text=after))
        spans += [piece for piece in pieces if piece.text]
    return tuple(spans)
