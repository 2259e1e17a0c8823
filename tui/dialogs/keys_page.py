"""The page of all keys, made from the one table."""

from engine.phrases import joined, phrase

from ..keys import KEY_ACTIONS, KeyAction, key_name
from ..tongues import told
from .tell import TellDialog

_CELLS = 22
_NOTES = phrase(
    "Each action has two keys, because some terminals and editors keep one of them for themselves. "
    "In a field: Left, Right, Home, End, Backspace, Delete; Ctrl+U clears what is before the cursor."
)


def keys_dialog(kind: type[TellDialog] = TellDialog) -> TellDialog:
    """Every key and what it does."""
    lines = [f"{told(_keys_of(action)):<{_CELLS}}{told(action.says)}" for action in KEY_ACTIONS]
    paragraphs = [("", "\n".join(lines)), ("", joined("\n", ["", _NOTES]))]
    return kind(phrase("All keys"), paragraphs, hangs=_CELLS)


def _keys_of(action: KeyAction) -> str:
    first, *others = (key_name(key) for key in action.keys)
    return phrase("{key} or {other}", key=first, other=others[0]) if others else first
