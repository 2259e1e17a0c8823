"""A sentence or a heading between the fields; never read as markup."""

from __future__ import annotations

from textwrap import wrap

from textual.content import Content
from textual.geometry import Size
from textual.widget import Widget

from tui.rows import WordsRow
from tui.terminal import harmless


class Words(Widget):
    """Wrapped words; each line of the text is its own paragraph."""

    DEFAULT_CSS = """
    Words { height: auto; width: 1fr; color: $foreground; background: transparent; }
    """

    def __init__(self, row: WordsRow) -> None:
        super().__init__()
        self.row = row

    def show(self, row: WordsRow) -> None:
        """Takes other words."""
        if row != self.row:
            self.row = row
            self.refresh(layout=True)

    def render(self) -> Content:
        """The words in the width there is."""
        style = "bold $accent" if self.row.is_heading else ""
        return Content("\n").join(Content.styled(line, style) for line in self._lines(self.size.width))

    def get_content_width(self, container: Size, viewport: Size) -> int:
        """All the width there is [cells]."""
        del viewport
        return container.width

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """As many lines as the words need [cells]."""
        del container, viewport
        return len(self._lines(width))

    def _lines(self, width: int) -> list[str]:
        lines: list[str] = []
        for paragraph in self.row.text.split("\n"):
            lines += wrap(harmless(paragraph), max(width - 1, 8)) or [""]
        return lines
