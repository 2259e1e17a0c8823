"""A dialog with a path to type and a list under it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from engine.phrases import phrase
from tui.dialogs.dialog import Dialog
from tui.dialogs.paths import listing
from tui.rows import Offer, TextRow
from tui.widgets.field import Field
from tui.widgets.menu import Menu, MenuItem
from tui.widgets.text_field import TextField

if TYPE_CHECKING:
    from textual.widget import Widget


class PathDialog(Dialog[Path]):
    """Answers a path; what fits it is listed, Down goes into the list."""

    DEFAULT_CSS = """
    PathDialog Menu { margin-top: 1; }
    """

    LABEL: str = phrase("File")

    def __init__(self, typed: str = "", offer: Offer | None = None) -> None:
        super().__init__()
        self._typed = typed
        self._offer = offer
        self._fault = ""

    def body(self) -> Iterator[Widget]:
        """The path and the list."""
        yield TextField(self._row())
        yield Menu(self._items())

    def on_mount(self) -> None:
        """Starts in the path."""
        self.query_one(TextField).focus()

    def on_field_typed(self, event: Field.Typed) -> None:
        """Lists what fits."""
        event.stop()
        self._typed, self._fault = event.text, ""
        self._show()

    def on_field_moved(self, event: Field.Moved) -> None:
        """Down goes into the list."""
        event.stop()
        if event.by > 0 and self.query_one(Menu).items:
            self.query_one(Menu).focus()

    def on_field_accepted(self, event: Field.Accepted) -> None:
        """Takes the path."""
        event.stop()
        text = self._typed.strip() or (self._offer.text if self._offer else "")
        if not text:
            self.complain(phrase("type a path, or go Down into the list"))
        elif Path(text).expanduser().is_dir():
            self._enter_folder(text)
        else:
            self.take(text)

    def on_menu_chosen(self, event: Menu.Chosen) -> None:
        """Takes a file from the list, or goes into a folder."""
        event.stop()
        if event.name.endswith("/"):
            self._enter_folder(event.name)
        else:
            self.take(event.name)

    def take(self, text: str) -> None:
        """Answers, or says why not."""
        raise NotImplementedError

    def complain(self, fault: str) -> None:
        """Says under the path what is wrong."""
        self._fault = fault
        self._show()

    def _enter_folder(self, text: str) -> None:
        self._typed = text if text.endswith("/") else text + "/"
        self._show()
        self.query_one(TextField).focus()

    def _show(self) -> None:
        self.query_one(TextField).show(self._row())
        self.query_one(Menu).show(self._items())

    def _row(self) -> TextRow:
        return TextRow("path", self.LABEL, self._typed, fault=self._fault, offer=self._offer, is_long=True)

    def _items(self) -> list[MenuItem]:
        found = listing(self._typed)
        self._fault = self._fault or found.fault
        return [MenuItem(name, "", name) for name in found.names]
