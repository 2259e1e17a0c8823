"""One change to a frozen job, by the entry's key path, parsed and worded as by the reader; what was typed there.

Key paths as in errors: `drains[0].drop`, `outline.edges."D-A"`, `outline.walls[2].turn`; an index one past a list's end
adds an item. Only what is changed is read again.
"""

import dataclasses
import datetime as dt
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from typing import Any

from ..errors import JobError
from ..phrases import joined, phrase
from ..quantities import Dimension, Units, has_unit
from ..records import record
from .entries import Ground
from .key_path import Step, field_of, item_index, kind_of, no_item, not_deeper, not_one_entry, top_field
from .kinds import Choice, Day, Edges, Field, Flag, Kind, Many, Measure, Named, Pair, Price, Spot, Table, Words
from .lettering import check_wall, corner_count
from .model import EdgeKind, Job, Outline, Place, Priced, Reading, Typed
from .place_text import pair_text, place_text, raw_pair, raw_place
from .reading import check_whole, read
from .schema import READING, SECTIONS
from .toml_text import plain_place

_FLAGS = {"true": True, "yes": True, "false": False, "no": False}


@record
class _Change:
    key: str
    text: str
    ground: Ground


def with_entry(job: Job, key: str, text: str) -> Job:
    """The job with another text at that key; an empty one leaves the entry out, or drops the list's item.

    Other units keep every figure (see `with_units`). Raises JobError.
    """
    field, steps = top_field(key)
    change = _Change(key, text, Ground(job.units, corner_count(job.outline)))
    value = _changed(field, getattr(job, field.attr), steps, change)
    if value is None:
        value = _left_out(Job, field.attr)
    if field.attr == "units":
        return with_units(job, value)
    if field.attr == "outline":
        check_whole(value, "outline")
    return replace(job, **{field.attr: value})


def with_reading(job: Job, index: int | None, at: str, drop: str, section: str = "readings") -> Job:
    """The job with a reading in place of that one, or (None) added; the other section is `as_built`."""
    readings: tuple[Reading, ...] = getattr(job, section)
    where = len(readings) if index is None else index
    key = f"{section}[{where}]"
    reading = read(READING, {"at": raw_place(at), "drop": drop}, key, Ground(job.units, corner_count(job.outline)))
    return _with_section(job, section, (*readings[:where], reading, *readings[where + 1 :]))


def without_reading(job: Job, index: int, section: str = "readings") -> Job:
    """The job without that reading."""
    readings: tuple[Reading, ...] = getattr(job, section)
    if not 0 <= index < len(readings):
        no_item(f"{section}[{index}]", len(readings))
    return _with_section(job, section, (*readings[:index], *readings[index + 1 :]))


def _with_section(job: Job, section: str, value: Any) -> Job:
    return replace(job, **{section: value})


def _changed(field: Field, value: Any, steps: list[Step], change: _Change) -> Any:
    new = _changed_value(field.kind, value, steps, change)
    if new is None and field.required:
        raise JobError(change.key, "", phrase("this cannot be left out on its own"), phrase("take the whole item away"))
    return new


def _changed_value(kind: Kind, value: Any, steps: list[Step], change: _Change) -> Any:
    if not steps:
        return None if change.text == "" else _from_text(kind, change)
    inside = _INSIDE.get(type(kind))
    if inside is None:
        not_deeper(change.key)
    return inside(kind, value, steps, change)


def _changed_table(kind: Table, value: Any, steps: list[Step], change: _Change) -> Any:
    field = field_of(kind, steps[0], change.key)
    if kind.make is Outline and field.key == "rectangle" and len(steps) > 1:
        return _changed_rectangle(value, field, steps, change)
    if value is None and any(f.required and f is not field for f in kind.fields):
        raise JobError(
            change.key, change.text, phrase("this item is not there yet"), phrase("give all of its entries at once")
        )
    old = getattr(value, field.attr) if value is not None else _left_out(kind.make, field.attr)
    new = _changed(field, old, steps[1:], change)
    if new is None:
        new = _left_out(kind.make, field.attr)
    gone = {"half_rectangle": None} if kind.make is Outline and field.key == "rectangle" else {}
    changed = replace(value, **{field.attr: new}, **gone) if value is not None else kind.make(**{field.attr: new})
    check_whole(changed, change.key.rpartition(".")[0])
    return changed


