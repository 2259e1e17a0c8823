"""What is remembered from one start to the next: the theme."""

from __future__ import annotations

import json
from contextlib import suppress

from tui.drafts import state_folder

_FILE = "settings.json"


def remembered_theme() -> str:
    """The theme that was chosen last; "" where none was, or where the file cannot be read."""
    try:
        kept = json.loads((state_folder() / _FILE).read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return ""
    theme = kept.get("theme") if isinstance(kept, dict) else None
    return theme if isinstance(theme, str) else ""


def remember_theme(name: str) -> None:
    """Puts the theme on disk in one move; FileError where that fails, and what was remembered stays."""
    from engine.saving import replace_file  # noqa: PLC0415 - not needed before the first paint

    folder = state_folder()
    with suppress(OSError):  # where it fails, writing tells why
        folder.mkdir(parents=True, exist_ok=True)
    replace_file(folder / _FILE, json.dumps({"theme": name}).encode())
