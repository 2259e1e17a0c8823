"""The app: theme and first screen."""

from __future__ import annotations

import os
import signal
import sys
from asyncio import get_running_loop
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from .key_gate import GatedApp
from .settings import THEME, TONGUE, remembered
from .terminal import harmless, is_colourless
from .themes import THEME_WORDS, THEMES
from .tongues import speak, told, tongue_of
from .wizard import WizardScreen

if TYPE_CHECKING:
    from .dialogs.dialog import Dialog
    from .dialogs.start import StartDialog

_SIGNALS = ("SIGTERM", "SIGHUP")  # the second is not there on Windows
_HUNG_UP = 128 + getattr(signal, "SIGHUP", 0)


class FallmarkApp(GatedApp, inherit_bindings=False):
    """Opens the wizard on a job file, or on the page of ways to begin."""

    ENABLE_COMMAND_PALETTE = False

    def __init__(self, path: str | None = None, tongue: str = "") -> None:
        speak(tongue_of(tongue, remembered(TONGUE)))
        super().__init__(ansi_color=True if is_colourless() else None)
        self.animation_level = "none"
        for theme in THEMES:
            self.register_theme(theme)
        chosen = remembered(THEME)
        self.theme = chosen if chosen in THEME_WORDS else THEMES[0].name
        self._path = None if path is None else Path(path)
        self.wizard = WizardScreen()
        self.fault: BaseException | None = None  # of the program's own, which ended it

    def get_default_screen(self) -> WizardScreen:
        """The wizard."""
        return self.wizard

    def on_mount(self) -> None:
        """Begins after the first paint; a signal to end keeps the draft."""
        self.call_after_refresh(self._begin)
        for name in _SIGNALS:
            number = getattr(signal, name, None)
            if number is not None:
                # Not every platform's loop takes signals, and none outside the main thread.
                with suppress(NotImplementedError, RuntimeError, ValueError):
                    get_running_loop().add_signal_handler(number, self._end, 128 + number)

    def on_unmount(self) -> None:
        """However the app ends, what would be lost is in the draft."""
        self.wizard.keep_draft()

    def _end(self, code: int) -> None:
        self.wizard.keep_draft()
        if code == _HUNG_UP:
            os._exit(code)  # the terminal is gone: an orderly end would wait for ever to write to it
        self.exit(return_code=code)

    def _begin(self) -> None:
        from .begin import begin  # the first paint does not need it

        self.wizard.asks(begin, self.wizard, self._path)

    def _handle_exception(self, error: Exception) -> None:
        self.fault = self.fault or error
        super()._handle_exception(error)

    def _print_error_renderables(self) -> None:
        if self.fault is not None and not sys.flags.dev_mode:
            self._exit_renderables.clear()
        super()._print_error_renderables()

    def on_dialog_quit_wanted(self, event: Dialog.QuitWanted) -> None:
        """Quit was pressed inside a dialog."""
        event.stop()
        self.wizard.action_quit()

    async def on_start_dialog_action_wanted(self, event: StartDialog.ActionWanted) -> None:
        """Asks for another tongue or other colours before there is a job."""
        event.stop()
        await self.wizard.run_action(event.action)
        event.dialog.say_again()


def run(path: str | None, tongue: str = "") -> int:
    """Runs the wizard on a job file or none, in a tongue by its code; gives the exit code."""
    app = FallmarkApp(path, tongue)
    app.run()
    if app.fault is not None:
        from .ending import end_words  # only a fault asks for it

        sys.stderr.write(f"{harmless(told(end_words(app.fault, app.wizard.desk)))}\n")
    return app.return_code or 0
