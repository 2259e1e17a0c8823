"""The map and the side cut: both where there is room, else one after the other at the layer key."""

from collections.abc import Iterator

from textual.containers import Vertical
from textual.widget import Widget

from engine.plan import Plan

from ..step_names import StepName
from .height_map import HeightMap
from .looks import Looks
from .map_layers import MapLayer
from .side_view import SideView

_ROOM_FOR_BOTH = 30  # [rows] a pane this high shows the cut under the map
_LAYERS = tuple(MapLayer)
_ABOUT = {StepName.AS_BUILT: MapLayer.WATER}  # the layer that a step is about


class MapPane(Vertical, can_focus=False):
    """Shows a plan; knows which layer and which wall's cut are shown."""

    DEFAULT_CSS = """
    MapPane > SideView { display: none; height: 1fr; }
    MapPane.-cut > SideView, MapPane.-both > SideView { display: block; }
    MapPane.-cut > HeightMap { display: none; }
    MapPane.-both > HeightMap { display: block; height: 2fr; }
    """

    def __init__(self, looks: Looks) -> None:
        super().__init__()
        self.map = HeightMap(looks)
        self._side = SideView(looks)
        self._before: MapLayer | None = None  # the layer left for a step's

    def compose(self) -> Iterator[Widget]:
        """The map over the cut."""
        yield self.map
        yield self._side

    def show(self, plan: Plan | None) -> None:
        """Draws a plan."""
        self.map.show(plan)
        self._side.show(plan)

    def point_at(self, x: float | None, y: float | None) -> None:
        """Puts the cursor on a place [mm], or away without one."""
        if x is None or y is None:
            self.map.put_cursor_away()
        else:
            self.map.focus_on(x, y)

    def enter_step(self, name: StepName) -> None:
        """The layer a step is about; with the next the one before, unless another was chosen."""
        about = _ABOUT.get(name)
        if about is not None and self._before is None:
            self._before, self.map.map_layer = self.map.map_layer, about
        elif about is None and self._before is not None:
            if self.map.map_layer in _ABOUT.values():
                self.map.map_layer = self._before
            self._before = None

    def next_layer(self) -> None:
        """The next layer; after the last the cut, where it is not shown anyway."""
        if self.has_class("-cut"):
            self.remove_class("-cut")
            self.map.map_layer = _LAYERS[0]
        elif self.map.map_layer is _LAYERS[-1] and not self.has_class("-both"):
            self.add_class("-cut")
        else:
            self.map.next_layer()

    def use(self) -> None:
        """Puts the keys on the map, and once more on the cut where it is shown."""
        goes_to_cut = self.has_class("-cut") or (self.map.has_focus and self.has_class("-both"))
        (self._side if goes_to_cut else self.map).focus()

    def on_mount(self) -> None:
        """The first size may be there before the pane listens for it."""
        self.call_after_refresh(self.on_resize)

    def on_resize(self) -> None:
        """Another size, perhaps with room for both."""
        self.set_class(self.size.height >= _ROOM_FOR_BOTH, "-both")
