"""A page of words, a fault, an explanation or all keys, that arrows scroll; what is typed goes to what is under."""

from collections.abc import Awaitable, Callable, Iterator, Sequence
from typing import ClassVar

from textual import work
from textual.await_complete import AwaitComplete
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.events import Event, Key, Paste
from textual.widget import Widget

from engine.phrases import joined, phrase

from ..explanations import explanation
from ..key_gate import GatedApp
from ..keys import KEY_ACTIONS, KeyAction, key_name
from ..tongues import told
from ..widgets.words import Words
from .dialog import Dialog

_CELLS = 22
_NOTES = phrase(
    "Each action has two keys, because some terminals and editors keep one of them for themselves. "
    "In a field: Left, Right, Home, End, Backspace, Delete; Ctrl+U clears what is before the cursor."
)


class TellDialog(Dialog[str]):
    """Headed paragraphs; answers "keys" where the explain key is pressed again; `hangs`: of a table, the first."""

    KEY_WORDS = phrase("Up and Down scroll, Esc closes")

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "scroll(-1)", "up"),
        Binding("down", "scroll(1)", "down"),
        Binding("pageup", "scroll(-10)", "up", priority=True),
        Binding("pagedown", "scroll(10)", "down", priority=True),
        Binding("space", "leaf", "down", priority=True),
        Binding("enter", "close", "close"),
        Binding("f1,ctrl+x", "keys", "all keys", priority=True),
    ]

    MOVES_ON = frozenset({"enter"})
    CLOSES_ON_TYPING = False

    def __init__(
        self,
        title: str,
        paragraphs: Sequence[tuple[str, str]],
        *,
        keys_next: bool = False,
        hangs: int = 0,
        more: Callable[[], Awaitable[Sequence[str]]] | None = None,
    ) -> None:
        super().__init__()
        self._more = more
        self.title_words = title
        self._paragraphs = tuple(paragraphs)
        self._keys_next = keys_next
        self._kept: list[Key | Paste] = []
        self._hangs = hangs

    def moves_on(self, event: Event) -> bool:
        """Whether an event is typing, which may close the page."""
        return isinstance(event, Paste) or (isinstance(event, Key) and event.is_printable)

    def on_key(self, event: Key | Paste) -> None:
        """Keeps what is typed or pasted."""
        if self.moves_on(event):
            event.stop()
            self._kept.append(event)
            if self.CLOSES_ON_TYPING and self.is_current:
                self.action_close()

    on_paste = on_key

    def dismiss(self, result: str | None = None) -> AwaitComplete:
        """Closes; what was typed meanwhile goes to what lies under."""
        closing = super().dismiss(result)
        kept, self._kept = self._kept, []
        if kept and isinstance(self.app, GatedApp):
            self.app.go_on(kept)
        return closing

    def key_words(self) -> str:
        """The keys, in words."""
        if self._keys_next:
            return phrase("Up and Down scroll, Esc closes, F1 shows all keys")
        return self.KEY_WORDS

    def body(self) -> Iterator[Widget]:
        """Each paragraph's heading and words."""
        for i, (heading, text) in enumerate(self._paragraphs):
            if heading:
                yield Words(heading, is_heading=True)
            yield Words(text, hangs=0 if i else self._hangs)
        if self._more is not None:
            yield Words(phrase("What it rests on"), is_heading=True)
            yield Words(phrase("Each entry is being moved a little and the job planned again ..."), hangs=2)

    def on_mount(self) -> None:
        """Fills in what takes a moment to work out."""
        if self._more is not None:
            self._fill(self._more)

    @work
    async def _fill(self, more: Callable[[], Awaitable[Sequence[str]]]) -> None:
        says = await more()
        if says:
            self.query(Words).last().text = joined("\n", says)

    def action_scroll(self, by: int) -> None:
        """Scrolls so many lines."""
        self.query_one(VerticalScroll).scroll_relative(y=by, animate=False)

    def action_leaf(self) -> None:
        """Scrolls a page; behind other characters the space is one of them."""
        if self._kept:
            self._kept.append(Key("space", " "))
        else:
            self.action_scroll(10)

    def action_keys(self) -> None:
        """Goes on to the page of keys."""
        self.dismiss("keys" if self._keys_next else None)


class FieldPageDialog(TellDialog):
    """A page over a field: who types has read it."""

    CLOSES_ON_TYPING = True


def keys_dialog(kind: type[TellDialog] = TellDialog) -> TellDialog:
    """Every key and what it does."""
    lines = [f"{told(_keys_of(action)):<{_CELLS}}{told(says(action))}" for action in KEY_ACTIONS]
    paragraphs = [("", "\n".join(lines)), ("", joined("\n", ["", _NOTES]))]
    return kind(phrase("All keys"), paragraphs, hangs=_CELLS)


def says(action: KeyAction) -> str:
    """What an action does, for the help page."""
    return explanation(f"keys.{action.action or action.keys[1]}").what


def _keys_of(action: KeyAction) -> str:
    first, *others = (key_name(key) for key in action.keys)
    return phrase("{key} or {other}", key=first, other=others[0]) if others else first
