"""Figures and places as findings say them: in the job's units, rounded to the safe side."""

from collections.abc import Callable

from ..phrases import phrase
from ..quantities import (
    FOOT,
    INCH,
    Units,
    format_area,
    format_fall,
    format_length,
    format_quantity,
    in_steps,
    round_down,
    round_up,
)
from .rulebook import Figure, Limit, Origin

_FINE = Units.pair(INCH / 32, 0.1)
_WORKED = Units.pair(INCH / 16, 1.0)
_FALL_STEPS = Units.pair((1 / 192, 1 / 12_000), (1e-4,))  # 1/16 in/ft, 0.001 in/ft; 0.01 %


# What is too small is rounded down and what is too large up, so that it still reads so.
length_under = in_steps(format_length, round_down, INCH / 32, 0.1)  # [mm]
length_over = in_steps(format_length, round_up, INCH / 32, 0.1)
worked = in_steps(format_length, round_up, INCH / 16, 1.0)  # to work by
area_under = in_steps(format_area, round_down, FOOT**2 / 100, 1e4)  # [mm2]
area_more = in_steps(format_area, round_up, FOOT**2 / 100, 1e4)


def fine(units: Units) -> float:
    """The finest step lengths are told in [mm]: 1/32 in or 0.1 mm."""
    return _FINE[units]


def enough(mm: float, units: Units) -> float:
    """A length [mm] to work by: the next whole 1/16 in or 1 mm up."""
    return round_up(mm, _WORKED[units])


def nearly(mm: float, units: Units) -> str:
    """A length [mm] to the nearest 1/16 in or 1 mm."""
    return format_length(mm, units, _WORKED[units])


def higher(mm: float, units: Units) -> str:
    """How much one height is over another, or below it if negative [mm]."""
    return phrase("{off} higher" if mm > 0 else "{off} lower", off=format_length(abs(mm), units))


def higher_than(mm: float, units: Units) -> str:
    """The same, to the nearest 1/16 in or 1 mm, before what it is over."""
    return phrase("{off} higher than" if mm > 0 else "{off} lower than", off=nearly(abs(mm), units))


def drain_words(i: int, count: int) -> str:
    """A drain by its number from 0 among so many."""
    return phrase("the drain" if count == 1 else "drain {number}", number=i + 1)


def fall_under(ratio: float, units: Units) -> str:
    """A fall [-] that is too low, rounded down as little as can be."""
    return format_fall(max(round_down(ratio, step) for step in _FALL_STEPS[units]), units)


def fall_over(ratio: float, units: Units) -> str:
    """A fall [-] that is too steep, rounded up likewise."""
    return format_fall(told_over(ratio, units), units)


def told_over(ratio: float, units: Units) -> float:
    """That fall as it is told [-]."""
    return min(round_up(ratio, step) for step in _FALL_STEPS[units])


def _limit_in(told: Callable[[float, Units], str]) -> Callable[[Limit, Units], str]:
    def words(limit: Limit, units: Units) -> str:
        shown = told(limit.value, units)
        return shown if limit.origin is Origin.OWN else _beside_written(shown, limit)

    return words


limit_length, limit_fall, limit_area = _limit_in(format_length), _limit_in(format_fall), _limit_in(format_area)


def figure_words(figure: Figure, limit: Limit, units: Units) -> str:
    """A rulebook's figure in the job's units, and as written if that reads otherwise."""
    if figure.dimension is None:
        return limit.text
    return _beside_written(format_quantity(limit.value, figure.dimension, units), limit)


def _beside_written(shown: str, limit: Limit) -> str:
    return shown if shown == limit.text else phrase("{limit} ({written})", limit=shown, written=limit.text)
