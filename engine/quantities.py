"""The one door for measured text: what a person writes becomes a float, and back.

Text is read exactly, as a fraction, and rounded once: "1/4 in/ft" is the float nearest to 1/48. A comma is a decimal
comma; thousands' separators are refused. A bare number is a length in the job's units, an angle in degrees, or a plain
number; all else needs its unit.
"""

import math
import re
from collections.abc import Callable
from fractions import Fraction
from functools import cache, lru_cache
from typing import Any, NoReturn, TypeAlias

from .dimensions import CUBIC_FOOT, DEFINITIONS, FACTORS, FOOT, INCH, LITRE, POUND, PSF, SPELLINGS, Dimension, Units
from .errors import QuantityError, shown
from .figures import (
    format_angle,
    format_area,
    format_fall,
    format_length,
    format_load,
    format_mass,
    format_quantity,
    format_share,
    format_volume,
    in_steps,
    round_down,
    round_nearest,
    round_up,
)
from .phrases import joined, phrase
from .signs import has_unit, plain_signs

__all__ = [
    "CUBIC_FOOT",
    "FOOT",
    "INCH",
    "LITRE",
    "POUND",
    "PSF",
    "Dimension",
    "Units",
    "format_angle",
    "format_area",
    "format_fall",
    "format_length",
    "format_load",
    "format_mass",
    "format_quantity",
    "format_share",
    "format_volume",
    "has_unit",
    "in_steps",
    "parse",
    "round_down",
    "round_nearest",
    "round_up",
]

_LONGEST = 80  # characters; bounds the time of every pattern below
_LARGEST = 10**9  # bare numbers beyond it are not looked at further
_SMALLEST = 1e-6  # nothing on a site is measured finer, in any of the units inside but one
_SMALLEST_DENSITY = 1e-12  # [kg/mm3]

_NO_UNIT = phrase("the number has no unit")

Ratio: TypeAlias = tuple[int, int]
_MAY_BE_NEGATIVE = (Dimension.LENGTH, Dimension.ANGLE)
_BARE: dict[tuple[Dimension, Units], str] = {
    (Dimension.LENGTH, Units.INCH): "in",
    (Dimension.LENGTH, Units.MM): "mm",
    (Dimension.ANGLE, Units.INCH): "deg",
    (Dimension.ANGLE, Units.MM): "deg",
}

# --- units

_INSIDE = {
    Dimension.LENGTH: "millimetre",
    Dimension.FALL: "dimensionless",
    Dimension.ANGLE: "degree",
    Dimension.MASS: "kilogram",
    Dimension.VOLUME: "millimetre**3",
    Dimension.SHARE: "dimensionless",
    Dimension.LOAD: "kilopascal",
    Dimension.AREA: "millimetre**2",
    Dimension.TIME: "hour",
    Dimension.DENSITY: "kilogram / millimetre**3",
}
_WORDS = {spelling: name for name, spellings in SPELLINGS.items() for spelling in spellings.split()}
_AS_WEIGHT = {"kilogram": "kilogram_force", "pound": "pound_force"}  # lb/ft^2 and kg/m^2, when a load is meant
_UNIT_WORD = re.compile(r"(?:(cubic|cu|square|sq) ?)?([a-z]+|[\"'%°])(?: ?\^? ?([23]))? ?(/|per\b|$) ?", re.ASCII)

_FACTORS: dict[tuple[Dimension, str], Ratio] = {  # with what pint was asked for since
    (dimension, unit): factor for dimension, factors in FACTORS.items() for unit, factor in factors.items()
}


def _factor(unit: str, dimension: Dimension) -> Ratio:
    key = (dimension, unit)
    if key not in _FACTORS:
        _FACTORS[key] = _pint_factor(unit, dimension)
    return _FACTORS[key]


def _pint_factor(unit: str, dimension: Dimension) -> Ratio:
    expression = _expression(unit, dimension)
    registry, mismatch = _registry()
    try:
        factor = registry.Quantity(Fraction(1), expression).to(_INSIDE[dimension]).magnitude
    except mismatch:
        _refuse(phrase("{unit} is not a unit of {dimension}", unit=shown(unit), dimension=dimension.words), dimension)
    return Fraction(factor).as_integer_ratio()


@cache
def _registry() -> tuple[Any, type[Exception]]:
    import pint  # see FACTORS: most jobs never need it

    registry: Any = pint.UnitRegistry(None, non_int_type=Fraction, cache_folder=None)
    for line in DEFINITIONS.strip().splitlines():
        registry.define(line)
    return registry, pint.DimensionalityError


def _expression(unit: str, dimension: Dimension) -> str:
    """The unit in the registry's own words; only known words ever reach it."""
    parts, at = [], 0
    while at < len(unit):
        match = _UNIT_WORD.match(unit, at)
        if match is None:
            _unknown_unit(unit, dimension)
        kind, word, power, joint = match.groups()
        name = _WORDS.get(word) or _unknown_unit(word, dimension)
        if dimension is Dimension.LOAD:
            name = _AS_WEIGHT.get(name, name)
        power = power or {"c": "3", "s": "2"}.get((kind or " ")[0], "1")
        parts.append(f"{name}**{power}" + (" / " if joint in ("/", "per") else ""))
        at = match.end()
    return "".join(parts).removesuffix(" / ")


