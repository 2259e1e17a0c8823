"""Figures of the work as people read them: in the job's units, rounded up, so that there is enough of everything."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache
from typing import Final

from engine.phrases import counted_phrase, joined, phrase
from engine.quantities import (
    CUBIC_FOOT,
    FOOT,
    INCH,
    LITRE,
    POUND,
    PSF,
    Units,
    format_area,
    format_length,
    format_load,
    format_mass,
    format_volume,
    round_down,
    round_up,
)

_LENGTH_STEP = {Units.INCH: INCH / 16, Units.MM: 1.0}
_VOLUME_STEP = {Units.INCH: CUBIC_FOOT / 100, Units.MM: LITRE / 10}
_MASS_STEP = {Units.INCH: POUND, Units.MM: 1.0}
_FINE_MASS_STEP = {Units.INCH: POUND / 10, Units.MM: 0.1}
_LOAD_STEP = {Units.INCH: PSF / 10, Units.MM: 0.01}
_AREA_STEP = {Units.INCH: FOOT**2 / 100, Units.MM: 1e4}
_KEPT = 256  # texts of figures remembered
_FEW_DAYS = 72.0  # [h] up to here, hours are told as hours


@lru_cache(maxsize=_KEPT)
def length_over(mm: float, units: Units) -> str:
    """A length [mm], rounded up to 1/16 in or 1 mm."""
    return format_length(round_up(mm, _LENGTH_STEP[units]), units)


@lru_cache(maxsize=_KEPT)
def length_under(mm: float, units: Units) -> str:
    """A length [mm], rounded down to 1/16 in or 1 mm."""
    return format_length(round_down(mm, _LENGTH_STEP[units]), units)


@lru_cache(maxsize=_KEPT)
def volume_over(mm3: float, units: Units) -> str:
    """A volume [mm3], rounded up to 0.01 cu ft or 0.1 L."""
    return format_volume(round_up(mm3, _VOLUME_STEP[units]), units)


@lru_cache(maxsize=_KEPT)
def mass_over(kg: float, units: Units) -> str:
    """A mass [kg], rounded up to whole pounds or kilograms."""
    return format_mass(round_up(kg, _MASS_STEP[units]), units)


@lru_cache(maxsize=_KEPT)
def mass_under(kg: float, units: Units) -> str:
    """A mass [kg], rounded down to whole pounds or kilograms."""
    return format_mass(round_down(kg, _MASS_STEP[units]), units)


@lru_cache(maxsize=_KEPT)
def fine_mass_over(kg: float, units: Units) -> str:
    """A mass [kg], rounded up to 0.1 lb or 0.1 kg."""
    return format_mass(round_up(kg, _FINE_MASS_STEP[units]), units)


@lru_cache(maxsize=_KEPT)
def fine_mass_under(kg: float, units: Units) -> str:
    """A mass [kg], rounded down to 0.1 lb or 0.1 kg."""
    return format_mass(round_down(kg, _FINE_MASS_STEP[units]), units)


@lru_cache(maxsize=_KEPT)
def area_over(mm2: float, units: Units) -> str:
    """An area [mm2], rounded up to 0.01 sq ft or 0.01 m2."""
    return format_area(round_up(mm2, _AREA_STEP[units]), units)


@lru_cache(maxsize=_KEPT)
def load_over(kpa: float, units: Units) -> str:
    """A load [kPa] in the job's units and in the others, each rounded up: "24.3 psf (1.17 kPa)"."""
    return _load(kpa, units, round_up)


@lru_cache(maxsize=_KEPT)
def load_under(kpa: float, units: Units) -> str:
    """A load [kPa] in the job's units and in the others, each rounded down."""
    return _load(kpa, units, round_down)


def _load(kpa: float, units: Units, rounded: Callable[[float, float], float]) -> str:
    order = (Units.INCH, Units.MM) if units is Units.INCH else (Units.MM, Units.INCH)
    shown = [format_load(rounded(kpa, _LOAD_STEP[each]), each) for each in order]
    return f"{shown[0]} ({shown[1]})"


@lru_cache(maxsize=_KEPT)
def time_words(hours: float) -> str:
    """A time [h]: "15 min", "24 h", "7 days"."""
    if hours < 1:
        return f"{round(hours * 60)} min"
    if hours > _FEW_DAYS and hours % 24 == 0:
        return phrase("{days} days", days=round(hours / 24))
    return f"{hours:g} h"


@lru_cache(maxsize=_KEPT)
def counted(count: int, one: str) -> str:
    """A count with its noun: "1 bag", "3 bags"; KeyError for a noun that nothing is counted by."""
    return _NOUNS[one](count)


def listed(words: Sequence[str]) -> str:
    """Words as one list: "A", "A and B", "A, B and C"."""
    if len(words) < 2:
        return joined("", words)
    return phrase("{others} and {last}", others=joined(", ", words[:-1]), last=words[-1])


_NOUNS: Final[Mapping[str, Callable[[int], str]]] = {
    "bag": lambda n: counted_phrase("{number} bag", "{number} bags", n),
    "batch": lambda n: counted_phrase("{number} batch", "{number} batches", n),
    "board": lambda n: counted_phrase("{number} board", "{number} boards", n),
    "course": lambda n: counted_phrase("{number} course", "{number} courses", n),
    "piece": lambda n: counted_phrase("{number} piece", "{number} pieces", n),
    "portion": lambda n: counted_phrase("{number} portion", "{number} portions", n),
    "box": lambda n: counted_phrase("{number} box", "{number} boxes", n),
    "handful": lambda n: counted_phrase("{number} handful", "{number} handfuls", n),
    "roll": lambda n: counted_phrase("{number} roll", "{number} rolls", n),
    "sheet": lambda n: counted_phrase("{number} sheet", "{number} sheets", n),
    "strip": lambda n: counted_phrase("{number} strip", "{number} strips", n),
}
