"""The first page when no job was named: what the tool does, and the ways to begin."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

from tui.dialogs.dialog import Dialog
from tui.widgets.menu import Menu, MenuItem
from tui.widgets.words import Words

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from textual.widget import Widget

    from tui.drafts import LeftBehind

BLANK = "blank"
SAMPLE = "sample"
OPEN = "open"
AS_SAVED = "as saved"
_DRAFT = "draft:"

_PURPOSE = (
    "fallmark plans the sloped mortar bed of a tiled shower floor: enter what you measured, and it tells how "
    "high to mark the walls, what to buy, and what would go wrong."
)
_NOT_LAW = "The local code and licensed people have the last word."


class StartDialog(Dialog[str]):
    """Answers BLANK, SAMPLE, OPEN, AS_SAVED, or the file of a draft; Esc begins a blank job."""

    DEFAULT_CSS = """
    StartDialog { background: $background; }
    """

    TITLE_WORDS = "Welcome to fallmark"
    KEY_WORDS = "Up, Down and Enter choose, or a letter. F10 quits. F1 explains any field later on."

    def __init__(self, drafts: Sequence[LeftBehind], path: str | None = None) -> None:
        super().__init__()
        self._drafts = list(drafts)
        self._path = path

    def title_words(self) -> str:
        """Says whether there is something to go on with."""
        return "There is an unsaved draft" if self._path else self.TITLE_WORDS

    def key_words(self) -> str:
        """The keys; drafts can be deleted."""
        return self.KEY_WORDS + (" Delete drops a draft for good." if self._drafts else "")

    def body(self) -> Iterator[Widget]:
        """The sentence and the choices."""
        yield Words(f"{_PURPOSE}\n{_NOT_LAW}\n")
        yield Menu(self._items())

    def on_menu_chosen(self, event: Menu.Chosen) -> None:
        """Answers."""
        self.dismiss(event.name.removeprefix(_DRAFT))

    def on_menu_dropped(self, event: Menu.Dropped) -> None:
        """Takes a draft away for good."""
        file = event.name.removeprefix(_DRAFT)
        for draft in [d for d in self._drafts if str(d.file) == file]:
            draft.remove()
            self._drafts.remove(draft)
        self.query_one(Menu).show(self._items())

    def action_close(self) -> None:
        """Begins with what is least surprising: the file as saved, or a blank job."""
        self.dismiss(AS_SAVED if self._path else BLANK)

    def _items(self) -> list[MenuItem]:
        drafts = [MenuItem(_DRAFT + str(d.file), "", _draft_words(d)) for d in self._drafts]
        if self._path:
            return [*drafts, MenuItem(AS_SAVED, "f", f"the file as it was saved: {self._path}")]
        return [
            *drafts,
            MenuItem(BLANK, "b", "a blank job: enter your own floor"),
            MenuItem(SAMPLE, "w", "a worked sample: look round a finished job"),
            MenuItem(OPEN, "o", "open a job file"),
        ]


def _draft_words(found: LeftBehind) -> str:
    when = datetime.fromtimestamp(found.time, UTC).astimezone().strftime("%d %b %H:%M")
    if found.draft is None:
        return f"a draft of {when} that cannot be read: {found.file}"
    name = found.draft.name or "a job without a name"
    return f"go on with the draft of {when}: {name}"
