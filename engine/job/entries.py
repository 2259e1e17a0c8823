"""Single entries of a job: raw values become figures, words, dates or places, or a JobError."""

import datetime as dt
import re
from collections.abc import Callable
from decimal import Decimal
from typing import Any

from ..errors import JobError, QuantityError
from ..phrases import joined, phrase
from ..quantities import INCH, Dimension, Units, format_length, format_quantity, has_unit, parse, round_down, round_up
from ..records import record
from ..signs import plain_signs
from .kinds import Choice, CornerName, Day, Flag, Measure, Price, Spot, Words
from .lettering import check_corner, check_wall, may_mean_wall
from .model import AtCorner, AtOffsets, AtPoint, AtWall, Place, Priced, Typed
from .refusals import Unquoted, display, nearest, refuse_missing, refuse_others, under, wrong_type
from .schema import COORDINATE, OFFSET

_METRE = 1000.0  # [mm] shorter bounds are told to 1/16 in or 0.1 mm
_PRICE = phrase("write a number such as 12.50, for one of it")
_LIKE_DATE = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)
_PRICE_TEXT = re.compile(r"[+-]?\d{1,12}(?:[.,]\d{1,6})?", re.ASCII)
_PLACES = phrase(
    "write {places}",
    places=phrase(
        'a corner such as "B", {{ wall = "A-B", along = "18 in" }}, {{ "A-B" = "12 in", "B-C" = "8 in" '
        '}} or {{ x = "12 in", y = "8 in" }}'
    ),
)


@record
class Ground:
    """What is known of the job around an entry: its units, its number of corners (None: unknown)."""

    units: Units = Units.INCH
    corners: int | None = None


def read_measure(kind: Measure, raw: Any, key: str, ground: Ground) -> Typed:
    """A figure with or without its unit, as typed and as meant."""
    if isinstance(raw, bool) or not isinstance(raw, (str, int, float)):
        wrong_type(raw, key, kind.dimension.one, phrase("write a number, or text between quotes"))
    try:
        value = parse(raw, kind.dimension, ground.units)
    except QuantityError as error:
        raise JobError(key, display(raw), error.fault, error.remedy) from None
    _check_bounds(kind, value, raw, key, ground.units)
    return Typed(raw, value)


def _check_bounds(kind: Measure, value: float, raw: Any, key: str, units: Units) -> None:
    if value < kind.least or (kind.above and value == kind.least):
        fault = phrase(
            "must be more than {bound}" if kind.above else "must be at least {bound}",
            bound=_bound_words(kind, kind.least, units, round_up),
        )
    elif value > kind.most or (kind.below and value == kind.most):
        fault = phrase(
            "must be less than {bound}" if kind.below else "must be at most {bound}",
            bound=_bound_words(kind, kind.most, units, round_down),
        )
    else:
        return
    raise JobError(key, display(raw), fault, _bound_remedy(kind, raw, units))


def _bound_words(kind: Measure, bound: float, units: Units, rounded: Callable[[float, float], float]) -> str:
    if bound == 0:
        return "0"
    if kind.dimension is not Dimension.LENGTH:
        return format_quantity(bound, kind.dimension, units)
    if units is Units.MM and abs(bound) >= _METRE:
        return f"{bound / _METRE:g} m"
    step = INCH if abs(bound) >= _METRE else INCH / 16
    return format_length(rounded(bound, step) if units is Units.INCH else bound, units)


def _bound_remedy(kind: Measure, raw: Any, units: Units) -> str:
    text = str(raw).strip()
    if kind.dimension is Dimension.LENGTH and units is Units.INCH and not has_unit(text):
        millimetres = parse(raw, kind.dimension, Units.MM)
        if kind.least <= millimetres <= kind.most and millimetres:
            return phrase('write "{text} mm" if millimetres are meant', text=text)
    return phrase("check the figure and its unit")


def read_choice(kind: Choice, raw: Any, key: str, _: Ground) -> Any:
    """One of the words that the kind knows."""
    known = [word.value for word in kind.words]
    if not isinstance(raw, str):
        wrong_type(raw, key, phrase("one of a few words"), phrase("write one of {known}", known=joined(", ", known)))
    if raw not in known:
        raise JobError(key, raw, phrase("this word is not known here"), nearest(raw, known, phrase("write one of")))
    return kind.words(raw)


def _flag(_: Flag, raw: Any, key: str, __: Ground) -> bool:
    if not isinstance(raw, bool):
        wrong_type(raw, key, phrase("true or false"), phrase("write true or false, without quotes"))
    return raw


