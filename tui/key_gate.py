"""Keys in the order typed: what comes behind a key that moves on waits until it has moved.

A field done with tells the form, which puts the next in use; without a gate keys typed meanwhile would land in the
field left.
"""

from collections import deque
from collections.abc import Iterable

from textual.app import App
from textual.dom import DOMNode
from textual.events import Event, Key, Paste

_PATIENCE = 0.5  # [s] no gate stays shut longer, whatever became of the widget


class GatedApp(App[None]):
    """An app that hands on no key while the last may still move the focus.

    A widget, or a page with none in use, names in MOVES_ON the keys that may take the focus from it, or lets `moves_on`
    judge.
    """

    def __init__(self, *, ansi_color: bool | None = None) -> None:
        super().__init__(ansi_color=ansi_color)
        self._waiting: deque[Event] = deque()
        self._is_shut = False
        self._turn = 0

    @property
    def holds_keys(self) -> bool:
        """Whether a key is on its way, or others wait."""
        return self._is_shut or bool(self._waiting)

    def hold_keys(self) -> None:
        """Shuts the gate, for a moment at most, until `go_on`."""
        self._is_shut = True
        self._turn += 1
        self.set_timer(_PATIENCE, lambda turn=self._turn: self._open(turn))

    def go_on(self, kept: Iterable[Key | Paste] = ()) -> None:
        """Opens the gate again; keys kept elsewhere come before those that wait here."""
        self._waiting.extendleft(_anew(event) for event in reversed([*kept]))
        self._is_shut = True
        self._open(self._turn)

    async def on_event(self, event: Event) -> None:
        """Keys and pasted text one after the other, everything else at once."""
        if isinstance(event, Key | Paste) and not event.is_forwarded:
            self._waiting.append(event)
            await self._hand_on()
        else:
            await super().on_event(event)

    async def _hand_on(self) -> None:
        while self._waiting and not self._is_shut:
            event = self._waiting.popleft()
            target = self.focused or (self.screen if self.screen_stack else None)
            if target is not None and _may_move(target, event):
                self.hold_keys()
                turn = self._turn
                await super().on_event(event)
                self._climb(iter(_way_up(target)), turn)
            else:
                await super().on_event(event)

    def _climb(self, way: Iterable[DOMNode], turn: int) -> None:
        """Opens the gate once all widgets, from the one in use up, are done with a key."""
        for widget in way:
            if widget.call_later(self._climb, way, turn):
                return
        self.call_after_refresh(self._open, turn)  # by then what comes after a refresh is in use

    def _open(self, turn: int) -> None:
        if turn == self._turn and self._is_shut:
            self._is_shut = False
            self.call_later(self._hand_on)


def _may_move(target: DOMNode, event: Event) -> bool:
    if isinstance(event, Key) and event.key in getattr(target, "MOVES_ON", ()):
        return True
    judge = getattr(target, "moves_on", None)
    return judge is not None and bool(judge(event))


def _anew(event: Key | Paste) -> Key | Paste:
    """An event handed on already, to be handed on again."""
    return Paste(event.text) if isinstance(event, Paste) else Key(event.key, event.character)


def _way_up(target: DOMNode) -> Iterable[DOMNode]:
    """The widget and all round it, each twice: what one tells goes through its own queue, then up."""
    for widget in target.ancestors_with_self:
        if not isinstance(widget, App):
            yield widget
            yield widget
