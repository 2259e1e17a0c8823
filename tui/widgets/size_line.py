"""The line at the top instead of the steps while the terminal is too small for everything."""

from textual.content import Content
from textual.widget import Widget

from engine.phrases import phrase

from ..terminal import harmless
from ..tongues import told

LEAST_COLUMNS, LEAST_ROWS = 80, 24


class SizeLine(Widget):
    """Says how large the terminal is and has to be; the screen shows it by its breakpoints."""

    DEFAULT_CSS = (
        "SizeLine { display: none; height: 1; width: 1fr; background: $panel; color: $error; text-style: bold; }"
    )

    def render(self) -> Content:
        """The most words that fit."""
        size, width = self.app.size, self.size.width
        least = phrase("{columns} x {rows}", columns=LEAST_COLUMNS, rows=LEAST_ROWS)
        forms = (
            phrase(
                "{columns} x {rows} is too small; nothing is lost: make it {least}",
                columns=size.width,
                rows=size.height,
                least=least,
            ),
            phrase("Too small: make it {least}", least=least),
            least,
        )
        words = next((words for words in map(told, forms) if len(words) < width), least)
        return Content(harmless(f" {words}", width))
