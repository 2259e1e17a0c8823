"""The page of all keys, made from the one table."""

from __future__ import annotations

from tui.dialogs.tell import TellDialog
from tui.keys import KEY_ACTIONS, key_name

_CELLS = 22
_NOTES = (
    "Each action has two keys, because some terminals and editors keep one of them for themselves. "
    "In a field: Left, Right, Home, End, Backspace, Delete; Ctrl+U clears what is before the cursor."
)


def keys_dialog() -> TellDialog:
    """Every key and what it does."""
    lines = [
        f"{' or '.join(key_name(key) for key in action.keys):<{_CELLS}}{action.says}"
        for action in KEY_ACTIONS
    ]
    return TellDialog("All keys", [("", "\n".join(lines)), ("", "\n" + _NOTES)], hangs=_CELLS)
