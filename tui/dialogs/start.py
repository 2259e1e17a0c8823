"""The first page when no job was named: what the tool does, and ways to begin."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding, BindingType
from textual.events import Key, Paste

from engine.phrases import joined, phrase

from ..dates import short_month
from ..key_gate import GatedApp
from ..themes import THEME_WORDS, following
from ..tongues import spoken
from ..widgets.menu import Menu, MenuItem
from ..widgets.telling import Telling
from ..widgets.words import Words
from .dialog import Dialog

if TYPE_CHECKING:
    from textual.widget import Widget

    from ..drafts import LeftBehind

BLANK = "blank"
SAMPLE = "sample"
OPEN = "open"
AS_SAVED = "as saved"
_DRAFT = "draft:"
_TONGUE = "tongue"
_THEME = "theme"

_PURPOSE = phrase(
    "fallmark plans the sloped mortar bed of a tiled shower floor: enter what you measured, and it tells how "
    "high to mark the walls, what to buy, and what would go wrong."
)
_NOT_LAW = phrase("The local code and licensed people have the last word.")


class StartDialog(Dialog[str]):
    """Answers BLANK, SAMPLE, OPEN, AS_SAVED, or a draft's file; Esc begins a blank job."""

    DEFAULT_CSS = "StartDialog { background: $background; }"

    class ActionWanted(Telling):
        """Another tongue or other colours were asked for, by the wizard's name for it."""

        dialog: StartDialog
        action: str

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f11,ctrl+t", "want('theme')", "theme", priority=True),
        Binding("shift+f11,ctrl+k", "want('tongue')", "language", priority=True),
    ]
    title_words = phrase("Welcome to fallmark")
    KEY_WORDS = phrase("Up, Down and Enter choose, or a letter. F10 quits. F1 explains any field later on.")

    def __init__(self, drafts: Sequence[LeftBehind], path: str | None = None, kept: Sequence[Key | Paste] = ()) -> None:
        super().__init__()
        self._drafts = list(drafts)
        self._path = path
        if path:
            self.title_words = phrase("There is an unsaved draft")
        self._kept = [event for event in kept if not isinstance(event, Key) or event.key != "delete"]

    def on_descendant_focus(self) -> None:
        """Does what was pressed before the page was there, but drops no unseen drafts."""
        kept, self._kept = self._kept, []
        if isinstance(self.app, GatedApp):
            self.app.go_on(kept)

    def key_words(self) -> str:
        """The keys; drafts can be deleted."""
        if not self._drafts:
            return self.KEY_WORDS
        return joined(" ", [self.KEY_WORDS, phrase("Delete drops a draft for good.")])

    def body(self) -> Iterator[Widget]:
        """The sentence and the choices."""
        yield Words(joined("\n", [_PURPOSE, _NOT_LAW, ""]))
        yield Menu(self._items())

    def on_menu_chosen(self, event: Menu.Chosen) -> None:
        """Answers, or speaks another tongue."""
        if event.name in (_TONGUE, _THEME):
            self.action_want(event.name)
        else:
            self.dismiss(event.name.removeprefix(_DRAFT))

    def action_want(self, action: str) -> None:
        """Asks for another tongue or other colours."""
        self.app.post_message(self.ActionWanted(self, action))

    def say_again(self) -> None:
        """The choices too; two of them name the tongue and the colours."""
        self.query_one(Menu).show(self._items())
        super().say_again()

    def on_menu_dropped(self, event: Menu.Dropped) -> None:
        """Takes a draft away for good."""
        file = event.name.removeprefix(_DRAFT)
        for draft in [d for d in self._drafts if str(d.file) == file]:
            draft.remove()
            self._drafts.remove(draft)
        self.query_one(Menu).show(self._items())

    def action_close(self) -> None:
        """Begins with the least surprising: the file as saved, or a blank job."""
        self.dismiss(AS_SAVED if self._path else BLANK)

    def _items(self) -> list[MenuItem]:
        drafts = [MenuItem(_DRAFT + str(d.file), "", _draft_words(d)) for d in self._drafts]
        if self._path:
            begun = [MenuItem(AS_SAVED, "f", phrase("the file as it was saved: {path}", path=self._path))]
        else:
            begun = [
                MenuItem(BLANK, "b", phrase("a blank job: enter your own floor")),
                MenuItem(SAMPLE, "w", phrase("a worked sample: look round a finished job")),
                MenuItem(OPEN, "o", phrase("open a job file")),
            ]
        now, other = spoken().own_name, spoken().following.own_name
        tongue = MenuItem(_TONGUE, "l", phrase("language: {other} instead of {now}", other=other, now=now))
        now, other = THEME_WORDS[self.app.theme], THEME_WORDS[following(self.app.theme)]
        theme = MenuItem(_THEME, "c", phrase("colours: {other} instead of {now}", other=other, now=now))
        return [*drafts, *begun, tongue, theme]


def _draft_words(found: LeftBehind) -> str:
    time = datetime.fromtimestamp(found.time, UTC).astimezone()
    when = phrase("{day} {month} {time}", day=f"{time:%d}", month=short_month(time.month), time=f"{time:%H:%M}")
    if found.draft is None:
        return phrase("a draft of {when} that cannot be read: {file}", when=when, file=found.file)
    name = found.draft.name or phrase("a job without a name")
    return phrase("go on with the draft of {when}: {name}", when=when, name=name)
