"""From the plain values of a parsed file to the job's model, every fault told in words.

Each function takes a raw value, the key path it stands at, and what is known so far of the job around it.
"""

from __future__ import annotations

import datetime as dt
import json
import re
from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING, Any, NoReturn

from engine.errors import JobError, QuantityError
from engine.job.lettering import check_corner, check_wall, looks_like_wall
from engine.job.model import (
    AtCorner,
    AtOffsets,
    AtPoint,
    AtWall,
    Bed,
    Drain,
    DrainKind,
    EdgeKind,
    Job,
    Outline,
    Place,
    Tape,
    Typed,
)
from engine.job.schema import (
    COORDINATE,
    FORMAT,
    HEAD,
    JOB,
    OFFSET,
    OUTLINE_FORMS,
    SECTIONS,
    Choice,
    CornerName,
    Day,
    Edges,
    Flag,
    Kind,
    Many,
    Measure,
    Pair,
    Spot,
    Table,
    Words,
)
from engine.quantities import Units, format_quantity, parse

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

_BARE_KEY = re.compile(r"[A-Za-z0-9_]+")
_LONGEST_KEY = 40  # characters shown of a key nobody knows
_LARGEST_SHOWN = 10**18
_PLACES = 'a corner "B", { wall = "A-B", along = "18 in" }, { "A-B" = "12 in", "B-C" = "8 in" } or { x = .., y = .. }'


@dataclass(frozen=True, slots=True)
class Ground:
    """What is known of the job around an entry: its units, and its number of corners (None: not known)."""

    units: Units = Units.INCH
    corners: int | None = None


class Unquoted:
    """A value shown in an error without quotes: a wrong kind of thing, told in words."""

    def __init__(self, words: str) -> None:
        self._words = words

    def __str__(self) -> str:
        return self._words


def under(key: str, part: str) -> str:
    """The key path of a key inside another."""
    if not _BARE_KEY.fullmatch(part):
        part = json.dumps(part if len(part) <= _LONGEST_KEY else part[:_LONGEST_KEY] + "...")
    return f"{key}.{part}" if key else part


def read_tables(raw: dict[str, Any], *, draft: bool = False) -> Job:
    """The job that a parsed file holds, whole or partial.

    A draft may name corners and walls that its outline does not have (yet). Raises JobError.
    """
    _check_format(raw)
    _refuse_unknown({key: value for key, value in raw.items() if key != "format"}, JOB, "")
    head = read(HEAD, raw.get("job", {}), "job", Ground())
    units = head.get("units", Units.INCH)
    ground = Ground(units, None if draft else _count_corners(raw.get("outline")))
    entries = {f.attr: read(f.kind, raw[f.key], f.key, ground) for f in SECTIONS if f.key in raw}
    return Job(**head, **entries)


def read(kind: Kind, raw: Any, key: str, ground: Ground) -> Any:
    """A raw value as the model's, by its kind. Raises JobError."""
    return _READERS[type(kind)](kind, raw, key, ground)


def _check_format(raw: dict[str, Any]) -> None:
    if "format" not in raw:
        raise JobError(
            "format", Unquoted("(missing)"), "the file does not say its format", "begin it with format = 1"
        )
    given = raw["format"]
    if type(given) is not int or given != FORMAT:
        remedy = "use a newer fallmark" if type(given) is int and given > FORMAT else "write format = 1"
        raise JobError("format", display(given), "only format 1 can be read", remedy)


def _count_corners(outline: Any) -> int | None:
    """How many corners a raw outline has, as far as it can be told; its faults are told when it is read."""
    if not isinstance(outline, dict):
        return None
    if "rectangle" in outline:
        return 4
    given = outline.get("walls", outline.get("corners"))
    return len(given) if isinstance(given, list) and given else None


# ------------------------------------------------------------------ single values


def _measure(kind: Measure, raw: Any, key: str, ground: Ground) -> Typed:
    if isinstance(raw, bool) or not isinstance(raw, (str, int, float)):
        _wrong_type(raw, key, f"a {kind.dimension}", "write a number, or text between quotes")
    try:
        value = parse(raw, kind.dimension, ground.units)
    except QuantityError as error:
        raise JobError(key, display(raw), error.fault, error.remedy) from None
    _check_bounds(kind, value, raw, key, ground.units)
    return Typed(raw, value)