def _left_out(make: Any, attr: str) -> Any:
    spec = next(f for f in dataclasses.fields(make) if f.name == attr)
    if spec.default_factory is not dataclasses.MISSING:
        return spec.default_factory()
    return None if spec.default is dataclasses.MISSING else spec.default


def _changed_rectangle(outline: Outline, field: Field, steps: list[Step], change: _Change) -> Outline:
    sides = list(outline.rectangle or outline.half_rectangle or (None, None))
    pair = field.kind
    step = steps[1]
    if not isinstance(pair, Pair) or not isinstance(step, int) or step > 1:
        no_item(change.key, 2)
    sides[step] = _changed_value(pair.item, sides[step], steps[2:], change)
    first, second = sides
    if first is not None and second is not None:
        return replace(outline, rectangle=(first, second), half_rectangle=None)
    half = None if first is None and second is None else (first, second)
    return replace(outline, rectangle=None, half_rectangle=half)


def _changed_list(
    kind: Many, value: tuple[Any, ...] | None, steps: list[Step], change: _Change
) -> tuple[Any, ...] | None:
    items = value or ()
    index = item_index(items, steps[0], change.key)
    if index >= kind.most:
        raise JobError(
            change.key, change.text, phrase("these are too many"), phrase("give at most {most}", most=kind.most)
        )
    if index == len(items) and change.text == "":
        return value
    new = _changed_value(kind.item, items[index] if index < len(items) else None, steps[1:], change)
    return (*items[:index], *(() if new is None else (new,)), *items[index + 1 :]) or None


def _changed_pair(kind: Pair, value: Any, steps: list[Step], change: _Change) -> tuple[Any, Any]:
    step = steps[0]
    if not isinstance(step, int) or step > 1:
        no_item(change.key, 2)
    new = _changed_value(kind.item, None, steps[1:], change)
    if value is None or new is None:
        remedy = phrase("give {names} at once", names=joined(phrase(" and "), kind.names))
        raise JobError(change.key, change.text, phrase("this goes only with the other"), remedy)
    return (new, value[1]) if step == 0 else (value[0], new)


def _changed_edges(
    _: Edges, edges: tuple[tuple[str, EdgeKind], ...], steps: list[Step], change: _Change
) -> tuple[tuple[str, EdgeKind], ...]:
    wall = str(steps[0])
    check_wall(wall, change.ground.corners, change.key, change.text)
    return _put(edges, wall, _changed_value(Choice(EdgeKind), None, steps[1:], change))


def _changed_named(
    kind: Named, entries: tuple[tuple[str, Any], ...], steps: list[Step], change: _Change
) -> tuple[tuple[str, Any], ...]:
    name = str(steps[0])
    return _put(entries, name, _changed_value(kind_of(kind, name, change.key), None, steps[1:], change))


def _put(entries: tuple[tuple[str, Any], ...], name: str, new: Any) -> tuple[tuple[str, Any], ...]:
    if new is None:
        return tuple(entry for entry in entries if entry[0] != name)
    return tuple({**dict(entries), name: new}.items())


def _changed_place(_: Spot, place: Place | None, steps: list[Step], change: _Change) -> Any:
    entries, name = _place_entries(place), str(steps[0])
    entries.pop(name, None) if change.text == "" else entries.update({name: change.text})
    above = change.key.removesuffix(name).removesuffix(f'"{name}"').rstrip(".")
    return read(Spot(), entries, above, change.ground)


def _place_entries(place: Place | None) -> dict[str, Any]:
    raw = None if place is None else plain_place(place)
    return raw if isinstance(raw, dict) else {}


_INSIDE: dict[type, Callable[..., Any]] = {
    Table: _changed_table,
    Many: _changed_list,
    Pair: _changed_pair,
    Edges: _changed_edges,
    Named: _changed_named,
    Spot: _changed_place,
}


