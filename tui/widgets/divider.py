"""The line between form and map, whose ends tell that the form has more above or below."""

from textual.content import Content
from textual.widget import Widget

from ..terminal import glyphs


class Divider(Widget):
    """One column."""

    DEFAULT_CSS = "Divider { width: 1; height: 1fr; color: $text-muted; }"

    def __init__(self) -> None:
        super().__init__()
        self._more = (False, False)

    def show(self, *, more_above: bool, more_below: bool) -> None:
        """Marks where the form goes on."""
        if (more_above, more_below) != self._more:
            self._more = (more_above, more_below)
            self.refresh()

    def render(self) -> Content:
        """The line, with its marks at the ends."""
        draw = glyphs()
        column = [draw.rule] * max(self.size.height, 1)
        above, below = self._more
        if above:
            column[0] = draw.more_up
        if below:
            column[-1] = draw.more_down
        return Content("\n".join(column))
