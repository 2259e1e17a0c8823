"""A scrolling sheet of lines to read on site, whose line in use tells its figure and its place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import accumulate
from typing import TYPE_CHECKING, ClassVar, TypeAlias

from textual.content import Content
from textual.geometry import Region
from textual.widget import Widget

from engine.records import record

from ..terminal import glyphs, harmless
from ..tongues import told
from .lines import Lines, wrapped
from .pane import Pane
from .telling import Telling

if TYPE_CHECKING:
    from textual import events

    from ..results.lines import About

_CONTEXT = 2  # [rows] over the line in use that come along: a heading stays by its first figure


@record
class SheetLine:
    """A line of the sheet; figure: what the explain key asks about; x, y [mm]: its place on the map.

    about: what the explain key says where the engine has no page for it; goes_to: the entry Enter goes to.
    """

    text: str
    figure: str = ""
    x: float | None = None
    y: float | None = None
    is_heading: bool = False
    hangs: int = 0  # how far the wrapped rest of a long line stands in
    about: About | None = None
    goes_to: str = ""


Listing: TypeAlias = Iterator[SheetLine]


class SheetLines(Lines, can_focus=True):
    """All lines of a sheet, one after the other."""

    class Reached(Telling):
        """Another line came into use."""

        line: SheetLine

    class EntryWanted(Telling):
        """Enter was pressed on a line about an entry."""

        key: str

    class Turned(Telling):
        """Another page is wanted: so many on."""

        by: int

    MOVES_ON = frozenset({"enter", "left", "right"})  # a key behind a turn means the page turned to
    _TURNS: ClassVar[dict[str, int]] = {"right": 1, "left": -1}

    def __init__(self) -> None:
        super().__init__()
        self._lines: tuple[SheetLine, ...] = ()
        self._at = 0

    @property
    def current(self) -> SheetLine | None:
        """The line in use."""
        return self._lines[self._at] if self._lines else None

    def show(self, lines: Sequence[SheetLine]) -> None:
        """Takes other lines; the figure in use stays in use."""
        if tuple(lines) == self._lines:
            return
        kept = self.current.figure if self.current else ""
        self._lines = tuple(lines)
        self._at = self._number(kept, min(self._at, max(len(lines) - 1, 0)))
        self.refresh(layout=True)

    def open(self, lines: Sequence[SheetLine], figure: str) -> None:
        """Takes another page from its top, or from a figure's line on it."""
        self._lines = tuple(lines)
        self._at = self._number(figure, 0)
        self.refresh(layout=True)
        if isinstance(self.parent, Widget):
            self.parent.scroll_home(animate=False, immediate=True)
        # From its own message: under another widget's, what it tells goes up only to that one.
        self.call_later(self.call_after_refresh, self._land)

    @property
    def _figures(self) -> list[int]:
        return [i for i, line in enumerate(self._lines) if line.figure]

    def _number(self, figure: str, other: int) -> int:
        """The line of a figure, else the next from another line on: no heading, where there is one."""
        figures = self._figures
        same = [i for i in figures if self._lines[i].figure == figure]
        return next(iter([*same, *(i for i in figures if i >= other), *figures[-1:]]), other)

    def _land(self) -> None:
        if self._lines and self.has_focus:
            self._go(self._at, 1)

    def on_key(self, event: events.Key) -> None:
        """Moves the line in use by one, a screenful, to either end; or turns the page."""
        count = len(self._lines)
        moves = {"down": 1, "tab": 1, "enter": 1, "up": -1, "shift+tab": -1, "home": -count, "end": count}
        if event.key in self._TURNS:
            self.post_message(self.Turned(self._TURNS[event.key]))
        elif event.key == "enter" and self.current is not None and self.current.goes_to:
            self.post_message(self.EntryWanted(self.current.goes_to))
        elif event.key in ("space", "backspace") and count:
            self._leap(1 if event.key == "space" else -1)
        elif event.key in moves and count:
            self._go(min(max(self._at + moves[event.key], 0), count - 1), moves[event.key])
        else:
            return
        event.stop().prevent_default()

    def _leap(self, by: int) -> None:
        """A screenful on or back, or less where a line would never come into view."""
        scroll = self.parent
        if not isinstance(scroll, Widget):
            return
        tops = [0, *accumulate(len(self.wrapped(line, self.size.width)) for line in self._lines)]
        start, rows = scroll.scroll_offset.y, scroll.size.height
        figures = self._figures
        if by > 0:
            near = [i for i in figures if i > self._at and tops[i + 1] < start + 2 * rows]
            self._go(near[-1] if near else self._at + 1, 1)
        else:
            near = [i for i in figures if i < self._at and tops[i] > start - rows + _CONTEXT]
            self._go(near[0] if near else self._at - 1, -1)

    def _go(self, at: int, by: int) -> None:
        """Goes to a line, or the nearest possible past it; past either end the rest comes into view."""
        step = 1 if by > 0 else -1
        while 0 <= at < len(self._lines) and not self._lines[at].figure:
            at += step
        is_past = not 0 <= at < len(self._lines)
        if is_past:
            figures = self._figures
            at = figures[-1 if step > 0 else 0] if figures else self._at
        if self._lines[at].figure and at != self._at:
            self._at = at
            self.refresh()
            self.post_message(self.Reached(self._lines[at]))
        elif not is_past:
            self.post_message(self.Reached(self._lines[at]))
        self._keep_in_view()
        if is_past and isinstance(self.parent, Widget):
            scroll = self.parent.scroll_end if step > 0 else self.parent.scroll_home
            scroll(animate=False, immediate=True)

    def watch_has_focus(self, has_focus: bool) -> None:
        """Tells the line in use; without focus the marker goes."""
        super().watch_has_focus(has_focus)
        if has_focus and self.current is not None:
            self.post_message(self.Reached(self.current))

    def _keep_in_view(self) -> None:
        heights = [len(self.wrapped(line, self.size.width)) for line in self._lines[: self._at + 1]]
        top, height = sum(heights[:-1]), heights[-1]
        if isinstance(self.parent, Widget):
            region = Region(0, max(top - _CONTEXT, 0), 1, height + _CONTEXT + 1)
            self.parent.scroll_to_region(region, animate=False, immediate=True)

    def render(self) -> Content:
        """The lines in the width there is."""
        shown: list[Content] = []
        for i, line in enumerate(self._lines):
            is_here = i == self._at and self.has_focus and bool(line.figure)
            style = "bold $accent" if line.is_heading else ("reverse" if is_here else "")
            marker = glyphs().here if is_here else " "
            for k, text in enumerate(self.wrapped(line, self.size.width)):
                mark = "" if line.is_heading else " " if k else marker
                shown.append(Content.assemble((mark, "bold $accent"), (text, style)))
        return Content("\n").join(shown)

    def wrapped(self, line: SheetLine, width: int) -> list[str]:
        """A line's words in so many cells, marker included."""
        text = harmless(told(line.text))
        if len(text) <= max(width - 2, 12):
            return [text]
        return wrapped(text, max(width - 2, 12), " " * line.hangs)

    def rows_at(self, width: int) -> int:
        """All lines, wrapped."""
        return sum(len(self.wrapped(line, width)) for line in self._lines)


class Sheet(Pane):
    """The scrolling frame round the lines."""

    def __init__(self) -> None:
        super().__init__()
        self.lines = SheetLines()

    def compose(self) -> Iterator[Widget]:
        """The lines."""
        yield self.lines
