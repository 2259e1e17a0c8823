"""A job as TOML that people can read: sections in the contract's order, places and walls as inline tables.

The library writes every text, number and date that needs care; its layout would make sections of places
(`[readings.at]`) and one long list of readings.
"""

import re
from enum import Enum
from typing import Any

import tomli_w

from .comments import with_comments
from .kinds import Edges, Kind, Many, Named, Pair, Table
from .model import AtCorner, AtOffsets, AtPoint, AtWall, Job, Outline, Place, Priced, Typed
from .schema import FORMAT, HEAD, SECTIONS

_WIDTH = 110  # lists that are longer stand one item to a line
_PLAIN_TEXT = re.compile(r"[ !#-\[\]-~]*")  # needs no escapes
_BARE_KEY = re.compile(r"[a-z0-9_]+")


def toml_text(job: Job) -> str:
    """The whole job file; what the job leaves out, it leaves out."""
    lines = [("format", f"format = {FORMAT}"), *_section("job", "[job]", _head(job))]
    for field in SECTIONS:
        value = plain(field.kind, getattr(job, field.attr))
        if isinstance(value, list):
            for i, item in enumerate(value):
                lines += _section(f"{field.key}[{i}]", f"[[{field.key}]]", item)
        elif value:
            lines += _section(field.key, f"[{field.key}]", value)
    return with_comments(lines, job.comments)


def plain(kind: Kind, value: Any) -> Any:
    """A value of the model as dicts, lists and scalars, without entries left out."""
    match kind:
        case Table():
            given = {field.key: (field.kind, getattr(value, field.attr)) for field in kind.fields}
            entries = {key: plain(*entry) for key, entry in given.items() if entry[1] not in (None, ())}
            return _with_half(value, entries)
        case Many():
            return [plain(kind.item, item) for item in value]
        case Pair():
            return [item.text for item in value]
        case Edges():
            return {wall: what.value for wall, what in value}
        case Named():
            return {name: plain(kind.kinds[name], item) for name, item in value}
    return _plain_entry(value)


def _plain_entry(value: Any) -> Any:
    if isinstance(value, Typed | Priced):
        return value.text
    return plain_place(value) if isinstance(value, Place) else value


def plain_place(place: Place) -> str | dict[str, Any]:
    """A place as it stands in the file."""
    if isinstance(place, AtCorner):
        return place.corner
    return {name: _plain_entry(part) for name, part in place_parts(place).items()}


def place_parts(place: AtWall | AtOffsets | AtPoint) -> dict[str, Any]:
    """What a place's keys in the file hold."""
    match place:
        case AtWall(wall, along, off):
            return {"wall": wall, "along": along} | ({} if off is None else {"off": off})
        case AtOffsets(first_wall, first, second_wall, second):
            return {first_wall: first, second_wall: second}
        case AtPoint(x, y):
            return {"x": x, "y": y}


def _head(job: Job) -> dict[str, Any]:
    given = {field.key: getattr(job, field.attr) for field in HEAD.fields}
    always = ("name", "units", "rulebook")
    return {key: value for key, value in given.items() if key in always or value not in (None, "")}


def _with_half(value: Any, entries: dict[str, Any]) -> dict[str, Any]:
    if not isinstance(value, Outline) or value.half_rectangle is None or value.is_given:
        return entries
    sides = ["" if side is None else side.text for side in value.half_rectangle]
    return {"rectangle": sides, **entries}


def _section(path: str, header: str, entries: dict[str, Any]) -> list[tuple[str, str]]:
    return [("", ""), (path, header), *((f"{path}.{entry[0]}", _line(entry)) for entry in entries.items())]


def _line(entry: tuple[str, Any]) -> str:
    key, value = entry
    if isinstance(value, str) and "\n" in value:
        return tomli_w.dumps({key: value}, multiline_strings="\r" not in value).rstrip("\n")
    line = f"{_key(key)} = {_inline(value)}"
    if not isinstance(value, list) or len(line) <= _WIDTH:
        return line
    items = "".join(f"    {_inline(item)},\n" for item in value)
    return f"{_key(key)} = [\n{items}]"


def _inline(value: Any) -> str:
    if isinstance(value, dict):
        inside = ", ".join(f"{_key(key)} = {_inline(item)}" for key, item in value.items())
        return f"{{ {inside} }}" if inside else "{}"
    if isinstance(value, list):
        return f"[{', '.join(map(_inline, value))}]"
    return _scalar(value.value if isinstance(value, Enum) else value)


def _scalar(value: Any) -> str:
    if isinstance(value, str) and _PLAIN_TEXT.fullmatch(value):
        return f'"{value}"'
    return tomli_w.dumps({"v": value})[len("v = ") : -1]


def _key(key: str) -> str:
    return key if _BARE_KEY.fullmatch(key) else _scalar(key)
