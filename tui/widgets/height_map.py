"""The map of the floor: outline to scale, one layer as a height map, a cursor at which a spot's figures are told."""

from typing import ClassVar

import shapely
from textual.binding import Binding, BindingType
from textual.reactive import reactive
from textual.strip import Strip
from textual.widget import Widget

from engine.plan import Plan
from engine.survey.spot import Needs
from tui.tongues import spoken
from tui.widgets.looks import Looks
from tui.widgets.map_cells import MapCells
from tui.widgets.map_layers import MapLayer, drain_flanges
from tui.widgets.map_picture import MapPicture
from tui.widgets.painting import Painter
from tui.widgets.ramps import HEATHER, SAND, SEA

_RAMPS = {
    MapLayer.DEPTH: SAND,
    MapLayer.BED: SEA,
    MapLayer.ROUGH: SEA,
    MapLayer.FALL: HEATHER,
    MapLayer.WATER: SEA,
    MapLayer.ERROR: SAND,
}


class HeightMap(Widget, can_focus=True):
    """Shows a plan as a map; while it has the focus the arrows walk a cursor over the floor."""

    DEFAULT_CSS = "HeightMap { width: 1fr; height: 1fr; }"

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "walk(-1, 0)", "up", show=False),
        Binding("down", "walk(1, 0)", "down", show=False),
        Binding("left", "walk(0, -1)", "left", show=False),
        Binding("right", "walk(0, 1)", "right", show=False),
    ]

    map_layer: reactive[MapLayer] = reactive(MapLayer.DEPTH)
    looks: reactive[Looks] = reactive(Looks)

    def __init__(self, looks: Looks) -> None:
        super().__init__()
        self.set_reactive(HeightMap.looks, looks)
        self._plan: Plan | None = None
        self.spot: tuple[float, float] | None = None  # where the cursor is, x and y [mm]
        self._picture: MapPicture | None = None
        self._strips: list[Strip] | None = None

    @property
    def cells(self) -> MapCells | None:
        """The map as drawn; None while there is no outline or no room."""
        return self._pictured().cells

    def show(self, plan: Plan | None) -> None:
        """Draws a plan, whole or not, in place of the one before; the cursor stays where it is."""
        self._plan = plan
        self._picture = None
        if self.spot is not None and not self._has_floor():
            self.put_cursor_away()
        elif self.spot is None and self.has_focus:
            self._bring_cursor()
        self._repaint()

    def next_layer(self) -> MapLayer:
        """Goes on to another layer, round and round, and says which."""
        self.map_layer = self.map_layer.following
        return self.map_layer

    def focus_on(self, x: float, y: float) -> None:
        """Puts the cursor on a place [mm]; nothing happens while there is no floor."""
        if self._has_floor():
            self.spot = (x, y)
            self._repaint()

    def put_cursor_away(self) -> None:
        """Takes the cursor off the map; the legend's marks come back."""
        if self.spot is not None:
            self.spot = None
            self._repaint()

    def action_walk(self, down: int, across: int) -> None:
        """Moves the cursor to the next cell of the floor that way; without a cursor, brings it."""
        cells = self._pictured().cells
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
        """Brings the cursor, so that the arrows have something to move."""
        if self.spot is None:
            self._bring_cursor()

    def on_blur(self) -> None:
        """Takes the cursor away."""
        self.put_cursor_away()

    def watch_map_layer(self, layer: MapLayer) -> None:
        """Draws the other layer over the figures already sampled."""
        self._picture = self._pictured().with_layer(layer) if self.is_mounted else None
        self._repaint()

    def watch_looks(self) -> None:
        """Draws everything anew for another kind of terminal."""
        self._picture = None
        self._repaint()

    def on_mount(self) -> None:
        """Does without colours where the app does."""
        self.looks = self.looks.in_app(self.app)

    def notify_style_update(self) -> None:
        """Paints again in the theme's colours."""
        super().notify_style_update()
        self._strips = None

    def render_line(self, y: int) -> Strip:
        """One row of the picture."""
        if self._strips is None or not self._is_drawn():
            self._strips = self._paint()
        return self._strips[y] if y < len(self._strips) else Strip.blank(self.size.width)

    def _paint(self) -> list[Strip]:
        picture = self._pictured()
        painter = Painter(_RAMPS[self.map_layer], self.looks.in_theme(self.app.theme), self.rich_style)
        return [painter.strip(line, self.size.width) for line in picture.lines(self.spot)]

    def _pictured(self) -> MapPicture:
        if self._picture is None or not self._is_drawn():
            width, height = self.size
            self._picture = MapPicture(self._plan, self.map_layer, width, height, self.looks)
        return self._picture

    def _is_drawn(self) -> bool:
        """Whether there is a picture, of this size and in the tongue that is spoken."""
        drawn = self._picture
        return drawn is not None and (drawn.width, drawn.height) == self.size and drawn.tongue is spoken()

    def _repaint(self) -> None:
        self._strips = None
        self.refresh()

    def _has_floor(self) -> bool:
        return self._plan is not None and not isinstance(self._plan.outline, Needs)

    def _bring_cursor(self) -> None:
        plan = self._plan
        if plan is None or isinstance(plan.outline, Needs):
            return
        rings = drain_flanges(plan)
        middle = shapely.point_on_surface(plan.outline.polygon)
        self.focus_on(*(rings[0].centre.tolist() if rings else (middle.x, middle.y)))
