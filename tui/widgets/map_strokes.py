"""What the outline alone puts on the map: strokes for its edges, the corners' letters, and the cells left to shade.

Edges are drawn half a cell outside the floor, to leave all of it to the height map.
"""

from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from engine.arrays import following, preceding, signed_area
from engine.job.model import EdgeKind
from engine.phrases import phrase
from engine.records import record, result
from engine.survey.outline import FloorOutline
from engine.types import Array, Index, Mask

from ..tongues import told
from .ink import Ink
from .looks import Looks
from .map_frame import Frame

_OUT = 0.5 - 1e-6  # [cells] how far off the floor an edge is drawn; through cells' middles it takes them
_MOST_MITRE = 1.5  # [cells] the farthest out of a sharp corner's letter
_EDGE_LABELS = {EdgeKind.CURB: phrase("curb"), EdgeKind.OPEN: phrase("open")}
_ROOM_ROUND_LABEL = 4  # [cells] of stroke beside a word on it
_CURVE_STEP = 3.0  # [cells] a curved wall is drawn in pieces about so long
_SLANTED = 0.5  # [cells a cell] an edge this far from level or upright is all slashes


@record
class Stroke:
    """The characters of one kind of edge."""

    level: str
    upright: str


STROKES = {EdgeKind.WALL: Stroke("━", "┃"), EdgeKind.CURB: Stroke("═", "║"), EdgeKind.OPEN: Stroke("╌", "┆")}
ASCII_STROKES = {EdgeKind.WALL: Stroke("-", "|"), EdgeKind.CURB: Stroke("=", "="), EdgeKind.OPEN: Stroke("~", "~")}
VALLEY = Stroke("─", "│")
ASCII_VALLEY = Stroke("&", "&")


class Drawn(NamedTuple):
    """Characters (k,) at cells of the map: rows (k,) and columns (k,)."""

    rows: Index
    columns: Index
    characters: NDArray[np.str_]


def strokes(looks: Looks) -> dict[EdgeKind, Stroke]:
    """The edges' characters."""
    return ASCII_STROKES if looks.ascii else STROKES


def draw_edges(floor: FloorOutline, points: Array, looks: Looks) -> Drawn:
    """The outline's strokes, without letters; points: from `outside_corners`, one a side."""
    own, kept = strokes(looks), _drawn_points(floor, points)
    kinds = [floor.kinds[wall] for wall in floor.sides.walls[kept].tolist()]
    edges = zip(points[kept], following(points[kept]), kinds, strict=True)
    return _joined([_edge(*edge, own[edge[2]]) for edge in edges])


def _drawn_points(floor: FloorOutline, points: Array) -> list[int]:
    """Which points strokes are drawn between: of a curve only some, or it would look thick."""
    corners, kept = set(floor.sides.first.tolist()), [0]
    for number in range(1, len(points)):
        since = float(np.hypot(*(points[number] - points[kept[-1]])))
        if number in corners or since >= _CURVE_STEP:
            kept.append(number)
    return kept


def draw_labels(floor: FloorOutline, points: Array) -> Drawn:
    """The word for each curb and open edge, amid a stroke straight and long enough."""
    kinds = [floor.kinds[wall] for wall in floor.sides.walls.tolist()]
    return _joined([_label(*edge) for edge in zip(points, following(points), kinds, strict=True)])


def draw_letters(floor: FloorOutline, corners: Array, columns: int) -> Drawn:
    """The corners' letters; of two the last stands at the corner on the left, the first on the right."""
    letters = []
    for (column, row), name in zip(np.floor(corners).astype(int).tolist(), floor.names, strict=True):
        first = column - (len(name) - 1 if column < columns / 2 else 0)
        first = min(max(first, 0), columns - len(name))
        letters.append(_along_row(row, first, name))
    return _joined(letters)


def draw_valleys(lines: Array, looks: Looks) -> Drawn:
    """Valleys and level ridges across the floor: their ends as (column, row), (k, 2, 2)."""
    own = ASCII_VALLEY if looks.ascii else VALLEY
    return _joined([_edge(start, end, EdgeKind.WALL, own) for start, end in lines])