def _check_bounds(kind: Measure, value: float, raw: Any, key: str, units: Units) -> None:
    def words(bound: float) -> str:
        return "0" if bound == 0 else format_quantity(bound, kind.dimension, units)

    if value < kind.least or (kind.above and value == kind.least):
        fault = f"must be {'more than' if kind.above else 'at least'} {words(kind.least)}"
    elif value > kind.most or (kind.below and value == kind.most):
        fault = f"must be {'less than' if kind.below else 'at most'} {words(kind.most)}"
    else:
        return
    raise JobError(key, display(raw), fault, "check the figure and its unit")


def _choice(kind: Choice, raw: Any, key: str, _: Ground) -> Any:
    known = [word.value for word in kind.words]
    if not isinstance(raw, str):
        _wrong_type(raw, key, "one of a few words", f"write one of {', '.join(known)}")
    if raw not in known:
        raise JobError(key, raw, "this word is not known here", _nearest(raw, known, "write one of"))
    return kind.words(raw)


def _flag(_: Flag, raw: Any, key: str, __: Ground) -> bool:
    if not isinstance(raw, bool):
        _wrong_type(raw, key, "true or false", "write true or false, without quotes")
    return raw


def _words(_: Words, raw: Any, key: str, __: Ground) -> str:
    if not isinstance(raw, str):
        _wrong_type(raw, key, "text", "put it between quotes")
    return raw


def _day(kind: Day, raw: Any, key: str, _: Ground) -> dt.date:
    if not isinstance(raw, dt.date) or isinstance(raw, dt.datetime):
        _wrong_type(raw, key, "a date", "write it as 2027-03-08, without quotes and without a time")
    if not kind.first_year <= raw.year <= kind.last_year:
        raise JobError(
            key, raw, "the year cannot be meant", f"give a date from {kind.first_year} to {kind.last_year}"
        )
    return raw


def _corner_name(_: CornerName, raw: Any, key: str, ground: Ground) -> str:
    if not isinstance(raw, str):
        _wrong_type(raw, key, "a corner", 'write its letter between quotes, such as "B"')
    check_corner(raw, ground.corners, key)
    return raw


# ------------------------------------------------------------------ places


def _place(_: Spot, raw: Any, key: str, ground: Ground) -> Place:
    if isinstance(raw, str):
        check_corner(raw, ground.corners, key)
        return AtCorner(raw)
    if not isinstance(raw, dict) or not raw:
        _wrong_type(raw, key, "a place", f"write {_PLACES}")
    if raw.keys() & {"x", "y"}:
        x, y = _exactly(raw, ("x", "y"), COORDINATE, key, ground)
        return AtPoint(x, y)
    if raw.keys() & {"wall", "along", "off"}:
        return _at_wall(raw, key, ground)
    return _at_offsets(raw, key, ground)


def _at_wall(raw: dict[str, Any], key: str, ground: Ground) -> AtWall:
    off = raw.get("off")
    given = {name: value for name, value in raw.items() if name != "off"}
    if not isinstance(given.get("wall", ""), str):
        _wrong_type(given["wall"], f"{key}.wall", "a wall", 'name it between quotes, such as "A-B"')
    _refuse_missing(given, ("wall", "along"), key)
    check_wall(given["wall"], ground.corners, f"{key}.wall")
    along = _measure(OFFSET, given["along"], f"{key}.along", ground)
    _refuse_others(given, ("wall", "along", "off"), key)
    return AtWall(given["wall"], along, None if off is None else _measure(OFFSET, off, f"{key}.off", ground))


