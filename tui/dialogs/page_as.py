"""Asks which file to write the page to print to."""

from __future__ import annotations

from engine.phrases import phrase
from tui.dialogs.save_as import SaveAsDialog


class PageAsDialog(SaveAsDialog):
    """Answers a path; a file that is there already is replaced only after a second Enter."""

    TITLE_WORDS = phrase("Write the page to print")
    KEY_WORDS = phrase("Enter writes it; open it in any browser and print. Esc goes back")
    LABEL = phrase("Write to")
    ENDING = ".html"
