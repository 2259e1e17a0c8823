"""The line over a sheet of several pages: which one it is, and how to turn."""

from collections.abc import Sequence

from textual.content import Content
from textual.widget import Widget

from engine.phrases import phrase

from ..tongues import told


class PageLine(Widget):
    """The page's name and number."""

    DEFAULT_CSS = "PageLine { height: 1; width: 1fr; background: $panel; color: $foreground; }"

    def __init__(self, names: Sequence[str]) -> None:
        super().__init__()
        self._names = tuple(names)
        self._at = 0

    def show(self, at: int) -> None:
        """Shows another page's name."""
        self._at = at
        self.refresh()

    def render(self) -> Content:
        """The name, the number, the keys."""
        name = f" {told(self._names[self._at])} "
        turn = phrase("{at} of {count}: Left, Right turn", at=self._at + 1, count=len(self._names))
        where = f"{told(turn)} "
        gap = " " * max(self.size.width - len(name) - len(where), 1)
        return Content.assemble((name, "bold reverse"), gap, (where, "$text-muted"))
