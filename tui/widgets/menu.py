"""A short list to choose from: Up, Down and Enter, or a choice's letter."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual.content import Content
from textual.message import Message
from textual.widget import Widget

from tui.terminal import glyphs, harmless
from tui.tongues import told

if TYPE_CHECKING:
    from collections.abc import Sequence

    from textual import events
    from textual.geometry import Size


@dataclass(frozen=True, slots=True)
class MenuItem:
    """One choice: what it is known by, its letter ("" for none), and its words."""

    name: str
    letter: str
    words: str


class Menu(Widget, can_focus=True):
    """The choices, one a line; the one in use has a marker and is reversed."""

    DEFAULT_CSS = """
    Menu { height: auto; width: 1fr; color: $foreground; }
    """

    class Chosen(Message):
        """A choice was made."""

        def __init__(self, name: str) -> None:
            super().__init__()
            self.name = name

    class Dropped(Message):
        """Delete was pressed on a choice."""

        def __init__(self, name: str) -> None:
            super().__init__()
            self.name = name

    def __init__(self, items: Sequence[MenuItem] = ()) -> None:
        super().__init__()
        self.items = tuple(items)
        self.at = 0

    @property
    def MOVES_ON(self) -> frozenset[str]:  # noqa: N802 - the name that the gate for keys looks for
        """The keys that choose, and may close the page."""
        return frozenset({"enter", "space", *(item.letter for item in self.items)})

    def show(self, items: Sequence[MenuItem]) -> None:
        """Takes other choices."""
        self.items = tuple(items)
        self.at = min(self.at, max(len(self.items) - 1, 0))
        self.refresh(layout=True)

    def on_key(self, event: events.Key) -> None:
        """Moves, or chooses."""
        letters = [item.letter for item in self.items]
        if event.key in ("down", "tab", "up", "shift+tab") and self.items:
            self._step(1 if event.key in ("down", "tab") else -1)
        elif event.key in ("enter", "space") and self.items:
            self.post_message(self.Chosen(self.items[self.at].name))
        elif event.key == "delete" and self.items:
            self.post_message(self.Dropped(self.items[self.at].name))
        elif event.character and event.character.lower() in letters:
            self.post_message(self.Chosen(self.items[letters.index(event.character.lower())].name))
        else:
            return
        event.stop()
        event.prevent_default()

    def watch_has_focus(self, has_focus: bool) -> None:  # noqa: FBT001 - the framework calls it so
        """The marker goes with the focus."""
        super().watch_has_focus(has_focus)
        self.refresh()

    def _step(self, by: int) -> None:
        self.at = (self.at + by) % len(self.items)
        self.refresh()
        self.scroll_visible(animate=False)

    def render(self) -> Content:
        """The choices."""
        return Content("\n").join(self._line(i, item) for i, item in enumerate(self.items))

    def _line(self, i: int, item: MenuItem) -> Content:
        is_here = i == self.at and self.has_focus
        marker = glyphs().here if is_here else " "
        letter = f"{item.letter}  " if item.letter else ""
        words = harmless(letter + told(item.words), max(self.size.width - 4, 0))
        return Content.assemble((marker, "bold $accent"), " ", (words, "reverse" if is_here else ""))

    def get_content_width(self, container: Size, viewport: Size) -> int:
        """All the width there is [cells]."""
        del viewport
        return container.width

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """One line a choice [cells]."""
        del container, viewport, width
        return max(len(self.items), 1)
