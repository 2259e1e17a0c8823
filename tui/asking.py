"""The keys that ask the person something: files, quitting, explanations; and the draft that is kept meanwhile."""

from __future__ import annotations

from collections.abc import Coroutine
from typing import TYPE_CHECKING

from tui.early_keys import EarlyKeysScreen

if TYPE_CHECKING:
    from tui.filing import Filing
    from tui.steps.step import Step


class AskingScreen(EarlyKeysScreen):
    """A screen whose keys hand on to the one who asks."""

    def __init__(self) -> None:
        super().__init__()
        self._filing: Filing | None = None

    @property
    def step(self) -> Step | None:
        """The step on the screen."""
        raise NotImplementedError

    def keep_draft(self) -> None:
        """Writes the draft at once; nothing happens after a proper quit."""
        if self._filing is not None:
            self._filing.keep_draft_now()

    def use(self, filing: Filing) -> None:
        """Takes the one who asks the person about files, quitting and explanations."""
        self._filing = filing

    def action_explain(self) -> None:
        """Explains the field or the figure in use."""
        if self._filing is not None and self.step is not None:
            self._file(self._filing.explain(self.step))

    def action_save(self) -> None:
        """Saves the job to its file."""
        if self._filing is not None:
            self._file(self._filing.save())

    def action_save_as(self) -> None:
        """Saves the job to another file."""
        if self._filing is not None:
            self._file(self._filing.save_as())

    def action_write_page(self) -> None:
        """Writes the page to print."""
        if self._filing is not None:
            self._file(self._filing.write_page())

    def action_open(self) -> None:
        """Opens another job."""
        if self._filing is not None:
            self._file(self._filing.open())

    def action_quit(self) -> None:
        """Quits; asks only where something would be lost."""
        if self._filing is not None:
            self._file(self._filing.quit())
        else:
            self.app.exit(return_code=0)

    def _file(self, work: Coroutine[None, None, None]) -> None:
        """Runs what asks the person something, one at a time."""
        self.run_worker(work, group="asking", exclusive=True)
