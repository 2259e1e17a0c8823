"""A short list to choose from: Up, Down and Enter, or a choice's letter."""

from collections.abc import Iterator, Sequence

from textual import events
from textual.content import Content
from textual.geometry import Region
from textual.widget import Widget

from engine.records import record

from ..terminal import glyphs, harmless
from ..tongues import told
from .lines import Lines, wrapped
from .telling import Telling


@record
class MenuItem:
    """A choice: its name, its letter ("" for none), and its words."""

    name: str
    letter: str
    words: str


class Menu(Lines, can_focus=True):
    """The choices, one a line; the one in use is marked and reversed."""

    class Chosen(Telling):
        """A choice was made."""

        name: str

    class Dropped(Telling):
        """Delete was pressed on a choice."""

        name: str

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
        event.stop().prevent_default()

    def _step(self, by: int) -> None:
        self.at = (self.at + by) % len(self.items)
        self.refresh()
        if isinstance(self.parent, Widget):
            before, here = self.items[: self.at], self.items[self.at]
            above = sum(len(self._words(item, self.size.width)) for item in before)
            height = len(self._words(here, self.size.width))
            region = Region(0, self.virtual_region.y + above, 1, height)
            self.parent.scroll_to_region(region, animate=False, immediate=True)

    def lines_at(self, width: int) -> list[Content]:
        """The choices, each on as many lines as it needs."""
        lines = [line for i, item in enumerate(self.items) for line in self._lines(i, item, width)]
        return lines or [Content("")]

    def _lines(self, i: int, item: MenuItem, width: int) -> Iterator[Content]:
        is_here = i == self.at and self.has_focus
        for k, words in enumerate(self._words(item, width)):
            marker = glyphs().here if is_here and k == 0 else " "
            yield Content.assemble((marker, "bold $accent"), " ", (words, "reverse" if is_here else ""))

    def _words(self, item: MenuItem, width: int) -> list[str]:
        letter = f"{item.letter}  " if item.letter else ""
        return wrapped(letter + harmless(told(item.words)), max(width - 4, 12), " " * len(letter)) or [letter]
