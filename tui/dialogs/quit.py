"""Asked before quitting while something is not saved."""

from collections.abc import Iterator
from enum import Enum

from textual.widget import Widget

from engine.phrases import joined, phrase

from ..widgets.menu import Menu, MenuItem
from ..widgets.words import Words
from .dialog import Dialog


class Leave(Enum):
    """How to quit."""

    STAY = "stay"
    SAVE = "save"
    DROP = "drop"


class QuitDialog(Dialog[Leave]):
    """Stays, saves and quits, or quits without saving."""

    title_words = phrase("Quit?")
    KEY_WORDS = phrase("Enter chooses, Esc stays")

    def __init__(self, what_is_lost: str) -> None:
        super().__init__()
        self._what = what_is_lost

    def body(self) -> Iterator[Widget]:
        """What would be lost, and the ways out."""
        yield Words(joined("", [self._what, "\n"]))
        items = [
            MenuItem("stay", "c", phrase("carry on")),
            MenuItem("save", "s", phrase("save, then quit")),
            MenuItem("drop", "d", phrase("quit and drop what is not saved")),
        ]
        yield Menu(items if self._what else [items[0], MenuItem("drop", "q", phrase("quit"))])

    def on_menu_chosen(self, event: Menu.Chosen) -> None:
        """Answers."""
        self.dismiss(Leave(event.name))