def _from_text(kind: Kind, change: _Change) -> Any:
    text = change.text
    match kind:
        case Table() | Many() | Edges() | Named():
            not_one_entry(change.key)
        case Flag():
            raw: Any = _FLAGS.get(text.strip().lower(), text)
        case Day():
            raw = _as_date(text)
        case Spot():
            raw = raw_place(text)
        case Pair():
            raw = raw_pair(text)
        case Choice():
            raw = text.strip()
        case Measure(dimension=Dimension.NUMBER) if text.isascii() and text.isdigit():
            raw = int(text) if len(text) < 10 else text
        case _:
            raw = text
    if isinstance(kind, Words):
        _refuse_unsavable(change)
    return read(kind, raw, change.key, change.ground)


def _as_date(text: str) -> dt.date | str:
    try:
        return dt.date.fromisoformat(text.strip())
    except ValueError:
        return text


def _refuse_unsavable(change: _Change) -> None:
    try:
        change.text.encode("utf-8")
    except UnicodeEncodeError:
        remedy = phrase("type it again without that character")
        raise JobError(change.key, change.text, phrase("a character in it cannot be saved"), remedy) from None


def with_units(job: Job, units: Units) -> Job:
    """The job in other units; lengths typed without a unit get the old one, so none changes.

    What is left out takes the other units' default (a mark step of 1 mm, say). Raises JobError where there are prices:
    in other units they are for another thing.
    """
    if units is job.units:
        return job
    if any(isinstance(given, Priced) for _, given in job.prices):
        raise JobError(
            "job.units",
            units.value,
            phrase("the prices are for packs and areas in the job's units"),
            phrase("take them out of [prices] first, and give them anew"),
        )

    def written_out(typed: Typed) -> Typed:
        return _with_unit(typed, job.units)

    entries = {f.attr: _rebuilt(f.kind, getattr(job, f.attr), written_out) for f in SECTIONS}
    return replace(job, units=units, **entries)


def _rebuilt(kind: Kind, value: Any, change: Callable[[Typed], Typed]) -> Any:
    match kind:
        case _ if value is None:
            return None
        case Measure(dimension=Dimension.LENGTH):
            return change(value)
        case Table():
            return _rebuilt_table(kind, value, change)
        case Many() | Pair():
            return tuple(_rebuilt(kind.item, item, change) for item in value)
        case Named():
            return tuple((name, _rebuilt(kind.kinds[name], item, change)) for name, item in value)
    return _rebuilt_place(value, change) if isinstance(kind, Spot) else value


def _rebuilt_place(place: Any, change: Callable[[Typed], Typed]) -> Place:
    entries = {f.name: getattr(place, f.name) for f in dataclasses.fields(place)}
    moved: Place = replace(place, **{k: change(v) for k, v in entries.items() if isinstance(v, Typed)})
    return moved


def _rebuilt_table(kind: Table, value: Any, change: Callable[[Typed], Typed]) -> Any:
    entries = {f.attr: _rebuilt(f.kind, getattr(value, f.attr), change) for f in kind.fields}
    if isinstance(value, Outline) and value.half_rectangle is not None:
        first, second = (None if side is None else change(side) for side in value.half_rectangle)
        entries["half_rectangle"] = (first, second)
    return replace(value, **entries)


def _with_unit(typed: Typed, units: Units) -> Typed:
    if has_unit(typed.text):
        return typed
    number = typed.text if isinstance(typed.text, str) else f"{Decimal(repr(typed.text)):f}"
    return Typed(f"{number} {units}", typed.value)


def entry_text(job: Job, key: str) -> str:
    """What was typed at that key; "" if left out. Raises JobError for a key that cannot be."""
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
            return str(_place_entries(value).get(str(step), ""))
        case _:
            return not_deeper(key)


def _inside(value: Any, attr: str, rest: list[Step]) -> Any:
    if isinstance(value, Outline) and attr == "rectangle" and rest:
        return value.rectangle or value.half_rectangle
    return None if value is None else getattr(value, attr)
