"""The floor's edges on the map: strokes for walls, for the curb and for open edges, the corners' letters.

The edges are drawn half a cell outside the floor, so that all of the floor stays free for the height map.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from engine.job.model import EdgeKind

if TYPE_CHECKING:
    from collections.abc import Iterator

    from engine.survey.outline import FloorOutline
    from engine.types import Array, Index
    from tui.widgets.looks import Looks
    from tui.widgets.map_frame import Frame

# [cells] how far outside the floor an edge is drawn; just under a half, so that an edge through the middles of
# cells takes those cells, whichever side the floor is on.
_OUT = 0.5 - 1e-6
_MOST_MITRE = 1.5  # [cells] a sharp corner's letter goes no farther out than this
_EDGE_LABELS = {EdgeKind.CURB: "curb", EdgeKind.OPEN: "open"}
_ROOM_ROUND_LABEL = 4  # [cells] of stroke beside a word on it
_SLANTED = 0.5  # [cells a cell] an edge this far from level or upright is drawn with slashes throughout


@dataclass(frozen=True, slots=True)
class Stroke:
    """The characters of one kind of edge."""

    level: str
    upright: str


STROKES = {
    EdgeKind.WALL: Stroke("━", "┃"),
    EdgeKind.CURB: Stroke("═", "║"),
    EdgeKind.OPEN: Stroke("╌", "┆"),
}
ASCII_STROKES = {
    EdgeKind.WALL: Stroke("-", "|"),
    EdgeKind.CURB: Stroke("=", "="),
    EdgeKind.OPEN: Stroke("~", "~"),
}


class EdgeCell(NamedTuple):
    """One character of the outline at a row and a column of the map."""

    row: int
    column: int
    character: str


def strokes(looks: Looks) -> dict[EdgeKind, Stroke]:
    """The edges' characters."""
    return ASCII_STROKES if looks.ascii else STROKES


def edge_cells(floor: FloorOutline, frame: Frame, looks: Looks) -> Iterator[EdgeCell]:
    """The outline's characters, without the letters."""
    corners = outside_corners(frame.cells(floor.corners))
    following = np.roll(corners, -1, axis=0)
    for start, end, kind in zip(corners, following, floor.kinds, strict=True):
        for cell in _edge(start, end, kind, strokes(looks)[kind]):
            if 0 <= cell.row < frame.rows and 0 <= cell.column < frame.columns:
                yield cell


def letter_cells(floor: FloorOutline, frame: Frame) -> Iterator[EdgeCell]:
    """The corners' letters; a name of two letters grows away from the floor's middle where there is room."""
    corners = outside_corners(frame.cells(floor.corners))
    for (column, row), name in zip(corners, floor.names, strict=True):
        at_row = min(max(int(np.floor(row)), 0), frame.rows - 1)
        first = int(np.floor(column)) - (len(name) - 1 if column < frame.columns / 2 else 0)
        first = min(max(first, 0), frame.columns - len(name))
        for i, letter in enumerate(name):
            yield EdgeCell(at_row, first + i, letter)


def label_cells(floor: FloorOutline, frame: Frame) -> Iterator[EdgeCell]:
    """The word for each curb and open edge, in the middle of a stroke that is straight and long enough."""
    corners = outside_corners(frame.cells(floor.corners))
    for start, end, kind in zip(corners, np.roll(corners, -1, axis=0), floor.kinds, strict=True):
        word = _EDGE_LABELS.get(kind, "")
        (left, top), (right, bottom) = np.floor(np.sort([start, end], axis=0)).astype(int).tolist()
        is_level, is_upright = top == bottom, left == right
        room = right - left if is_level else bottom - top
        if not word or not (is_level or is_upright) or room < len(word) + _ROOM_ROUND_LABEL:
            continue
        first = (left + right if is_level else top + bottom) // 2 - (len(word) - 1) // 2
        for i, letter in enumerate(word, first):
            yield EdgeCell(top, i, letter) if is_level else EdgeCell(i, left, letter)


def outside_corners(cells: Array) -> Array:
    """The outline's corners, as (column, row), moved half a cell away from the floor, (n, 2)."""
    to_next = np.roll(cells, -1, axis=0) - cells
    normals = np.column_stack([to_next[:, 1], -to_next[:, 0]])
    normals /= np.maximum(np.hypot(*normals.T), 1e-12)[:, None]
    # Rows count downward: the normal just made points out of a ring walked with falling area.
    twice_area = (cells[:, 0] * np.roll(cells[:, 1], -1) - np.roll(cells[:, 0], -1) * cells[:, 1]).sum()
    out = normals if twice_area > 0 else -normals
    before = np.roll(out, 1, axis=0)
    along = np.maximum(1.0 + (out * before).sum(axis=1), 1e-3)
    mitre = _OUT * (out + before) / along[:, None]
    length = np.maximum(np.hypot(*mitre.T), 1e-12)
    return np.asarray(cells + mitre * np.minimum(1.0, _MOST_MITRE / length)[:, None])


def _edge(start: Array, end: Array, kind: EdgeKind, stroke: Stroke) -> Iterator[EdgeCell]:
    """The cells between two corners, one for each step along the longer way."""
    run = end - start
    major = 0 if abs(run[0]) >= abs(run[1]) else 1
    if run[major] < 0:
        start, end, run = end, start, -run
    steps = np.arange(int(np.floor(start[major])), int(np.floor(end[major])) + 1)
    part = np.clip((steps + 0.5 - start[major]) / max(run[major], 1e-12), 0.0, 1.0)
    other = np.floor(start[1 - major] + part * run[1 - major] + 1e-9).astype(int)
    slash = "\\" if run[0] * run[1] > 0 else "/"
    for step, at, is_slash in zip(
        steps.tolist(), other.tolist(), _slashes(run, major, other, kind), strict=True
    ):
        row, column = (at, step) if major == 0 else (step, at)
        straight = stroke.level if major == 0 else stroke.upright
        yield EdgeCell(row, column, slash if is_slash else straight)


def _slashes(run: Array, major: int, other: Index, kind: EdgeKind) -> list[bool]:
    """Where an edge is drawn with a slash: where it changes row or column, or all along where it is slanted.

    A slanted curb or open edge keeps its own stroke at every second step, so that it never looks like a wall.
    """
    turns = np.concatenate([[False], np.diff(other) != 0])
    if abs(run[1 - major]) >= _SLANTED * abs(run[major]):
        turns = np.ones(len(other), dtype=bool)
        turns[::2] = kind is EdgeKind.WALL
    return [bool(turn) for turn in turns]
