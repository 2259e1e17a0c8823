"""What every field of a form shares: its label, value line, words under it, and messages.

A field gets a row (plain values) and posts what the person does; it knows nothing of the job.
"""

from typing import Any, ClassVar, Generic, TypeVar

from textual import events
from textual.content import Content
from textual.message import Message

from engine.phrases import phrase, shaped

from ..rows import ChoiceRow, TextRow
from ..terminal import glyphs, harmless
from ..tongues import told
from .lines import Lines, wrapped
from .telling import Telling

LABEL_CELLS = 17
MISSED = phrase("needed: this is still empty")
_INDENT = 2

RowT = TypeVar("RowT", bound=TextRow | ChoiceRow)


class Field(Lines, Generic[RowT], can_focus=True):
    """One field: marker, label and value on a line, under it what was understood or is wrong."""

    class Typed(Telling):
        """The text of a field changed."""

        key: str
        text: str

    class Accepted(Telling):
        """Enter was pressed: the field is finished with."""

        key: str

    class Missed(Telling):
        """Enter was pressed on an empty field that is needed."""

        label: str

    class Moved(Telling):
        """Up or Down was pressed: so many fields on."""

        by: int

    class Grown(Message):
        """The field in use takes more or fewer lines than before."""

    class RowWanted(Telling):
        """A station or row of one's own was asked for here."""

        key: str

    MOVES_ON = frozenset({"enter", "tab", "shift+tab", "up", "down", "insert", "plus"})
    _MOVES: ClassVar[dict[str, int]] = {"up": -1, "down": 1, "tab": 1, "shift+tab": -1}

    def __init__(self, row: RowT) -> None:
        super().__init__()
        self.row: RowT = row
        self.is_missed = False

    def show(self, row: RowT) -> None:
        """Takes a new row and repaints where it differs."""
        self.is_missed = self.is_missed and not row.text
        if row != self.row:
            self.row = row
            self.repaint()

    def repaint(self) -> None:
        """Redraws the field; asks for a layout only where words opened or closed under it."""
        height = self.rows_at(self.size.width) if self.size.width else 0
        self.refresh(layout=height != self.size.height)

    def value_line(self, width: int) -> Content:
        """The value in so many cells."""
        raise NotImplementedError

    def value_lines(self, width: int) -> list[Content]:
        """The lines of a value that has several, each in so many cells."""
        return [self.value_line(width)]

    def note(self) -> tuple[str, str]:
        """The words under the field, one paragraph a line, and their style; "" for none."""
        raise NotImplementedError

    def act_on(self, event: events.Key) -> bool:
        """Lets the kind of field act on a key; whether it did."""
        raise NotImplementedError

    def _take_offer(self) -> None:
        if self.row.offer is not None and not self.text:
            self.post_message(self.Typed(self.row.key, self.row.offer.text))

    def _miss(self) -> None:
        if not (self.text or self.row.offer or self.row.left_out):
            self.is_missed = True
            self.repaint()
            self.post_message(self.Missed(shaped(self.row.label, str.strip)))

    @property
    def grows(self) -> bool:
        """Whether its list may have more fields."""
        return isinstance(self.row, TextRow) and self.row.grows

    @property
    def has_lines(self) -> bool:
        """Whether its text may have several lines."""
        return isinstance(self.row, TextRow) and self.row.has_lines

    @property
    def text(self) -> str:
        """The text in the field."""
        return self.row.text

    def on_key(self, event: events.Key) -> None:
        """Sends a key where it belongs; keys that mean nothing here go on to the screen."""
        if event.key == "enter":
            self._take_offer()
            self._miss()
            self.post_message(self.Accepted(self.row.key))
        elif event.key in self._MOVES:
            self.post_message(self.Moved(self._MOVES[event.key]))
        elif (event.key == "insert" and not self.has_lines) or (event.character == "+" and self.grows):
            self.post_message(self.RowWanted(self.row.key))
        elif not self.act_on(event):
            return
        event.stop().prevent_default()

    def on_resize(self) -> None:
        """Tells that words under the field in use came or went."""
        if self.has_focus:
            self.post_message(self.Grown())

    def lines_at(self, width: int) -> list[Content]:
        """One line, and the words under it."""
        words, style = self.note()
        indent = " " * _INDENT
        under = [line for part in words.split("\n") for line in self.folded(part, width)]
        return [*self._head(width), *[Content.assemble(indent, (line, style)) for line in under]]

    def folded(self, text: str, width: int) -> list[str]:
        """Words under a field of so many cells, by line."""
        return wrapped(harmless(text), self.room(width))

    def room(self, width: int) -> int:
        """The width for words under a field of so many cells [cells]."""
        return max(width - _INDENT - 1, 8)

    def _head(self, width: int) -> list[Content]:
        marker = glyphs().here if self.has_focus else " "
        label_style = "bold" if self.has_focus else ""
        label = harmless(told(self.row.label))
        if len(label) > LABEL_CELLS or (isinstance(self.row, TextRow) and self.row.is_long):
            first = Content.assemble((marker, "bold $accent"), " ", (label, label_style))
            return [first, *(Content.assemble("  ", line) for line in self.value_lines(width - 3))]
        start = Content.assemble((marker, "bold $accent"), " ", (label.ljust(LABEL_CELLS), label_style), " ")
        return [Content.assemble(start, self.value_line(width - LABEL_CELLS - 4))]


def enter_takes(offered: str, why: str) -> str:
    """What Enter takes where nothing is entered."""
    return phrase("Enter takes {offered}: {why}", offered=offered, why=why)


AnyField = Field[Any]