# --- text to float

_NUMBER = r"(?:(\d+)(?:\s+|-)(\d+)\s?/\s?(\d+)|(\d+)\s?/\s?(\d+)|(\d+[.,](?!\d)|\d*[.,]?\d+))"
_FIGURE = re.compile(_NUMBER + r"\s*(.*)", re.ASCII)
_PART = re.compile(_NUMBER + r"\s*([a-z]+|[\"'])?\.?\s*(?:-\s*(?=\d))?", re.ASCII)
_RATIO = re.compile(_NUMBER + r"\s*(?::|in\b)\s*" + _NUMBER, re.ASCII)
_RISE_PER_RUN = re.compile(r"(.*[a-z\"'])\.?\s*(?:/|\b(?:per|over)\b)\s*(.+)", re.ASCII)
_THOUSANDS = re.compile(r"\d[.,]\d+[.,]\d", re.ASCII)
_TWO_NUMBERS = re.compile(r"\d\s+[\d.,]", re.ASCII)
_EXPONENT = re.compile(r"\d\s?e\s?[-+]?\d", re.ASCII)


def parse(text: str | float, dimension: Dimension, units: Units) -> float:
    """The figure that a text, or a bare number in the job's units, stands for, in the dimension's unit inside.

    Raises QuantityError in words. A length or an angle may be negative; the job's schema refuses it where that makes no
    sense.
    """
    if isinstance(text, str):
        return _parse_text(text, dimension, units)
    return _sane(_bare(text, dimension, units), dimension)


@lru_cache(maxsize=8192)
def _parse_text(text: str, dimension: Dimension, units: Units) -> float:
    tidy = _tidied(text, dimension)
    sign = -1 if tidy[0] == "-" else 1
    top, bottom = _READERS[dimension](tidy[1:].lstrip() if tidy[0] in "+-" else tidy, dimension, units)
    return _sane(sign * top / bottom, dimension)


def _tidied(text: str, dimension: Dimension) -> str:
    if len(text) > _LONGEST:
        _refuse(phrase("{count} characters are too many for {one}", count=len(text), one=dimension.one), dimension)
    text = plain_signs(text).strip().lower().replace("''", '"')
    if not text or text in "+-":
        _refuse(phrase("nothing is written here"), dimension)
    if text[-1] == "/":
        _refuse(phrase("the fraction is not finished"), dimension)
    if "e" in text and _EXPONENT.search(text):
        _exponent()
    return text


def _length(text: str, dimension: Dimension, units: Units) -> Ratio:
    top, bottom, at, before = 0, 1, 0, None
    while at < len(text):
        match = _PART.match(text, at)
        if match is None:
            _unreadable(text, dimension)
        factor = _factor(_unit_of_part(match, text, before, units), dimension)
        part = _times(_number(match.groups(), 0, dimension), factor)
        if before is not None and part[0] * before[1] >= part[1] * before[0]:
            _refuse(phrase("the second part is as large as one of the first"), dimension)
        top, bottom = top * part[1] + part[0] * bottom, bottom * part[1]
        before, at = factor, match.end()
    return top, bottom


def _unit_of_part(match: re.Match[str], text: str, before: Ratio | None, units: Units) -> str:
    unit = match[7]
    if unit is not None:
        return unit
    if before is None and match.end() == len(text):
        return units.value
    if before == _FACTORS[Dimension.LENGTH, "ft"] and match.end() == len(text):
        return "in"  # 3' 4 is three feet and four inches
    return _unreadable(text, Dimension.LENGTH)


def _fall(text: str, dimension: Dimension, units: Units) -> Ratio:
    ratio = _RATIO.fullmatch(text)
    if ratio is not None:
        return _over(_number(ratio.groups(), 0, dimension), _number(ratio.groups(), 6, dimension), dimension)
    pair = _RISE_PER_RUN.fullmatch(text)
    if pair is None:
        return _figure(text, dimension, units)
    rise, run = pair.groups()
    return _over(_with_own_unit(rise), _with_own_unit(run if run[0].isdigit() else f"1 {run}"), dimension)


def _with_own_unit(text: str) -> Ratio:
    if not has_unit(text):
        _refuse(phrase("{text} has no unit", text=shown(text)), Dimension.FALL)
    try:
        return _length(text, Dimension.LENGTH, Units.MM)
    except QuantityError as error:
        _refuse(error.fault, Dimension.FALL)


def _figure(text: str, dimension: Dimension, units: Units) -> Ratio:
    match = _FIGURE.fullmatch(text)
    if match is None:
        _unreadable(text, dimension)
    number = _number(match.groups(), 0, dimension)
    unit = joined(" ", match[7].replace(".", " ").split())
    if not unit:
        bare = _BARE.get((dimension, units)) or _refuse(_NO_UNIT, dimension)
        return _times(number, _factor(bare, dimension))
    if unit[0] in "0123456789,/-":
        _unreadable(text, dimension)
    return _times(number, _factor(unit, dimension))


