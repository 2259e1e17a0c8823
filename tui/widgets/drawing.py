"""What the map and the cut share: a picture's rows, repainted for another plan, size, theme or terminal."""

from rich.segment import Segment
from rich.style import Style
from textual.reactive import reactive
from textual.strip import Strip
from textual.widget import Widget

from engine.plan import Plan

from .ink import Ink, PictureLine
from .looks import Colours, Looks
from .ramps import Ramp, style_of


class Painter:
    """Paints lines with one ramp, on one ground, for one kind of terminal; makes each style once."""

    def __init__(self, ramp: Ramp, looks: Looks, ground: Style) -> None:
        self._ramp = ramp
        self._looks = looks
        self._ground = Style.null() if looks.colours is Colours.NONE else ground
        self._styles: dict[tuple[Ink, int], Style] = {}

    def strip(self, line: PictureLine, width: int) -> Strip:
        """A line as a strip of exactly so many cells."""
        styles = self._styles
        segments, taken = [], 0
        for text, ink, level in line:
            style = styles.get((ink, level))
            if style is None:
                style = styles[ink, level] = self._ground + style_of(ink, level, self._ramp, self._looks)
            segments.append(Segment(text, style))
            taken += len(text)
        if taken < width:
            segments.append(Segment(" " * (width - taken), self._ground))
        strip = Strip(segments, max(taken, width))
        return strip if taken <= width else strip.crop(0, width)


class Drawing(Widget, can_focus=True):
    """Shows a plan, whole or not, as a picture."""

    DEFAULT_CSS = "Drawing { width: 1fr; height: 1fr; }"

    looks: reactive[Looks] = reactive(Looks)

    def __init__(self, looks: Looks) -> None:
        super().__init__()
        self.set_reactive(Drawing.looks, looks)
        self._plan: Plan | None = None
        self._strips: list[Strip] = []
        self._painted: tuple[int, int] | None = None

    def ramp(self) -> Ramp:
        """The colours of its shades."""
        raise NotImplementedError

    def lines(self) -> list[PictureLine]:
        """The picture's rows."""
        raise NotImplementedError

    def show(self, plan: Plan | None) -> None:
        """Draws another plan."""
        self._plan = plan
        self.repaint()

    def repaint(self) -> None:
        """Draws everything anew."""
        self._painted = None
        self.refresh()

    watch_looks = repaint

    def on_mount(self) -> None:
        """Does without colours where the app does."""
        self.looks = self.looks.in_app(self.app)

    def notify_style_update(self) -> None:
        """Paints again in the theme's colours."""
        super().notify_style_update()
        self._painted = None

    def render_line(self, y: int) -> Strip:
        """One row of the picture."""
        width, height = self.size
        if self._painted != (width, height):
            painter = Painter(self.ramp(), self.looks.in_theme(self.app.theme), self.rich_style)
            self._strips = [painter.strip(line, width) for line in self.lines()]
            self._painted = width, height
        return self._strips[y] if y < len(self._strips) else Strip.blank(width)