def _at_offsets(raw: dict[str, Any], key: str, ground: Ground) -> AtOffsets:
    for name in raw:
        if not looks_like_wall(name) and len(name) > 5:  # "A to B" is a wall said otherwise; this is not
            raise JobError(
                under(key, name), display(raw[name]), "this is no part of a place", f"write {_PLACES}"
            )
        check_wall(name, ground.corners, under(key, name))
    if len(raw) != 2:
        raise JobError(key, Unquoted(", ".join(raw)), "a place is fixed by two walls", f"write {_PLACES}")
    (first, a), (second, b) = raw.items()
    return AtOffsets(
        first,
        _measure(OFFSET, a, under(key, first), ground),
        second,
        _measure(OFFSET, b, under(key, second), ground),
    )


def _exactly(
    raw: dict[str, Any], names: tuple[str, ...], kind: Measure, key: str, ground: Ground
) -> list[Typed]:
    _refuse_others(raw, names, key)
    _refuse_missing(raw, names, key)
    return [_measure(kind, raw[name], f"{key}.{name}", ground) for name in names]


def _refuse_others(raw: dict[str, Any], names: tuple[str, ...], key: str) -> None:
    for name in raw:
        if name not in names:
            _unknown(under(key, name), name, raw[name], names)


def _refuse_missing(raw: dict[str, Any], names: Iterable[str], key: str) -> None:
    for name in names:
        if name not in raw:
            raise JobError(
                f"{key}.{name}", Unquoted("(missing)"), "this has to be given", f"add {name} = ..."
            )


# ------------------------------------------------------------------ what holds others


def _edges(_: Edges, raw: Any, key: str, ground: Ground) -> tuple[tuple[str, EdgeKind], ...]:
    if not isinstance(raw, dict):
        _wrong_type(raw, key, "a table of walls", 'write { "D-A" = "curb" }')
    edges = []
    for wall, kind in raw.items():
        check_wall(wall, ground.corners, under(key, wall))
        edges.append((wall, _choice(Choice(EdgeKind), kind, under(key, wall), ground)))
    return tuple(edges)


def _pair(kind: Pair, raw: Any, key: str, ground: Ground) -> tuple[Any, Any]:
    if not isinstance(raw, list) or len(raw) != 2:
        _wrong_type(
            raw, key, f"a pair of lengths ({' and '.join(kind.names)})", 'write it as ["60 in", "36 in"]'
        )
    first, second = (_measure(kind.item, item, f"{key}[{i}]", ground) for i, item in enumerate(raw))
    return first, second


def _many(kind: Many, raw: Any, key: str, ground: Ground) -> tuple[Any, ...]:
    if not isinstance(raw, list):
        _wrong_type(
            raw, key, f"a list, each item {kind.singular}", f"write [[{key}]] above each, or a list in [ ]"
        )
    if len(raw) > kind.most:
        raise JobError(key, Unquoted(f"{len(raw)} items"), "these are too many", f"give at most {kind.most}")
    return tuple(read(kind.item, item, f"{key}[{i}]", ground) for i, item in enumerate(raw))


def _table(kind: Table, raw: Any, key: str, ground: Ground) -> Any:
    if not isinstance(raw, dict):
        _wrong_type(raw, key, "a table of keys", f"write [{key}] on a line of its own, and its keys below")
    _refuse_unknown(raw, kind, key)
    if kind.make is Outline:
        return _outline(kind, raw, key, ground)
    values = _values(kind, raw, key, ground)
    _refuse_missing(raw, [field.key for field in kind.fields if field.required], key)
    made = kind.make(**values)
    check_whole(made, key)
    return made


def _values(kind: Table, raw: dict[str, Any], key: str, ground: Ground) -> dict[str, Any]:
    return {
        field.attr: read(field.kind, raw[field.key], under(key, field.key), ground)
        for field in kind.fields
        if field.key in raw
    }


def _outline(kind: Table, raw: dict[str, Any], key: str, ground: Ground) -> Outline:
    forms = [form for form in OUTLINE_FORMS if form in raw]
    if len(forms) > 1:
        raise JobError(
            key, Unquoted(" and ".join(forms)), "an outline has only one form", f"keep one of {key}'s forms"
        )
    sides = raw.get("rectangle")
    if isinstance(sides, list) and len(sides) == 2 and "" in sides:
        return _half_outline(kind, raw, key, ground)
    outline = Outline(**_values(kind, raw, key, ground))
    check_whole(outline, key)
    return outline


