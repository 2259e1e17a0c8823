"""The map of the floor: outline to scale, one layer as a height map, a cursor that tells a spot's figures."""

from typing import ClassVar

import shapely
from textual.binding import Binding, BindingType
from textual.reactive import reactive

from engine.plan import Plan

from ..tongues import spoken
from .drawing import Drawing
from .ink import PictureLine
from .looks import Looks
from .map_cells import MapCells
from .map_layers import MapLayer, drain_flanges
from .map_picture import MapPicture
from .ramps import HEATHER, SAND, SEA, Ramp

_RAMPS = {
    MapLayer.DEPTH: SAND,
    MapLayer.BED: SEA,
    MapLayer.ROUGH: SEA,
    MapLayer.FALL: HEATHER,
    MapLayer.WATER: SEA,
    MapLayer.ERROR: SAND,
}


class HeightMap(Drawing):
    """Shows a plan as a map; in focus, the arrows walk a cursor over it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "walk(-1, 0)", "up"),
        Binding("down", "walk(1, 0)", "down"),
        Binding("left", "walk(0, -1)", "left"),
        Binding("right", "walk(0, 1)", "right"),
    ]

    map_layer: reactive[MapLayer] = reactive(MapLayer.DEPTH)

    def __init__(self, looks: Looks) -> None:
        super().__init__(looks)
        self.spot: tuple[float, float] | None = None  # where the cursor is, x and y [mm]
        self._picture: MapPicture | None = None

    @property
    def cells(self) -> MapCells | None:
        """The map as drawn; None without an outline or room."""
        return self._pictured().cells

    def show(self, plan: Plan | None) -> None:
        """Draws another plan; the cursor stays where it is."""
        self._plan = plan
        self._picture = None
        if self.spot is not None and not self._has_floor():
            self.put_cursor_away()
        elif self.spot is None and self.has_focus:
            self._bring_cursor()
        self.repaint()

    def next_layer(self) -> MapLayer:
        """Goes on to another layer, round and round, and says which."""
        self.map_layer = self.map_layer.following
        return self.map_layer

    def focus_on(self, x: float, y: float) -> None:
        """Puts the cursor on a place [mm], if there is a floor."""
        if self._has_floor():
            self.spot = (x, y)
            self.repaint()

    def put_cursor_away(self) -> None:
        """Takes the cursor off the map; the legend's marks come back."""
        if self.spot is not None:
            self.spot = None
            self.repaint()

    on_blur = put_cursor_away

    def action_walk(self, down: int, across: int) -> None:
        """Moves the cursor to the floor's next cell that way; without one, brings it."""
        cells = self.cells
        if cells is None:
            return
        if self.spot is None:
            self._bring_cursor()
            return
        row, column = cells.frame.cell(*self.spot)
        rows, columns = cells.on_floor.shape
        row, column = row + down, column + across
        while 0 <= row < rows and 0 <= column < columns:
            if cells.on_floor[row, column]:
                self.focus_on(*cells.frame.centre(row, column))
                return
            row, column = row + down, column + across

    def on_focus(self) -> None:
        """Brings the cursor, for the arrows to move."""
        if self.spot is None:
            self._bring_cursor()

    def watch_map_layer(self, layer: MapLayer) -> None:
        """Draws the other layer; what was sampled is kept."""
        self._picture = self._pictured().with_layer(layer) if self.is_mounted else None
        self.repaint()

    def watch_looks(self) -> None:
        """Draws everything anew for another kind of terminal."""
        self._picture = None
        self.repaint()

    def ramp(self) -> Ramp:
        """The colours of the layer's shades."""
        return _RAMPS[self.map_layer]

    def lines(self) -> list[PictureLine]:
        """The map with its cursor."""
        return self._pictured().lines(self.spot)

    def _pictured(self) -> MapPicture:
        drawn = self._picture
        if drawn is None or (drawn.width, drawn.height) != self.size or drawn.tongue is not spoken():
            drawn = self._picture = MapPicture(self._plan, self.map_layer, *self.size, self.looks)
        return drawn

    def _has_floor(self) -> bool:
        return bool(self._plan and self._plan.outline)

    def _bring_cursor(self) -> None:
        plan = self._plan
        if plan is None or not plan.outline:
            return
        rings = drain_flanges(plan)
        middle = shapely.point_on_surface(plan.outline.polygon)
        self.focus_on(*(rings[0].centre.tolist() if rings else (middle.x, middle.y)))
