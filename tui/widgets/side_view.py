"""The side view: a cut from a wall through the drain, with rough floor, bed and what lies on it."""

from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.reactive import reactive
from textual.strip import Strip
from textual.widget import Widget

from engine.plan import Plan
from engine.sheets.cut import CutFrom
from engine.survey.spot import Needs
from tui.widgets.looks import Looks
from tui.widgets.painting import Painter
from tui.widgets.ramps import SAND
from tui.widgets.side_cells import side_lines


class SideView(Widget, can_focus=True):
    """Shows a plan cut open; while it has the focus Left and Right go round the walls, Up and Down move the cut."""

    DEFAULT_CSS = "SideView { width: 1fr; height: 1fr; }"

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "next_wall(-1)", "wall before", show=False),
        Binding("right", "next_wall(1)", "next wall", show=False),
        Binding("up,down", "other_start", "from the wall's middle or square from the drain", show=False),
    ]

    start: reactive[CutFrom] = reactive(CutFrom.FOOT)
    looks: reactive[Looks] = reactive(Looks)

    def __init__(self, looks: Looks) -> None:
        super().__init__()
        self.set_reactive(SideView.looks, looks)
        self._plan: Plan | None = None
        self._wall: str | None = None
        self._strips: list[Strip] = []
        self._painted: tuple[int, int] | None = None

    @property
    def wall(self) -> str | None:
        """The wall the cut starts at; the first one while none was chosen, None while there is no outline."""
        walls = self._walls()
        return self._wall if self._wall in walls else next(iter(walls), None)

    def show(self, plan: Plan | None) -> None:
        """Draws a plan, whole or not."""
        self._plan = plan
        self._repaint()

    def action_next_wall(self, by: int) -> None:
        """Starts the cut at another wall, round the floor."""
        walls, wall = self._walls(), self.wall
        if wall is not None:
            self._wall = walls[(walls.index(wall) + by) % len(walls)]
            self._repaint()

    def action_other_start(self) -> None:
        """From the middle of the wall, or from where it is square to the drain."""
        self.start = CutFrom.MIDDLE if self.start is CutFrom.FOOT else CutFrom.FOOT

    def watch_start(self) -> None:
        """Draws the other cut."""
        self._repaint()

    def watch_looks(self) -> None:
        """Draws for another kind of terminal."""
        self._repaint()

    def on_mount(self) -> None:
        """Does without colours where the app does."""
        self.looks = self.looks.in_app(self.app)

    def notify_style_update(self) -> None:
        """Paints again in the theme's colours."""
        super().notify_style_update()
        self._painted = None

    def render_line(self, y: int) -> Strip:
        """One row of the picture."""
        size = (self.size.width, self.size.height)
        if self._painted != size:
            painter = Painter(SAND, self.looks.in_theme(self.app.theme), self.rich_style)
            lines = side_lines(self._plan, self._wall, self.start, size, self.looks)
            self._strips = [painter.strip(line, size[0]) for line in lines]
            self._painted = size
        return self._strips[y] if y < len(self._strips) else Strip.blank(size[0])

    def _repaint(self) -> None:
        self._painted = None
        self.refresh()

    def _walls(self) -> tuple[str, ...]:
        if self._plan is None or isinstance(self._plan.outline, Needs):
            return ()
        return self._plan.outline.walls
