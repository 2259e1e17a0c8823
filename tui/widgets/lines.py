"""A widget of lines: as wide as what is round it, as tall as its words then need."""

from textual.content import Content
from textual.geometry import Size
from textual.widget import Widget


class Lines(Widget):
    """Takes all the width there is, and as many rows as `rows_at` it."""

    DEFAULT_CSS = "Lines { height: auto; width: 1fr; color: $foreground; background: transparent; }"

    def lines_at(self, width: int) -> list[Content]:
        """Its lines at a width [cells]."""
        raise NotImplementedError

    def rows_at(self, width: int) -> int:
        """How many rows it needs at a width [cells]."""
        return len(self.lines_at(width))

    def render(self) -> Content:
        """Its lines in the width there is."""
        return Content("\n").join(self.lines_at(self.size.width))

    def watch_has_focus(self, has_focus: bool) -> None:
        """Paints it as it looks with the keys on it, or without."""
        super().watch_has_focus(has_focus)
        self.repaint()

    def repaint(self) -> None:
        """Paints it anew."""
        self.refresh()

    def get_content_width(self, container: Size, viewport: Size) -> int:
        """All the width there is [cells]."""
        del viewport
        return container.width

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """The rows it needs [cells]."""
        del container, viewport
        return self.rows_at(width)
