"""What was typed at one entry of a job."""

from typing import Any

from .key_path import Step, field_of, kind_of, not_deeper, top_field
from .kinds import Edges, Flag, Kind, Many, Measure, Named, Pair, Price, Spot, Table
from .model import Job, Outline
from .place_text import pair_text, place_text
from .toml_text import plain_place


def entry_text(job: Job, key: str) -> str:
    """What was typed at that key; "" where it is left out. Raises JobError for a key that cannot be."""
    field, steps = top_field(key)
    return _text(field.kind, getattr(job, field.attr), steps, key)


def _text(kind: Kind, value: Any, steps: list[Step], key: str) -> str:
    if steps:
        return _text_inside(kind, value, steps, key)
    if value is None or isinstance(kind, Edges | Named | Many | Table):
        return ""
    match kind:
        case Measure() | Price():
            return str(value.text)
        case Flag():
            return str(value).lower()
        case Spot():
            return place_text(value)
    return pair_text(value) if isinstance(kind, Pair) else str(value)


def _text_inside(kind: Kind, value: Any, steps: list[Step], key: str) -> str:
    step, rest = steps[0], steps[1:]
    match kind:
        case Table():
            field = field_of(kind, step, key)
            return _text(field.kind, _inside(value, field.attr, rest), rest, key)
        case Many() | Pair():
            items = value or ()
            is_there = isinstance(step, int) and step < len(items)
            return _text(kind.item, items[int(step)] if is_there else None, rest, key)
        case Named():
            return _text(kind_of(kind, step, key), dict(value).get(str(step)), rest, key)
        case Edges():
            return str(dict(value).get(str(step), ""))
        case Spot():
            raw = plain_place(value) if value is not None else {}
            return str(raw.get(str(step), "")) if isinstance(raw, dict) else ""
        case _:
            return not_deeper(key)


def _inside(value: Any, attr: str, rest: list[Step]) -> Any:
    if isinstance(value, Outline) and attr == "rectangle" and rest:
        return value.rectangle or value.half_rectangle
    return None if value is None else getattr(value, attr)