def outside_corners(cells: Array) -> Array:
    """The outline's corners, as (column, row), half a cell off the floor, (n, 2)."""
    to_next = following(cells) - cells
    normals = np.column_stack([to_next[:, 1], -to_next[:, 0]])
    normals /= np.maximum(np.hypot(*normals.T), 1e-12)[:, None]
    # Rows count downward: the normal points out of a ring walked with falling area.
    out = normals if signed_area(cells) > 0 else -normals
    before = preceding(out)
    along = np.maximum(1.0 + (out * before).sum(axis=1), 1e-3)
    mitre = _OUT * (out + before) / along[:, None]
    length = np.maximum(np.hypot(*mitre.T), 1e-12)
    return np.asarray(cells + mitre * np.minimum(1.0, _MOST_MITRE / length)[:, None])


def _edge(start: Array, end: Array, kind: EdgeKind, stroke: Stroke) -> Drawn:
    run = end - start
    major = 0 if abs(run[0]) >= abs(run[1]) else 1
    if run[major] < 0:
        start, end, run = end, start, -run
    steps = np.arange(int(np.floor(start[major])), int(np.floor(end[major])) + 1)
    part = np.clip((steps + 0.5 - start[major]) / max(run[major], 1e-12), 0.0, 1.0)
    other = np.floor(start[1 - major] + part * run[1 - major] + 1e-9).astype(int)
    slash = "\\" if run[0] * run[1] > 0 else "/"
    straight = stroke.level if major == 0 else stroke.upright
    characters = np.where(_slashes(run, major, other, kind), slash, straight)
    return Drawn(other, steps, characters) if major == 0 else Drawn(steps, other, characters)


def _slashes(run: Array, major: int, other: Index, kind: EdgeKind) -> Mask:
    """Where an edge is drawn with a slash: where it changes row or column, or all along where slanted.

    A slanted curb or open edge keeps its stroke at every second step, lest it look like a wall.
    """
    # Counted from the edge's upper end: a floor and its mirror image are drawn alike.
    is_upward = major == 0 and run[1] < 0
    down = other[::-1] if is_upward else other
    turns = np.zeros(len(other), dtype=bool)
    if abs(run[1 - major]) >= _SLANTED * abs(run[major]):
        turns[:] = True
        turns[::2] = kind is EdgeKind.WALL
    else:
        turns[1:] = np.diff(down) != 0
    return turns[::-1] if is_upward else turns


def _label(start: Array, end: Array, kind: EdgeKind) -> Drawn:
    word = told(_EDGE_LABELS.get(kind, ""))
    (left, top), (right, bottom) = np.floor(np.sort([start, end], axis=0)).astype(int).tolist()
    is_level, is_upright = top == bottom, left == right
    room = right - left if is_level else bottom - top
    if not (is_level or is_upright) or room < len(word) + _ROOM_ROUND_LABEL:
        word = ""
    first = (left + right if is_level else top + bottom) // 2 - (len(word) - 1) // 2
    along = _along_row(top, first, word)
    return along if is_level else Drawn(along.columns, np.full(len(word), left), along.characters)


def _along_row(row: int, first: int, word: str) -> Drawn:
    return Drawn(np.full(len(word), row), np.arange(first, first + len(word)), np.array(list(word), dtype="<U1"))


def _joined(parts: list[Drawn]) -> Drawn:
    return Drawn(*(np.concatenate(grids) for grids in zip(*parts, strict=True)))


@result
class Stencil:
    """An empty map, (rows, columns): the outline's characters and inks, on_floor where the floor is."""

    characters: NDArray[np.str_]
    inks: NDArray[np.int16]
    on_floor: Mask


def stencil(floor: FloorOutline, frame: Frame, looks: Looks) -> Stencil:
    """The outline drawn into a frame; a stroke across a cell of the floor takes it."""
    shape = frame.rows, frame.columns
    characters = np.full(shape, " ", dtype="<U1")
    inks = np.full(shape, Ink.TEXT, dtype=np.int16)
    on_floor = np.zeros(shape, dtype=bool)
    inside = shapely.contains_xy(floor.polygon, *frame.centres().T)
    on_floor[1:-1, 1:-1] = inside.reshape(frame.rows - 2, frame.columns - 2)
    # A sharp corner may lie beyond the frame: it is drawn at the frame's edge.
    points = np.clip(outside_corners(frame.cells(floor.ring)), 0.0, np.array([frame.columns, frame.rows]) - 1e-6)
    for drawn, ink in (
        (draw_edges(floor, points, looks), Ink.EDGE),
        (draw_labels(floor, points), Ink.EDGE),
        (draw_letters(floor, points[floor.sides.first], frame.columns), Ink.LETTER),
    ):
        characters[drawn.rows, drawn.columns] = drawn.characters
        inks[drawn.rows, drawn.columns] = ink
    return Stencil(characters, inks, on_floor & (characters == " "))
