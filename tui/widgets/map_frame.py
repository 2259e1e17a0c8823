"""Where a floor lies on the screen: millimetres to cells and back."""

import numpy as np

from engine.records import result
from engine.types import Array, Index

ROW_TO_COLUMN = 2.0  # a cell is about twice as tall as wide
_LEAST_CELLS = 2  # a narrower floor shows nothing


@result
class Frame:
    """A floor's bounding box laid on whole cells, one ring of cells round it left for its edges.

    rows, columns: its size; left, top: the floor's least x and most y [mm]; across, down: a cell's size [mm].
    """

    rows: int
    columns: int
    left: float
    top: float
    across: float
    down: float

    def cells(self, points: Array) -> Array:
        """Points (k, 2) [mm] as (column, row) in cells, fractions kept."""
        return np.column_stack(
            [1.0 + (points[:, 0] - self.left) / self.across, 1.0 + (self.top - points[:, 1]) / self.down]
        )

    def cell(self, x: float, y: float) -> tuple[int, int]:
        """The row and column of the cell over a place [mm], kept inside the ring."""
        column, row = self.cells(np.array([[x, y]]))[0]
        inside_row = min(max(int(np.floor(row)), 1), self.rows - 2)
        return inside_row, min(max(int(np.floor(column)), 1), self.columns - 2)

    def centre(self, row: int, column: int) -> tuple[float, float]:
        """The place [mm] under the middle of a cell."""
        return self.left + (column - 0.5) * self.across, self.top - (row - 0.5) * self.down

    def centres(self) -> Array:
        """The places [mm] under the middles of all cells in the ring, row by row, (k, 2)."""
        rows, columns = np.mgrid[1 : self.rows - 1, 1 : self.columns - 1]
        return self.under(rows.ravel(), columns.ravel())

    def under(self, rows: Index, columns: Index) -> Array:
        """The places (k, 2) [mm] under the middles of cells at rows and columns (k,)."""
        return np.column_stack([self.left + (columns - 0.5) * self.across, self.top - (rows - 0.5) * self.down])


def fit(corners: Array, columns: int, rows: int) -> Frame | None:
    """The largest frame for a floor with corners (n, 2) [mm] in so many cells; None without room.

    The floor takes whole cells, so one way may be half a cell out of scale.
    """
    least, most = corners.min(axis=0), corners.max(axis=0)
    width, depth = most - least
    room_across, room_down = columns - 2, rows - 2
    if room_across < _LEAST_CELLS or room_down < _LEAST_CELLS:
        return None
    cell = max(width / room_across, depth / (ROW_TO_COLUMN * room_down))
    across = min(max(round(width / cell), _LEAST_CELLS), room_across)
    down = min(max(round(depth / (ROW_TO_COLUMN * cell)), _LEAST_CELLS), room_down)
    return Frame(down + 2, across + 2, float(least[0]), float(most[1]), width / across, depth / down)
