"""A scrolling column of fields: it shows its rows and keeps the focused field in view."""

from collections.abc import Iterator, Sequence

from textual.events import Key
from textual.message import Message
from textual.widget import Widget

from ..rows import ChoiceRow, Row, TextRow, WordsRow
from .choice_field import ChoiceField
from .field import AnyField, Field
from .pane import Pane
from .telling import Telling
from .text_field import TextField
from .words import Words


class Form(Pane):
    """A step's fields, top to bottom; without any, the keys act on the form itself."""

    class Finished(Message):
        """Enter was pressed in the last field."""

    class Reached(Telling):
        """Another field came into use."""

        key: str

    MOVES_ON = frozenset({"enter"})

    def __init__(self, rows: Sequence[Row] = ()) -> None:
        super().__init__()
        self._rows: tuple[Row, ...] = tuple(rows)
        self._made: dict[tuple[type, str], Widget] = {}

    def compose(self) -> Iterator[Widget]:
        """The first rows' widgets."""
        for row in self._rows:
            yield self._widget(row)

    def show(self, rows: Sequence[Row]) -> None:
        """Shows other rows: fields that stay keep their cursor."""
        old, self._rows = self._rows, tuple(rows)
        if not self.is_attached:
            return
        if self.has_focus and any(isinstance(row, TextRow | ChoiceRow) for row in rows):
            self.call_after_refresh(self.go_to_first)
        if [_identity(row) for row in old] != [_identity(row) for row in rows]:
            self._rearrange()
        for row in rows:
            made = self._made[_identity(row)]
            if isinstance(row, WordsRow) and isinstance(made, Words):
                made.text = row.text
            elif isinstance(made, Field):
                made.show(row)

    @property
    def fields(self) -> list[AnyField]:
        """The fields in their order."""
        return [w for row in self._rows if isinstance(w := self._made.get(_identity(row)), Field)]

    @property
    def current(self) -> AnyField | None:
        """The field in use."""
        focused = self.screen.focused if self.is_attached else None
        return focused if isinstance(focused, Field) and focused in self.fields else None

    def go_to(self, key: str) -> bool:
        """Puts a key's field in use; whether there is one."""
        for field in self.fields:
            if field.row.key == key:
                self._use(field)
                return True
        return False

    def go_to_part(self, key: str) -> bool:
        """Puts a field in use that is part of the key or it of that, open ones first; whether any is."""
        near = [f for f in self.fields if f.row.key.startswith(key) or key.startswith(f.row.key)]
        self._use_first(near)
        return bool(near)

    def go_to_first(self, key: str | None = None) -> None:
        """Puts a key's field in use, or the first that still needs something."""
        if key is not None and self.go_to(key):
            return
        self._use_first(self.fields)
        if not self.fields:
            self.can_focus = True
            self.screen.set_focus(self, scroll_visible=False)

    def on_key(self, event: Key) -> None:
        """Without a field, Enter goes on like after the last one."""
        if event.key == "enter" and self.has_focus:
            event.stop()
            self.post_message(self.Finished())

    def on_blur(self) -> None:
        """Only a form without fields is gone to itself."""
        self.can_focus = False

    def on_field_accepted(self, event: Field.Accepted) -> None:
        """Goes to the next field; past the last the form is finished."""
        event.stop()
        keys = [field.row.key for field in self.fields]
        at = keys.index(event.key) + 1 if event.key in keys else len(keys)
        if at < len(keys):
            self._use(self.fields[at])
        else:
            self.post_message(self.Finished())

    def on_field_moved(self, event: Field.Moved) -> None:
        """Goes so many fields on, staying at the ends."""
        event.stop()
        fields, current = self.fields, self.current
        if fields and current is not None:
            self._use(fields[min(max(fields.index(current) + event.by, 0), len(fields) - 1)])

    def on_descendant_focus(self) -> None:
        """Tells which field is in use, and brings it into view with its words."""
        if self.current is not None:
            self.post_message(self.Reached(self.current.row.key))
        self.call_after_refresh(self._keep_in_view)

    def on_field_grown(self, event: Field.Grown) -> None:
        """Brings what opened under the field in use into view."""
        event.stop()
        self.call_after_refresh(self._keep_in_view)

    def _keep_in_view(self) -> None:
        current = self.current
        if current is None:
            return
        if current is self.fields[0]:
            self.scroll_home(animate=False, immediate=True)
        else:
            if current is self.fields[-1]:  # the words after it come along: no later field brings them
                self.scroll_end(animate=False, immediate=True)
            self.scroll_to_widget(current, animate=False, immediate=True)
        self.post_message(self.Scrolled())

    def _use_first(self, fields: Sequence[AnyField]) -> None:
        for field in [*filter(_is_waiting, fields), *fields][:1]:
            self._use(field)

    def _use(self, field: AnyField) -> None:
        self.screen.set_focus(field, scroll_visible=False)

    def _widget(self, row: Row) -> Widget:
        made = self._made[_identity(row)] = _make(row)
        return made

    def _rearrange(self) -> None:
        wanted = [_identity(row) for row in self._rows]
        used_at = self.fields.index(self.current) if self.current in self.fields else None
        had_focus = self.screen.focused in self._made.values()
        for identity in [i for i in self._made if i not in wanted]:
            self._made.pop(identity).remove()
        before: Widget | None = None
        for row in self._rows:
            made = self._made.get(_identity(row))
            if made is None:
                made = self._widget(row)
                self.mount(made, after=before) if before else self.mount(made, before=0)
            elif before is not None and made.is_attached:
                self.move_child(made, after=before)
            before = made
        if had_focus and self.current is None and used_at is None and self.fields:
            self._use(self.fields[0])


def _identity(row: Row) -> tuple[type, str]:
    return type(row), row.key


def _make(row: Row) -> Widget:
    if isinstance(row, TextRow):
        return TextField(row)
    if isinstance(row, ChoiceRow):
        return ChoiceField(row)
    return Words(row.text, is_heading=row.is_heading)


def _is_waiting(field: AnyField) -> bool:
    row: TextRow | ChoiceRow = field.row
    return bool(row.fault) or (not row.text and not row.left_out)