def _count(text: str, dimension: Dimension, _: Units) -> Ratio:
    match = _FIGURE.fullmatch(text)
    if match is None or match[7]:
        _unreadable(text, dimension)
    return _number(match.groups(), 0, dimension)


def _number(groups: tuple[str | None, ...], at: int, dimension: Dimension) -> Ratio:
    whole, part, of, top, bottom, decimal = groups[at : at + 6]
    if decimal is not None:
        head, _, tail = decimal.replace(",", ".").partition(".")
        return int(head + tail), 10 ** len(tail)
    if whole is None:
        return _over((int(top or 0), 1), (int(bottom or 0), 1), dimension)
    if int(of or 0) and int(part or 0) >= int(of or 0):
        _refuse(
            phrase("the fraction {part}/{of} after {whole} is not less than 1", part=part, of=of, whole=whole),
            dimension,
        )
    small = _over((int(part or 0), 1), (int(of or 0), 1), dimension)
    return int(whole) * small[1] + small[0], small[1]


def _times(a: Ratio, b: Ratio) -> Ratio:
    return a[0] * b[0], a[1] * b[1]


def _over(a: Ratio, b: Ratio, dimension: Dimension) -> Ratio:
    if b[0] == 0:
        _refuse(phrase("nothing can be divided by 0"), dimension)
    return a[0] * b[1], a[1] * b[0]


def _bare(number: float, dimension: Dimension, units: Units) -> float:
    """A number without a unit, as its shortest decimal: 40.1 and "40.1" are the same length."""
    if isinstance(number, bool):
        _refuse(phrase("{value} is not {one}", value=str(number).lower(), one=dimension.one), dimension)
    if abs(number) > _LARGEST and number not in (math.inf, -math.inf):
        _too_large(dimension)
    if not math.isfinite(number):
        _refuse(phrase("the number is not finite"), dimension)
    if dimension is not Dimension.NUMBER and (dimension, units) not in _BARE:
        _refuse(_NO_UNIT, dimension)
    top, bottom = Fraction(repr(number)).as_integer_ratio()
    factor = (1, 1) if dimension is Dimension.NUMBER else _factor(_BARE[dimension, units], dimension)
    return top * factor[0] / (bottom * factor[1])


def _sane(value: float, dimension: Dimension) -> float:
    if abs(value) > dimension.most[0]:
        _too_large(dimension)
    if value < 0 and dimension not in _MAY_BE_NEGATIVE:
        _refuse(phrase("{one} cannot be negative", one=dimension.one), dimension)
    if 0 < abs(value) < (_SMALLEST_DENSITY if dimension is Dimension.DENSITY else _SMALLEST):
        _refuse(phrase("this is too small to be measured"), dimension)
    return value + 0.0  # so that -0 is 0


_Reader: TypeAlias = "Callable[[str, Dimension, Units], Ratio]"
_READERS: dict[Dimension, _Reader] = dict.fromkeys(Dimension, _figure)
_READERS.update({Dimension.LENGTH: _length, Dimension.FALL: _fall, Dimension.NUMBER: _count})


# --- refusals


def _refuse(fault: str, dimension: Dimension) -> NoReturn:
    raise QuantityError(fault, phrase("write {one} such as {like}", one=dimension.one, like=dimension.like))


def _exponent() -> NoReturn:
    raise QuantityError(
        phrase("a number is written with an exponent"), phrase("write the number out: 1500 and not 1.5e3")
    )


def _too_large(dimension: Dimension) -> NoReturn:
    raise QuantityError(
        phrase("more than {most} cannot be meant", most=dimension.most[1]), phrase("check the number and its unit")
    )


def _unknown_unit(unit: str, dimension: Dimension) -> NoReturn:
    from difflib import get_close_matches  # only a fault asks for it

    fault = phrase("{unit} is not a unit that is known here", unit=shown(unit))
    near = get_close_matches(unit, FACTORS[dimension] if dimension is Dimension.LENGTH else _WORDS, n=1)
    if near:
        raise QuantityError(fault, phrase("did you mean {near}?", near=near[0]))
    _refuse(fault, dimension)


def _unreadable(text: str, dimension: Dimension) -> NoReturn:
    if not any(c.isdigit() for c in text):
        _refuse(phrase("there is no number in it"), dimension)
    if _THOUSANDS.search(text):
        raise QuantityError(
            phrase("a number has more than one comma or point"),
            phrase("leave thousands separators out: 1234.5 (a comma is a decimal comma)"),
        )
    if _EXPONENT.search(text):
        _exponent()
    if _TWO_NUMBERS.search(text):
        raise QuantityError(
            phrase("two numbers stand side by side with no unit between them"),
            phrase("write a fraction as 40 1/2, or a unit after each number"),
        )
    if dimension is Dimension.NUMBER and has_unit(text):
        _refuse(phrase("a plain number has no unit"), dimension)
    _refuse(phrase("this cannot be read as {one}", one=dimension.one), dimension)
