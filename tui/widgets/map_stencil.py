"""What the outline alone puts on the map: its strokes, words and letters, and the cells left to shade."""

import numpy as np
import shapely
from numpy.typing import NDArray

from engine.records import result
from engine.survey.outline import FloorOutline
from engine.types import Mask

from .ink import Ink
from .looks import Looks
from .map_frame import Frame
from .map_strokes import draw_edges, draw_labels, draw_letters, outside_corners


@result
class Stencil:
    """An empty map, (rows, columns): characters and inks of the outline, on_floor where the floor is."""

    characters: NDArray[np.str_]
    inks: NDArray[np.int16]
    on_floor: Mask


def stencil(floor: FloorOutline, frame: Frame, looks: Looks) -> Stencil:
    """The outline drawn into a frame; a stroke that crosses a cell of the floor takes it."""
    characters = np.full((frame.rows, frame.columns), " ", dtype="<U1")
    inks = np.full((frame.rows, frame.columns), Ink.TEXT, dtype=np.int16)
    on_floor = np.zeros((frame.rows, frame.columns), dtype=bool)
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
