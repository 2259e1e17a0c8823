"""The app: theme and first screen."""

from __future__ import annotations

import signal
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual.app import App

from tui.dialogs.dialog import Dialog
from tui.terminal import is_colourless
from tui.themes import THEMES
from tui.wizard import WizardScreen

if TYPE_CHECKING:
    from textual.binding import BindingType

_SIGNALS = ("SIGTERM", "SIGHUP")  # the second is not there on Windows


class FallmarkApp(App[None]):
    """Opens the wizard on a job file, or on the page that offers ways to begin."""

    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar[list[BindingType]] = []

    def __init__(self, path: str | None = None) -> None:
        super().__init__(ansi_color=True if is_colourless() else None)
        self.animation_level = "none"
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = THEMES[0].name
        self._path = None if path is None else Path(path)
        self.wizard = WizardScreen()

    def get_default_screen(self) -> WizardScreen:
        """The wizard."""
        return self.wizard

    def on_mount(self) -> None:
        """Begins after the first paint; a signal to end keeps the draft."""
        self.call_after_refresh(self._begin)

    def _begin(self) -> None:
        self.wizard.run_worker(self.wizard.filing.begin(self._path), group="asking")

    def on_dialog_quit_wanted(self, event: Dialog.QuitWanted) -> None:
        """Quit was pressed inside a dialog."""
        event.stop()
        self.wizard.action_quit()


def run(path: str | None) -> int:
    """Runs the wizard on a job file, or on none, and gives the exit code."""
    app = FallmarkApp(path)
    app.run()
    return app.return_code or 0
