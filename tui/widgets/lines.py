"""A widget of lines, as tall as its words need, broken so that no figure parts from its unit."""

import re
import textwrap

from textual.content import Content
from textual.geometry import Size
from textual.widget import Widget

_HARD_SPACE = "\N{NO-BREAK SPACE}"
_DOUBLE_UNIT = re.compile(r"\b(cu|sq) (ft|in)\b")
_INSIDE = re.compile(
    rf"(?<=\d) (?=\d+/\d|%|(?:(?:cu|sq){_HARD_SPACE})?(?:in|ft|mm|cm|m|m2|m3|L|lb|qt|kg|psf|kPa|h|min|deg)\b)"
)


class Lines(Widget):
    """Takes all the width, and as many rows as `rows_at` it."""

    DEFAULT_CSS = "Lines { height: auto; width: 1fr; color: $foreground; }"

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


def wrapped(words: str, width: int, hang: str = "") -> list[str]:
    """Lines of at most so many characters, all but the first behind `hang`; longer words are broken."""
    bound = _INSIDE.sub(_HARD_SPACE, _DOUBLE_UNIT.sub(rf"\1{_HARD_SPACE}\2", words))
    lines = textwrap.wrap(bound, width, subsequent_indent=hang, break_on_hyphens=False)
    return [line.replace(_HARD_SPACE, " ") for line in lines]
