"""What every dialog shares: a framed page over the wizard, closed by Esc, with quit in reach."""

from collections.abc import Iterator
from typing import ClassVar, TypeVar

from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.screen import ModalScreen
from textual.widget import Widget
from textual.widgets import Static

from engine.phrases import phrase

from ..terminal import harmless, is_ascii_only
from ..tongues import told

Answer = TypeVar("Answer")


class Dialog(ModalScreen[Answer | None]):
    """A page with a title; Esc closes it and answers None."""

    DEFAULT_CSS = """
    Dialog { align: center middle; background: transparent; }
    Dialog > .page {
        width: 74; max-width: 100%; height: auto; max-height: 100%;
        background: $panel; color: $foreground; border: heavy $accent; padding: 0 1;
    }
    Dialog > .page.-ascii { border: ascii $accent; }
    Dialog .title { text-style: bold; width: 1fr; }
    Dialog .keys { color: $text-muted; width: 1fr; dock: bottom; }
    Dialog .scroll { height: auto; max-height: 100%; margin-bottom: 2; scrollbar-size-vertical: 0; }
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,ctrl+g", "close", "close", priority=True),
        Binding("f10,ctrl+q,ctrl+c", "leave", "quit", priority=True),
    ]

    title_words: str = ""
    KEY_WORDS: str = phrase("Esc closes")

    class QuitWanted(Message):
        """Quit was asked for inside a dialog."""

    def compose(self) -> Iterator[Widget]:
        """The frame round the body."""
        with Vertical(classes="page -ascii" if is_ascii_only() else "page"):
            yield Static(_content(self.title_words), classes="title", markup=False)
            with VerticalScroll(classes="scroll", can_focus=False):
                yield from self.body()
            yield Static(_content(self.key_words()), classes="keys", markup=False)

    def say_again(self) -> None:
        """Paints everything in the tongue that is spoken."""
        self.query_one(".title", Static).update(_content(self.title_words))
        self.query_one(".keys", Static).update(_content(self.key_words()))
        for widget in self.query("*"):
            widget.refresh(layout=True)

    def key_words(self) -> str:
        """The keys, in words."""
        return self.KEY_WORDS

    def body(self) -> Iterator[Widget]:
        """What the kind of dialog shows."""
        raise NotImplementedError

    def action_close(self) -> None:
        """Closes without an answer."""
        self.dismiss(None)

    def action_leave(self) -> None:
        """Closes, and hands the wizard the wish to quit."""
        app = self.app
        self.dismiss(None)
        app.post_message(self.QuitWanted())


def _content(words: str) -> Content:
    return Content(harmless(told(words)))
