"""Dialogs with a path to type over a list: which job to open, which file to write."""

from collections.abc import Iterator
from pathlib import Path

from textual.widget import Widget

from engine.phrases import phrase

from ..rows import Offer, TextRow
from ..widgets.field import Field
from ..widgets.menu import Menu, MenuItem
from ..widgets.text_field import TextField
from .dialog import Dialog
from .paths import listing, with_suffix


class PathDialog(Dialog[Path]):
    """Answers a path; what fits is listed, Down goes into the list."""

    DEFAULT_CSS = "PathDialog Menu { margin-top: 1; }"

    LABEL: str = phrase("File")
    ENDING = ".toml"

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
            self._complain(phrase("type a path, or go Down into the list"))
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

    def _complain(self, fault: str) -> None:
        self._fault = fault
        self._show()

    def _enter_folder(self, text: str) -> None:
        self._typed = text.removesuffix("/") + "/"
        self._show()
        self.query_one(TextField).focus()

    def _show(self) -> None:
        self.query_one(TextField).show(self._row())
        self.query_one(Menu).show(self._items())

    def _row(self) -> TextRow:
        return TextRow("path", self.LABEL, self._typed, fault=self._fault, offer=self._offer, is_long=True)

    def _items(self) -> list[MenuItem]:
        found = listing(self._typed, self.ENDING)
        self._fault = self._fault or found.fault
        return [MenuItem(name, "", name) for name in found.names]


class OpenDialog(PathDialog):
    """Answers a file that is there."""

    title_words = phrase("Open a job")
    KEY_WORDS = phrase("Enter opens, Down goes into the list, Esc closes")
    LABEL = phrase("Job file")

    def take(self, text: str) -> None:
        """Answers the file, or says that it is not there."""
        path = Path(text).expanduser()
        if path.is_file():
            self.dismiss(path)
        else:
            self._complain(phrase("there is no file {path}", path=text))


class SaveAsDialog(PathDialog):
    """Answers a path; a file already there is replaced only after a second Enter."""

    title_words = phrase("Save the job")
    KEY_WORDS = phrase("Enter saves, Esc goes back")
    LABEL = phrase("Save to")

    def __init__(self, typed: str = "", offer: Offer | None = None, own: Path | None = None, why: str = "") -> None:
        super().__init__(typed, offer)
        self._own = own
        self._fault = why
        self._warned_of: Path | None = with_suffix(typed, self.ENDING) if why else None

    def take(self, text: str) -> None:
        """Answers the path, after a warning where another file would be lost."""
        path = with_suffix(text, self.ENDING)
        if path.exists() and path not in (self._own, self._warned_of):
            self._warned_of = path
            self._typed = text
            self._complain(phrase("this file is there already: Enter once more replaces it, or type another name"))
        else:
            self.dismiss(path)


class PageAsDialog(SaveAsDialog):
    """The same for a page."""

    title_words = phrase("Write the page to print")
    KEY_WORDS = phrase("Enter writes it; open it in any browser and print. Esc goes back")
    LABEL = phrase("Write to")
    ENDING = ".html"
