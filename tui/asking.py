"""The keys that ask something: files, quitting, explanations; and the draft kept meanwhile."""

from __future__ import annotations

from collections.abc import Callable, Coroutine
from typing import TYPE_CHECKING

from textual import work

from .early_keys import EarlyKeysScreen

if TYPE_CHECKING:
    from .filing import Filing


class AskingScreen(EarlyKeysScreen):
    """A screen whose keys hand on to the one who asks."""

    def __init__(self) -> None:
        super().__init__()
        self._filing: Filing | None = None

    def keep_draft(self) -> None:
        """Writes the draft at once; nothing happens after a proper quit."""
        if self._filing is not None:
            self._filing.keep_draft_now()

    def use(self, filing: Filing) -> None:
        """Takes the one who asks the person about files, quitting and explanations."""
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
        """Quits; asks only where something would be lost."""
        if self._filing is None:
            self.app.exit(return_code=0)
        self._ask(lambda filing: filing.quit())

    def _ask(self, what: Callable[[Filing], Coroutine[None, None, None]]) -> None:
        if self._filing is not None:
            self.asks(what, self._filing)

    # Here the call makes the coroutine once its work begins: one never begun would warn when dropped.
    @work(group="asking", exclusive=True)
    async def asks(self, what: Callable[..., Coroutine[None, None, None]], *of: object) -> None:
        """Asks beside the screen, in place of what was asked before."""
        await what(*of)
