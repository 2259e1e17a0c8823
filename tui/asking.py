"""The keys that ask something: files, quitting, explanations; and the draft and early keys kept meanwhile."""

from __future__ import annotations

from collections.abc import Callable, Coroutine, Sequence
from typing import TYPE_CHECKING

from textual import work
from textual.screen import Screen

from .key_gate import GatedApp

if TYPE_CHECKING:
    from textual.events import Key, Paste

    from .filing import Filing

_AT_ONCE = frozenset({"quit", "theme", "tongue"})  # the actions that need no job


class EarlyKeysScreen(Screen[None]):
    """A screen that keeps keys and pasted text while it gets ready."""

    def __init__(self) -> None:
        super().__init__()
        self._kept: list[Key | Paste] = []

    @property
    def is_waiting(self) -> bool:
        """Whether keys have nothing to act on yet."""
        raise NotImplementedError

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Refuses an action that has to wait: its key comes to `on_key` and is kept."""
        if self.is_waiting and action not in _AT_ONCE:
            return False
        return super().check_action(action, parameters)

    def on_key(self, event: Key | Paste) -> None:
        """Keeps a key or pasted text that comes early."""
        if self.is_waiting:
            self._kept.append(event)
            event.stop().prevent_default()

    on_paste = on_key

    def take_kept(self) -> Sequence[Key | Paste]:
        """What came early, for whoever can act on it first."""
        kept, self._kept = self._kept, []
        return kept

    def hand_on(self) -> None:
        """Does what came early, before anything pressed from here on."""
        if isinstance(self.app, GatedApp):
            self.app.go_on(self.take_kept())


class AskingScreen(EarlyKeysScreen):
    """A screen whose keys go to the one who asks."""

    def __init__(self) -> None:
        super().__init__()
        self._filing: Filing | None = None

    def keep_draft(self) -> None:
        """Writes the draft at once; nothing happens after a proper quit."""
        if self._filing is not None:
            self._filing.keep_draft_now()

    def use(self, filing: Filing) -> None:
        """Takes who asks about files, quitting and explanations."""
        self._filing = filing

    def action_save(self) -> None:
        """Saves the job to its file."""
        self._ask(lambda filing: filing.save())

    def action_save_as(self) -> None:
        """Saves the job to another file."""
        self._ask(lambda filing: filing.save_as())

    def action_write_page(self) -> None:
        """Writes the page to print."""
        self._ask(lambda filing: filing.write_page())

    def action_open(self) -> None:
        """Opens another job."""
        self._ask(lambda filing: filing.open())

    def action_quit(self) -> None:
        """Quits; asks where something would be lost."""
        if self._filing is None:
            self.app.exit(return_code=0)
        self._ask(lambda filing: filing.quit())

    def _ask(self, what: Callable[[Filing], Coroutine[None, None, None]]) -> None:
        if self._filing is not None:
            self.asks(what, self._filing)

    # Called here once its work begins: a coroutine never begun would warn when dropped.
    @work(group="asking", exclusive=True)
    async def asks(self, what: Callable[..., Coroutine[None, None, None]], *of: object) -> None:
        """Asks beside the screen, in place of what was asked before."""
        await what(*of)
