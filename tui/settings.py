"""What is remembered from one start to the next: the theme and the tongue."""

import json
from contextlib import suppress

from tui.drafts import state_folder

_FILE = "settings.json"
_THEME, _TONGUE = "theme", "tongue"


def remembered_theme() -> str:
    """The theme that was chosen last; "" where none was, or where the file cannot be read."""
    return _kept().get(_THEME, "")


def remembered_tongue() -> str:
    """The tongue that was chosen last, by its code; "" as for the theme."""
    return _kept().get(_TONGUE, "")


def remember_theme(name: str) -> None:
    """Puts the theme on disk in one move; FileError where that fails, and what was remembered stays."""
    _keep(_THEME, name)


def remember_tongue(code: str) -> None:
    """Puts the tongue on disk, as the theme."""
    _keep(_TONGUE, code)


def _kept() -> dict[str, str]:
    try:
        kept = json.loads((state_folder() / _FILE).read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return {}
    if not isinstance(kept, dict):
        return {}
    return {name: kept[name] for name in (_THEME, _TONGUE) if isinstance(kept.get(name), str)}


def _keep(name: str, value: str) -> None:
    from engine.saving import replace_file  # noqa: PLC0415 - not needed before the first paint

    folder, settings = state_folder(), _kept() | {name: value}
    with suppress(OSError):  # where it fails, writing tells why
        folder.mkdir(parents=True, exist_ok=True)
    replace_file(folder / _FILE, json.dumps(settings).encode())
