"""Figures as people read them, and the two roundings that keep a promise.

What is written here `parse` reads back to within its rounding step. Neither locale nor clock has a say.
"""

import math
from collections.abc import Callable
from fractions import Fraction
from functools import lru_cache

from .dimensions import CUBIC_FOOT, FOOT, INCH, LITRE, POUND, PSF, Dimension, Units

GUARD = 1e-8  # of a step: float noise this small makes no further one
_FINEST = 64  # the finest fraction of an inch that a tape shows


def round_up(value: float, step: float) -> float:
    """The least whole steps that are not under the value; in the value's unit."""
    return math.ceil(value / step - GUARD) * step


def round_down(value: float, step: float) -> float:
    """The most whole steps that are not over the value; in the value's unit."""
    return math.floor(value / step + GUARD) * step


def round_nearest(value: float, step: float) -> float:
    """The whole steps nearest to the value, in its unit; no limit's safe side."""
    return round(value / step) * step


@lru_cache(maxsize=1024)
def format_length(mm: float, units: Units, step: float | None = None) -> str:
    """A length [mm] to the nearest step [mm] (1/32 in or 0.1 mm where left out): "1 5/16 in", "33.3 mm"."""
    if units is Units.MM:
        return f"{_trimmed(_nearest(mm, step or 0.1) * (step or 0.1), 4)} mm"
    per_inch = INCH / (step or INCH / 32)
    denominator = round(per_inch)
    if abs(per_inch - denominator) < GUARD * per_inch and denominator in (1, 2, 4, 8, 16, 32, _FINEST):
        return f"{_mixed(Fraction(_nearest(mm, INCH / denominator), denominator))} in"
    return f"{_trimmed(_nearest(mm, INCH / per_inch) / per_inch, 4)} in"


def format_fall(ratio: float, units: Units) -> str:
    """A fall [-] as "1/4 in/ft" where it is a clean fraction, else "0.271 in/ft"; in a mm job as "2.08 %".

    A figure only nearly round keeps its zeros ("2.00 %"), so that 1:48 and 2 % never look alike.
    """
    if units is Units.MM:
        return f"{_honest(ratio * 100, 2)} %"
    inches = ratio * FOOT / INCH
    sixteenths = round(inches * 16)
    if abs(inches * 16 - sixteenths) < 16 * GUARD:
        return f"{_mixed(Fraction(sixteenths, 16))} in/ft"
    return f"{_honest(inches, 3)} in/ft"


def format_area(mm2: float, units: Units) -> str:
    """An area [mm2] as "15.25 sq ft" or "1.42 m2"."""
    return f"{_trimmed(mm2 / 1e6, 2)} m2" if units is Units.MM else f"{_trimmed(mm2 / FOOT**2, 2)} sq ft"


def format_volume(mm3: float, units: Units) -> str:
    """A volume [mm3] as "1.25 cu ft" or "35.4 L"."""
    return f"{_trimmed(mm3 / LITRE, 1)} L" if units is Units.MM else f"{_trimmed(mm3 / CUBIC_FOOT, 2)} cu ft"


def format_mass(kg: float, units: Units) -> str:
    """A mass [kg] as "60 lb" or "25 kg"."""
    return f"{_trimmed(kg, 1)} kg" if units is Units.MM else f"{_trimmed(kg / POUND, 1)} lb"


def format_time(hours: float, units: Units) -> str:
    """A time [h] as "24 h", "15 min"."""
    return f"{_trimmed(hours * 60, 2)} min" if 0 < hours < 1 else f"{_trimmed(hours, 2)} h"


def format_density(density: float, units: Units) -> str:
    """A density [kg/mm3] as "94 lb per cu ft" or "1506 kg/m3"."""
    if units is Units.MM:
        return f"{_trimmed(density * 1e9, 0)} kg/m3"
    return f"{_trimmed(density * CUBIC_FOOT / POUND, 1)} lb per cu ft"


def format_angle(degrees: float, units: Units) -> str:
    """An angle [deg] as "87.5 deg"."""
    return f"{_trimmed(degrees, 1)} deg"


def format_load(kpa: float, units: Units) -> str:
    """A load [kPa] as "10 psf" or "0.48 kPa"."""
    return f"{_trimmed(kpa, 2)} kPa" if units is Units.MM else f"{_trimmed(kpa / PSF, 1)} psf"


def format_share(ratio: float, units: Units) -> str:
    """A share [-] as "10 %"."""
    return f"{_trimmed(ratio * 100, 1)} %"


def _nearest(value: float, step: float) -> int:
    return math.floor(value / step + 0.5 + GUARD)


def _mixed(value: Fraction) -> str:
    sign = "-" if value < 0 else ""
    whole, part = divmod(abs(value), 1)
    return sign + " ".join(str(x) for x in (whole, part) if x or (x is whole and not part))


def _trimmed(value: float, digits: int) -> str:
    text = f"{value:.{digits}f}".rstrip("0").rstrip(".") if digits else f"{value:.0f}"
    return "0" if text in ("-0", "") else text


def _honest(value: float, digits: int) -> str:
    """A decimal without idle zeros where exact; two digits more where it would look too round."""
    short = _trimmed(value, digits)
    if abs(float(short) - value) < GUARD:
        return short
    fixed = f"{value:.{digits}f}"
    return f"{value:.{digits + 2}f}" if fixed.endswith("0") else fixed


def _number(value: float, units: Units) -> str:
    return _trimmed(value, 4)


_FORMATS: dict[Dimension, Callable[[float, Units], str]] = {
    Dimension.LENGTH: format_length,
    Dimension.FALL: format_fall,
    Dimension.ANGLE: format_angle,
    Dimension.MASS: format_mass,
    Dimension.VOLUME: format_volume,
    Dimension.SHARE: format_share,
    Dimension.LOAD: format_load,
    Dimension.NUMBER: _number,
    Dimension.AREA: format_area,
    Dimension.TIME: format_time,
    Dimension.DENSITY: format_density,
}


def in_steps(
    form: Callable[[float, Units], str], rounded: Callable[[float, float], float], inch: float, mm: float
) -> Callable[[float, Units], str]:
    """How a figure is told rounded to a step: one in inch jobs, another in mm jobs."""
    steps = Units.pair(inch, mm)

    @lru_cache(maxsize=1024)
    def told(value: float, units: Units) -> str:
        return form(rounded(value, steps[units]), units)

    return told


def format_quantity(value: float, dimension: Dimension, units: Units) -> str:
    """Any figure by its dimension, in the job's units: the echo of what was understood."""
    return _FORMATS[dimension](value, units)
