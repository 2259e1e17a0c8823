"""Asks which job file to open."""

from __future__ import annotations

from pathlib import Path

from engine.phrases import phrase
from tui.dialogs.path_dialog import PathDialog


class OpenDialog(PathDialog):
    """Answers a file that is there."""

    TITLE_WORDS = phrase("Open a job")
    KEY_WORDS = phrase("Enter opens, Down goes into the list, Esc closes")
    LABEL = phrase("Job file")

    def take(self, text: str) -> None:
        """Answers the file; a file that is not there is said so."""
        path = Path(text).expanduser()
        if path.is_file():
            self.dismiss(path)
        else:
            self.complain(phrase("there is no file {path}", path=text))
