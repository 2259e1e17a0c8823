"""The side view: a cut from a wall through the drain, with rough floor, bed and what lies on it."""

from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.reactive import reactive

from engine.sheets.cut import CutFrom

from .drawing import Drawing
from .ink import PictureLine
from .looks import Looks
from .ramps import SAND, Ramp
from .side_cells import side_lines


class SideView(Drawing):
    """Shows a plan cut open; in focus, Left and Right go round the walls, Up and Down move the cut."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "next_wall(-1)", "wall before"),
        Binding("right", "next_wall(1)", "next wall"),
        Binding("up,down", "other_start", "from the wall's middle or square from the drain"),
    ]

    start: reactive[CutFrom] = reactive(CutFrom.FOOT)

    def __init__(self, looks: Looks) -> None:
        super().__init__(looks)
        self._wall: str | None = None

    @property
    def wall(self) -> str | None:
        """The wall the cut starts at; the first by default, None without an outline."""
        walls = self._walls()
        return self._wall if self._wall in walls else next(iter(walls), None)

    def action_next_wall(self, by: int) -> None:
        """Starts the cut at another wall, round the floor."""
        walls, wall = self._walls(), self.wall
        if wall is not None:
            self._wall = walls[(walls.index(wall) + by) % len(walls)]
            self.repaint()

    def action_other_start(self) -> None:
        """From the wall's middle, or from where it is square to the drain."""
        self.start = CutFrom.MIDDLE if self.start is CutFrom.FOOT else CutFrom.FOOT

    watch_start = Drawing.repaint

    def ramp(self) -> Ramp:
        """The colours of mud and tile."""
        return SAND

    def lines(self) -> list[PictureLine]:
        """The cut."""
        return side_lines(self._plan, self._wall, self.start, self.size, self.looks)

    def _walls(self) -> tuple[str, ...]:
        if self._plan is None or not self._plan.outline:
            return ()
        return self._plan.outline.walls
