"""Asks which job file to open."""

from __future__ import annotations

from pathlib import Path

from tui.dialogs.path_dialog import PathDialog


class OpenDialog(PathDialog):
    """Answers a file that is there."""

    TITLE_WORDS = "Open a job"
    KEY_WORDS = "Enter opens, Down goes into the list, Esc closes"
    LABEL = "Job file"

    def take(self, text: str) -> None:
        """Answers the file; a file that is not there is said so."""
        path = Path(text).expanduser()
        if path.is_file():
            self.dismiss(path)
        else:
            self.complain(f"there is no file {text}")
