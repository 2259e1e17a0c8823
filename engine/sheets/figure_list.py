"""Every number of the JSON by its path, a lasting name, and how it reads."""

import re
from collections.abc import Iterator
from math import isclose, nan
from typing import Any

from ..errors import QuantityError
from ..job.entry_list import Entry, entries
from ..job.model import Job
from ..job.rule_figures import Figure
from ..limits.rulebook import Rulebook
from ..quantities import (
    CUBIC_FOOT,
    FOOT,
    INCH,
    LITRE,
    POUND,
    PSF,
    Dimension,
    Units,
    format_quantity,
    has_unit,
    parse,
    round_down,
    round_up,
)
from ..records import record

_NAMES = ("name", "at", "wall", "item", "edge")  # what a listed thing is known by
_NO_FIGURES = ("format", "sources", "own_figures")  # what no plan tells of its floor
_GUARD = 1e-6  # of a step
_PERCENT = r"(guessed|chance)$"  # told in whole percents
_STEPS: dict[Dimension, dict[Units, float]] = {  # what figures are told to, in the units inside
    Dimension.LENGTH: Units.pair(INCH / 32, 0.1),
    Dimension.FALL: Units.pair(1 / 12_000, 1e-4),  # 0.001 in/ft, 0.01 %
    Dimension.AREA: Units.pair(FOOT**2 / 100, 1e4),
    Dimension.VOLUME: Units.pair(CUBIC_FOOT / 100, LITRE / 10),
    Dimension.MASS: Units.pair(POUND / 10, 0.1),
    Dimension.LOAD: Units.pair(PSF / 10, 0.01),
    Dimension.ANGLE: dict.fromkeys(Units, 0.1),
    Dimension.SHARE: dict.fromkeys(Units, 0.001),
    Dimension.NUMBER: dict.fromkeys(Units, 1e-4),
}
_ROUNDED = (  # path ends of figures not told to the nearest step; how; half the JSON's last digit
    ("least_depth.depth", round_down, 5e-4),
    ("most_depth.depth", round_up, -5e-4),
    ("longest_run", round_up, -5e-4),
    ("least_fall", round_down, 5e-7),
    ("most_fall", round_up, -5e-7),
    ("chance", round_up, -5e-7),
)
_KINDS = (  # by a path's end; a length where none fits
    (r"\.[xy]$", Dimension.LENGTH),
    (r"(area|catchments\[\d+\])$", Dimension.AREA),
    (r"(volume|ordered|mortar\.bed|mortar\.upper_bed|yield)$", Dimension.VOLUME),
    (r"(_fall|(hand|falls)\[[^\]]*\]\.fall)$", Dimension.FALL),
    (r"(mass|weight|\.dry|mix\.bag|slurry_cement|water\.(least|most))$", Dimension.MASS),
    (r"^load\.|ways\[[^\]]*\]\.load$", Dimension.LOAD),
    (r"(miters|saw)\[\d+\]$|bevel$", Dimension.ANGLE),
    (r"(guessed|waste|chance|share|shares\[\d+\])$", Dimension.SHARE),
    (r"(quantity|bags|exact|count|courses|sheets|fasteners|number|bound|ponds|oddness|simulated)$", Dimension.NUMBER),
    (r"^own_figures|(price|cost|total)$", Dimension.NUMBER),
    (r"(parts?|row|sheet|days?|hours|waits|value|format)$", Dimension.NUMBER),
    (r"(^ridges\[[^\]]*\]\.drains\[\d+\]|\.drain|stations\[[^\]]*\]\.reading)$", Dimension.NUMBER),
)
_PLAIN_UNITS = {  # those of the JSON
    Dimension.LENGTH: "mm",
    Dimension.AREA: "mm2",
    Dimension.VOLUME: "mm3",
    Dimension.MASS: "kg",
    Dimension.LOAD: "kPa",
    Dimension.ANGLE: "degrees",
}


@record
class PlanFigure:
    """A number, true or false of the JSON: "marks[0].above_drain", or "marks[A].above_drain"."""

    path: str
    name: str
    value: float


