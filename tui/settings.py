"""What is remembered from one start to the next: the theme and the tongue."""

import json
from contextlib import suppress

from .drafts import state_folder

_FILE = "settings.json"
THEME, TONGUE = "theme", "tongue"


def remembered(name: str) -> str:
    """The theme, or tongue's code, chosen last; "" where none was, or is readable."""
    return _kept().get(name, "")


def remember(name: str, value: str) -> None:
    """Puts a choice on disk in one move; FileError where that fails, the old one stays."""
    from engine.saving import replace_file  # not needed before the first paint

    folder, settings = state_folder(), _kept() | {name: value}
    with suppress(OSError):  # where it fails, writing tells why
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    replace_file(folder / _FILE, json.dumps(settings).encode())


def _kept() -> dict[str, str]:
    try:
        kept = json.loads((state_folder() / _FILE).read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return {}
    if not isinstance(kept, dict):
        return {}
    return {name: kept[name] for name in (THEME, TONGUE) if isinstance(kept.get(name), str)}
