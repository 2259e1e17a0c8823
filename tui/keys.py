"""The one table of keys, of which the bindings, the footer and the help page are made.

Every action has two keys, so that one arrives: some terminals and editors take function keys, some control keys. None
needs Alt, or is Ctrl+J, Ctrl+M, Ctrl+H or Ctrl+@, which terminals cannot tell from Enter, Backspace and Space.
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
    """One action: its keys, its short name for the footer, its sentence for the help page."""

    action: str  # the name the wizard's screen knows it by; "" where a widget handles the keys itself
    keys: tuple[str, ...]
    short: str
    says: str
    footer: tuple[Where, ...] = ()


_FORM, _SHEET, _MAP, _FINDINGS = Where
KEY_ACTIONS: tuple[KeyAction, ...] = (
    KeyAction(
        "", ("enter", "keypad enter"), phrase("next"), phrase("Take what stands there, go to the next field"), (_FORM,)
    ),
    KeyAction(
        "",
        ("enter", "1 to 4"),
        phrase("act on it"),
        phrase("Findings: make the change named; + looks longer"),
        (_FINDINGS,),
    ),
    KeyAction("", ("arrows", "tab"), phrase("move"), phrase("Up, Down: fields; Left, Right: choices"), (_MAP,)),
    KeyAction("", ("right", "left"), phrase("pages"), phrase("Results: other pages; Space, Backspace leaf"), (_SHEET,)),
    KeyAction("next_step", ("pagedown", "f8"), phrase("step on"), phrase("The next step"), (_FORM, _SHEET)),
    KeyAction("previous_step", ("pageup", "f7"), phrase("step back"), phrase("The step before")),
    KeyAction(
        "step_out",
        ("escape", "ctrl+g"),
        phrase("back"),
        phrase("Step out: off the map, out of a page"),
        (_MAP, _FINDINGS),
    ),
    KeyAction(
        "explain",
        ("f1", "ctrl+x"),
        phrase("explain"),
        phrase("What this field or figure is, then all keys"),
        (_FORM, _SHEET, _FINDINGS),
    ),
    KeyAction("save", ("f2", "ctrl+s"), phrase("save"), phrase("Save the job to its file"), (_FORM, _SHEET)),
    KeyAction("open", ("f3", "ctrl+o"), phrase("open"), phrase("Open another job file")),
    KeyAction(
        "next_layer",
        ("f4", "ctrl+l"),
        phrase("layer"),
        phrase("The map's next layer, and the cut from the side"),
        (_FORM, _MAP),
    ),
    KeyAction(
        "map_cursor", ("f5", "ctrl+r"), phrase("map"), phrase("Walk over the map and read its figures"), (_SHEET,)
    ),
    KeyAction(
        "next_finding",
        ("f6", "ctrl+n"),
        phrase("findings"),
        phrase("The findings, one after the other"),
        (_FORM, _SHEET, _FINDINGS),
    ),
    KeyAction("undo", ("f9", "ctrl+z"), phrase("undo"), phrase("Undo the last change"), (_FINDINGS,)),
    KeyAction("redo", ("f12", "ctrl+y"), phrase("redo"), phrase("Redo what was undone")),
    KeyAction("", ("insert", "+"), phrase("own place"), phrase("A station, wall, corner or drain more")),
    KeyAction("save_as", ("shift+f2", "ctrl+w"), phrase("save as"), phrase("Save the job to another file")),
    KeyAction("write_page", ("ctrl+p", "shift+f3"), phrase("page"), phrase("Write a page to print, for any browser")),
    KeyAction(
        "tongue", ("ctrl+k", "shift+f11"), phrase("language"), phrase("The wizard's language: English or español")
    ),
    KeyAction("theme", ("f11", "ctrl+t"), phrase("theme"), phrase("Dark, light, or high contrast")),
    KeyAction(
        "quit",
        ("f10", "ctrl+q"),
        phrase("quit"),
        phrase("Quit; asks only if something is not saved"),
        (_FORM, _SHEET, _MAP, _FINDINGS),
    ),
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
