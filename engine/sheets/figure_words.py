"""A figure of the plan as JSON in words: what kind it is, by its path, and how it reads in the job's units."""

from __future__ import annotations

import re

from engine.quantities import Dimension, Units, format_quantity

_KINDS = (  # what a figure is, by the end of its path; a length where none fits
    (re.compile(r"\.[xy]$"), Dimension.LENGTH),
    (re.compile(r"(area|catchments\[\d+\])$"), Dimension.AREA),
    (re.compile(r"(volume|ordered|mortar\.bed|mortar\.upper_bed|yield)$"), Dimension.VOLUME),
    (re.compile(r"(_fall|(hand|falls)\[[^\]]*\]\.fall)$"), Dimension.FALL),
    (re.compile(r"(mass|weight|\.dry|mix\.bag|slurry_cement|water\.(least|most))$"), Dimension.MASS),
    (re.compile(r"^load\.|ways\[[^\]]*\]\.load$"), Dimension.LOAD),
    (re.compile(r"(miters|saw)\[\d+\]$|bevel$"), Dimension.ANGLE),
    (re.compile(r"(guessed|waste|chance|share)$"), Dimension.SHARE),
    (
        re.compile(r"(quantity|bags|exact|count|courses|sheets|fasteners|number|bound|ponds|oddness|simulated)$"),
        Dimension.NUMBER,
    ),
    (re.compile(r"^own_figures|(price|cost|total)$"), Dimension.NUMBER),
    (re.compile(r"(parts?|row|sheet|days?|hours|waits|value|format)$"), Dimension.NUMBER),
    (re.compile(r"(^ridges\[[^\]]*\]\.drains\[\d+\]|\.drain|stations\[[^\]]*\]\.reading)$"), Dimension.NUMBER),
)
_PLAIN_UNITS = {  # those of the JSON
    Dimension.LENGTH: "mm",
    Dimension.AREA: "mm2",
    Dimension.VOLUME: "mm3",
    Dimension.MASS: "kg",
    Dimension.LOAD: "kPa",
    Dimension.ANGLE: "degrees",
}


def kind_of(path: str) -> Dimension:
    """What kind of figure stands at a path of the JSON, such as "marks[0].above_drain"."""
    return next((kind for pattern, kind in _KINDS if pattern.search(path)), Dimension.LENGTH)


def figure_words(value: float, path: str, units: Units) -> str:
    """The figure at a path in the job's units."""
    return format_quantity(value, kind_of(path), units)


def plain_unit(path: str) -> str:
    """The unit in which the JSON has the figure at a path; "" where it is a plain number or a ratio."""
    return _PLAIN_UNITS.get(kind_of(path), "")