def _half_outline(kind: Table, raw: dict[str, Any], key: str, ground: Ground) -> Outline:
    """An outline of which one side of the rectangle is not known yet, written as an empty text."""
    rest = {name: value for name, value in raw.items() if name != "rectangle"}
    side = next(field.kind for field in kind.fields if isinstance(field.kind, Pair)).item
    first, second = (
        None if item == "" else _measure(side, item, f"{key}.rectangle[{i}]", ground)
        for i, item in enumerate(raw["rectangle"])
    )
    half = None if first is None and second is None else (first, second)
    return Outline(**_values(kind, rest, key, ground), half_rectangle=half)


def check_whole(made: Any, key: str) -> None:
    """What the keys of one table have to keep to together. Raises JobError."""
    if isinstance(made, Drain):
        _check_drain(made, key)
    elif isinstance(made, Bed):
        _check_depths(made, key)
    elif isinstance(made, Tape) and made.start == made.end:
        raise JobError(f"{key}.to", made.end, "the tape starts and ends at one corner", "name two corners")


def _check_drain(drain: Drain, key: str) -> None:
    has_ends = drain.start is not None or drain.end is not None
    if drain.at is not None and (has_ends or drain.kind is DrainKind.CHANNEL):
        raise JobError(
            f"{key}.at",
            Unquoted("a place"),
            "a channel lies between two places",
            "give from and to instead of at",
        )
    if has_ends and drain.kind not in (DrainKind.CHANNEL, None):
        name = "from" if drain.start is not None else "to"
        raise JobError(
            f"{key}.{name}",
            Unquoted("a place"),
            f"a {drain.kind} drain has one place",
            "give at instead of from and to",
        )


def _check_depths(bed: Bed, key: str) -> None:
    if bed.least_depth and bed.most_depth and bed.least_depth.value > bed.most_depth.value:
        raise JobError(
            f"{key}.most_depth",
            bed.most_depth.text,
            f"this is less than the least depth, {bed.least_depth.text}",
            "correct one of the two",
        )


_READERS: dict[type, Callable[..., Any]] = {
    Measure: _measure,
    Choice: _choice,
    Flag: _flag,
    Words: _words,
    Day: _day,
    CornerName: _corner_name,
    Spot: _place,
    Edges: _edges,
    Pair: _pair,
    Many: _many,
    Table: _table,
}

# ------------------------------------------------------------------ refusals


def _refuse_unknown(raw: dict[str, Any], kind: Table, key: str) -> None:
    known = [field.key for field in kind.fields]
    for name in raw:
        if name not in known:
            _unknown(under(key, name), name, raw[name], known)


def _unknown(path: str, name: str, value: Any, known: Iterable[str]) -> NoReturn:
    raise JobError(
        path, display(value), "there is no such key", _nearest(name, list(known), "the keys here are")
    )


def _nearest(word: str, known: list[str], otherwise: str) -> str:
    near = get_close_matches(word[:_LONGEST_KEY].lower(), known, n=1)
    return f"did you mean {near[0]}?" if near else f"{otherwise} {', '.join(known)}"


def _wrong_type(raw: Any, key: str, wanted: str, remedy: str) -> NoReturn:
    raise JobError(key, display(raw), f"this is {_type_in_words(raw)} and has to be {wanted}", remedy)


def _type_in_words(raw: Any) -> str:
    words = {
        bool: "true or false",
        str: "text",
        dict: "a table",
        dt.datetime: "a date with a time",
        dt.date: "a date",
    }
    if isinstance(raw, list):
        return f"a list of {len(raw)}"
    return words.get(type(raw), "a time" if isinstance(raw, dt.time) else "a number")


def display(raw: Any) -> Any:
    """A raw value as an error may show it: never nested, never endless."""
    if isinstance(raw, bool):
        return Unquoted(str(raw).lower())
    if isinstance(raw, dict):
        return Unquoted("{...}")
    if isinstance(raw, list):
        return Unquoted("[...]")
    if isinstance(raw, int) and abs(raw) > _LARGEST_SHOWN:
        return Unquoted("(a huge number)")
    return raw
