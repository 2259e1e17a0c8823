"""The work's figures as people read them: rounded up, to have enough."""

from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache
from typing import Final

from ..phrases import counted_phrase, joined, phrase
from ..quantities import (
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
    in_steps,
    round_down,
    round_up,
)

_QUART = 0.946352946  # [kg] of water
_FEW_DAYS = 72.0  # [h] up to here told as hours

length_over = in_steps(format_length, round_up, INCH / 16, 1.0)  # [mm]
length_under = in_steps(format_length, round_down, INCH / 16, 1.0)
fine_length_over = in_steps(format_length, round_up, INCH / 32, 0.1)
volume_over = in_steps(format_volume, round_up, CUBIC_FOOT / 100, LITRE / 10)  # [mm3]
volume_under = in_steps(format_volume, round_down, CUBIC_FOOT / 100, LITRE / 10)
mass_over = in_steps(format_mass, round_up, POUND, 1.0)  # [kg]
mass_under = in_steps(format_mass, round_down, POUND, 1.0)
fine_mass_over = in_steps(format_mass, round_up, POUND / 10, 0.1)
fine_mass_under = in_steps(format_mass, round_down, POUND / 10, 0.1)
area_over = in_steps(format_area, round_up, FOOT**2 / 100, 1e4)  # [mm2]
_load_over = in_steps(format_load, round_up, PSF / 10, 0.01)  # [kPa]
_load_under = in_steps(format_load, round_down, PSF / 10, 0.01)


def water_words(least: float, most: float, units: Units) -> str:
    """Water [kg] in words, in an inch job in quarts too (1 kg is 1 L): "12 lb to 16 lb (5.7 to 7.6 qt)"."""
    told = phrase("{low} to {high}", low=fine_mass_under(least, units), high=fine_mass_under(most, units))
    if units is Units.MM:
        return told
    low, high = (f"{round_down(mass / _QUART, 0.1):.1f}" for mass in (least, most))
    return phrase("{weight} ({low} to {high} qt)", weight=told, low=low, high=high)


@lru_cache(maxsize=256)
def load_over(kpa: float, units: Units) -> str:
    """A load [kPa] in the job's units and the others, each rounded up: "24.3 psf (1.17 kPa)"."""
    return f"{_load_over(kpa, units)} ({_load_over(kpa, units.other)})"


@lru_cache(maxsize=256)
def load_under(kpa: float, units: Units) -> str:
    """The same, each rounded down."""
    return f"{_load_under(kpa, units)} ({_load_under(kpa, units.other)})"


@lru_cache(maxsize=256)
def time_words(hours: float) -> str:
    """A time [h]: "15 min", "24 h", "7 days"."""
    if hours < 1:
        return f"{round(hours * 60)} min"
    if hours > _FEW_DAYS and hours % 24 == 0:
        return phrase("{days} days", days=round(hours / 24))
    return f"{hours:g} h"


@lru_cache(maxsize=256)
def counted(count: int, one: str) -> str:
    """A count with its noun: "1 bag", "3 bags"; KeyError for another noun."""
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
