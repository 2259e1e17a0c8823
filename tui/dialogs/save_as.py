"""Asks which file to save the job to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.phrases import phrase
from tui.dialogs.path_dialog import PathDialog
from tui.dialogs.paths import with_suffix
from tui.rows import Offer

if TYPE_CHECKING:
    from pathlib import Path


class SaveAsDialog(PathDialog):
    """Answers a path; a file that is there already is replaced only after a second Enter."""

    TITLE_WORDS = phrase("Save the job")
    KEY_WORDS = phrase("Enter saves, Esc goes back")
    LABEL = phrase("Save to")
    ENDING = ".toml"

    def __init__(self, typed: str = "", offer: Offer | None = None, own: Path | None = None, why: str = "") -> None:
        super().__init__(typed, offer)
        self._own = own
        self._fault = why
        self._warned_of: Path | None = with_suffix(typed, self.ENDING) if why else None

    def take(self, text: str) -> None:
        """Answers the path, after a warning where another file would be lost."""
        path = with_suffix(text, self.ENDING)
        if path.exists() and path not in (self._own, self._warned_of):
            self._warned_of = path
            self._typed = text
            self.complain(phrase("this file is there already: Enter once more replaces it, or type another name"))
        else:
            self.dismiss(path)