def _words(kind: Words, raw: Any, key: str, _: Ground) -> str:
    if not isinstance(raw, str):
        wrong_type(raw, key, phrase("text"), phrase("put it between quotes"))
    if len(raw) > kind.most:
        remedy = phrase("keep it within {most}", most=kind.most)
        raise JobError(key, raw, phrase("{number} characters are too many", number=len(raw)), remedy)
    return raw


def _price(kind: Price, raw: Any, key: str, _: Ground) -> Priced:
    if isinstance(raw, bool) or not isinstance(raw, (str, int, float)):
        wrong_type(raw, key, phrase("a price"), _PRICE)
    text = plain_signs(raw).strip() if isinstance(raw, str) else repr(raw)
    match = _PRICE_TEXT.fullmatch(text)
    if match is None:
        raise JobError(key, display(raw), phrase("this is no plain number"), _PRICE)
    each = Decimal(text.replace(",", "."))
    if each < 0:
        raise JobError(key, display(raw), phrase("a price cannot be negative"), _PRICE)
    if each > kind.most:
        raise JobError(key, display(raw), phrase("must be at most {most}", most=kind.most), phrase("check the price"))
    return Priced(raw, each)


def _day(kind: Day, raw: Any, key: str, _: Ground) -> dt.date:
    if isinstance(raw, str):
        _check_date(raw, key)
    if not isinstance(raw, dt.date) or isinstance(raw, dt.datetime):
        wrong_type(raw, key, phrase("a date"), phrase("write it as 2027-03-08, without quotes and without a time"))
    if not kind.first_year <= raw.year <= kind.last_year:
        remedy = phrase("give a date from {first} to {last}", first=kind.first_year, last=kind.last_year)
        raise JobError(key, raw, phrase("the year cannot be meant"), remedy)
    return raw


def _check_date(raw: str, key: str) -> None:
    if not _LIKE_DATE.fullmatch(raw.strip()):
        raise JobError(key, raw, phrase("this is no date"), phrase("write year, month, day: 2027-03-08"))
    try:
        dt.date.fromisoformat(raw.strip())
    except ValueError:
        remedy = phrase("check it; a date is written as 2027-03-08")
        raise JobError(key, raw, phrase("there is no such date"), remedy) from None


def _corner_name(_: CornerName, raw: Any, key: str, ground: Ground) -> str:
    if not isinstance(raw, str):
        wrong_type(raw, key, phrase("a corner"), phrase('write its letter between quotes, such as "B"'))
    check_corner(raw, ground.corners, key)
    return raw


def _place(_: Spot, raw: Any, key: str, ground: Ground) -> Place:
    if isinstance(raw, str):
        check_corner(raw, ground.corners, key)
        return AtCorner(raw)
    if not isinstance(raw, dict) or not raw:
        wrong_type(raw, key, phrase("a place"), _PLACES)
    if raw.keys() & {"x", "y"}:
        refuse_others(raw, ("x", "y"), key)
        refuse_missing(raw, ("x", "y"), key)
        return AtPoint(*(read_measure(COORDINATE, raw[name], f"{key}.{name}", ground) for name in ("x", "y")))
    if raw.keys() & {"wall", "along", "off"}:
        return _at_wall(raw, key, ground)
    return _at_offsets(raw, key, ground)


def _at_wall(raw: dict[str, Any], key: str, ground: Ground) -> AtWall:
    refuse_others(raw, ("wall", "along", "off"), key)
    wall, off = raw.get("wall", ""), raw.get("off")
    if not isinstance(wall, str):
        wrong_type(wall, f"{key}.wall", phrase("a wall"), phrase('name it between quotes, such as "A-B"'))
    refuse_missing(raw, ("wall", "along"), key)
    check_wall(wall, ground.corners, f"{key}.wall")
    along = read_measure(OFFSET, raw["along"], f"{key}.along", ground)
    return AtWall(wall, along, None if off is None else read_measure(OFFSET, off, f"{key}.off", ground))


def _at_offsets(raw: dict[str, Any], key: str, ground: Ground) -> AtOffsets:
    for name, value in raw.items():
        if not may_mean_wall(name):
            raise JobError(under(key, name), display(value), phrase("this is no part of a place"), _PLACES)
        check_wall(name, ground.corners, under(key, name), display(value))
    if len(raw) != 2:
        raise JobError(key, Unquoted(", ".join(raw)), phrase("a place is fixed by two walls"), _PLACES)
    first, second = (read_measure(OFFSET, value, under(key, name), ground) for name, value in raw.items())
    first_wall, second_wall = raw
    return AtOffsets(first_wall, first, second_wall, second)


ENTRY_READERS: dict[type, Callable[..., Any]] = {
    Measure: read_measure,
    Choice: read_choice,
    Flag: _flag,
    Words: _words,
    Day: _day,
    CornerName: _corner_name,
    Spot: _place,
    Price: _price,
}
