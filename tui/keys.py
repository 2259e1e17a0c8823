"""The one table of keys, of which the bindings, the footer and the help page are made.

Every action has two keys: some terminals and editors take function keys, some control keys. None needs Alt, or is
Ctrl+J, Ctrl+M, Ctrl+H or Ctrl+@, which terminals cannot tell from Enter, Backspace and Space.
"""

from enum import Enum

from engine.phrases import joined, phrase
from engine.records import record


class Where(Enum):
    """What the keys act on just now."""

    FORM = "form"
    SHEET = "sheet"
    MAP = "map"
    FINDINGS = "findings"


@record
class KeyAction:
    """One action: its keys, short name, and where the footer tells it."""

    action: str  # the screen's name for it; "" where a widget handles the keys itself
    keys: tuple[str, ...]
    short: str
    footer: tuple[Where, ...] = ()


_FORM, _SHEET, _MAP, _FINDINGS = Where
KEY_ACTIONS: tuple[KeyAction, ...] = (
    KeyAction("", ("enter", "keypad enter"), phrase("next"), (_FORM,)),
    KeyAction("", ("enter", "1 to 4"), phrase("act on it"), (_FINDINGS,)),
    KeyAction("", ("arrows", "tab"), phrase("move"), (_MAP,)),
    KeyAction("", ("right", "left"), phrase("pages"), (_SHEET,)),
    KeyAction("next_step", ("pagedown", "f8"), phrase("step on"), (_FORM, _SHEET)),
    KeyAction("previous_step", ("pageup", "f7"), phrase("step back")),
    KeyAction("step_out", ("escape", "ctrl+g"), phrase("back"), (_MAP, _FINDINGS)),
    KeyAction("explain", ("f1", "ctrl+x"), phrase("explain"), (_FORM, _SHEET, _FINDINGS)),
    KeyAction("save", ("f2", "ctrl+s"), phrase("save"), (_FORM, _SHEET)),
    KeyAction("open", ("f3", "ctrl+o"), phrase("open")),
    KeyAction("next_layer", ("f4", "ctrl+l"), phrase("layer"), (_FORM, _MAP)),
    KeyAction("map_cursor", ("f5", "ctrl+r"), phrase("map"), (_SHEET,)),
    KeyAction("next_finding", ("f6", "ctrl+n"), phrase("findings"), (_FORM, _SHEET, _FINDINGS)),
    KeyAction("undo", ("f9", "ctrl+z"), phrase("undo"), (_FINDINGS,)),
    KeyAction("redo", ("f12", "ctrl+y"), phrase("redo")),
    KeyAction("", ("insert", "+"), phrase("own place")),
    KeyAction("save_as", ("shift+f2", "ctrl+w"), phrase("save as")),
    KeyAction("write_page", ("ctrl+p", "shift+f3"), phrase("page")),
    KeyAction("tongue", ("ctrl+k", "shift+f11"), phrase("language")),
    KeyAction("theme", ("f11", "ctrl+t"), phrase("theme")),
    KeyAction("quit", ("f10", "ctrl+q"), phrase("quit"), (_FORM, _SHEET, _MAP, _FINDINGS)),
)

_NAMES = {
    "pagedown": phrase("PgDn"),
    "pageup": phrase("PgUp"),
    "escape": phrase("Esc"),
    "enter": phrase("Enter"),
    "1 to 4": phrase("1 to 4"),
    "insert": phrase("Ins"),
    "arrows": phrase("Arrows"),
    "right": phrase("Right"),
    "left": phrase("Left"),
    "tab": phrase("Tab"),
    "shift": phrase("Shift"),
    "ctrl": phrase("Ctrl"),
    "keypad enter": phrase("keypad Enter"),
}


def key_name(key: str) -> str:
    """A key as it is printed on the keyboard: "F1", "Ctrl+X", "PgDn"."""
    return key if key == "+" else joined("+", [_NAMES.get(part, part.upper()) for part in key.split("+")])


def footer_actions(where: Where) -> list[KeyAction]:
    """The actions shown in the footer at a place: at most seven."""
    return [action for action in KEY_ACTIONS if where in action.footer]