def plan_figures(whole: Any, path: str = "", name: str = "") -> Iterator[PlanFigure]:
    """Every number, in the JSON's order."""
    if isinstance(whole, dict):
        for key, item in whole.items():
            yield from plan_figures(item, f"{path}.{key}".lstrip("."), f"{name}.{key}".lstrip("."))
    elif isinstance(whole, list):
        for number, (label, item) in enumerate(zip(_labels(whole), whole, strict=True)):
            yield from plan_figures(item, f"{path}[{number}]", f"{name}[{label}]")
    elif isinstance(whole, int | float):
        yield PlanFigure(path, name, whole)


def figures_reading(whole: Any, asked: str, units: Units) -> list[PlanFigure]:
    """The figures that read as asked in these units, such as "1 3/8"; places only where nothing else does.

    A figure rounded up or down may be meant.
    """
    meant = _readings_of(asked, units)
    found = [
        figure
        for figure in plan_figures({key: part for key, part in whole.items() if key not in _NO_FIGURES})
        if not isinstance(figure.value, bool) and _reads(figure, meant, units)
    ]
    return [figure for figure in found if not figure.path.endswith((".x", ".y", ".along"))] or found


def entries_reading(job: Job, asked: str) -> list[Entry]:
    """A job's entries that mean what was asked; a fall as told too."""
    meant = _readings_of(asked, job.units)
    return [
        entry
        for entry in entries(job)
        if entry.measure is not None
        and entry.value is not None
        and _means(entry.value, entry.measure.dimension, meant, job.units)
    ]


def rules_reading(book: Rulebook, asked: str, units: Units) -> list[Figure]:
    """A rulebook's figures, or those in their place, that mean what was asked; a fall as told too."""
    meant = _readings_of(asked, units)
    return [
        figure
        for figure in Figure
        if (limit := book.find(figure)) and figure.dimension and _means(limit.value, figure.dimension, meant, units)
    ]


def _means(value: float, kind: Dimension, meant: dict[Dimension, float], units: Units) -> bool:
    told = _STEPS[kind][units] * (1 - _GUARD) if kind is Dimension.FALL else 0.0
    return isclose(value, meant.get(kind, nan), rel_tol=_GUARD, abs_tol=told)


def _readings_of(asked: str, units: Units) -> dict[Dimension, float]:
    kinds = _STEPS if has_unit(asked) else (Dimension.LENGTH, Dimension.NUMBER)
    return {kind: value for kind in kinds if (value := _meant(asked, kind, units)) is not None}


def _meant(asked: str, kind: Dimension, units: Units) -> float | None:
    try:
        return parse(asked, kind, units)
    except QuantityError:
        return None


def _reads(figure: PlanFigure, meant: dict[Dimension, float], units: Units) -> bool:
    kind = kind_of(figure.path)
    step = _step(figure.path, units) * (1 - _GUARD)
    return kind in meant and abs(abs(figure.value) - abs(meant[kind])) < step


def _step(path: str, units: Units) -> float:
    return 0.01 if re.search(_PERCENT, path) else _STEPS[kind_of(path)][units]


def _labels(items: list[Any]) -> list[str]:
    names = [_name(item) for item in items]
    named = [name for name in names if name]
    return named if len(set(named)) == len(items) else [str(index) for index in range(len(items))]


def _name(item: Any) -> str | None:
    if not isinstance(item, dict):
        return None
    name = next((item[key] for key in _NAMES if isinstance(item.get(key), str)), None)
    return f"{name} {item['along']}" if name and "along" in item else name


def kind_of(path: str) -> Dimension:
    """The kind of figure at a path of the JSON."""
    return next((kind for pattern, kind in _KINDS if re.search(pattern, path)), Dimension.LENGTH)


def figure_words(value: float, path: str, units: Units) -> str:
    """The figure at a path in the job's units, rounded as in the plan as text."""
    for ending, rounded, noise in _ROUNDED:
        if path.endswith(ending):
            value = rounded(value + noise, _step(path, units))
    return format_quantity(value, kind_of(path), units)


def plain_unit(path: str) -> str:
    """The JSON's unit of a path's figure; "" for a plain number or a ratio."""
    return _PLAIN_UNITS.get(kind_of(path), "")
