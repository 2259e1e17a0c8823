"""Steps of a height map at round figures of the job's units, like lines on a surveyor's plan."""

import numpy as np
from numpy.typing import NDArray

from engine.limits.words import length_over, length_under
from engine.quantities import INCH, Dimension, Units, format_length
from engine.records import record
from engine.types import Array

from .map_layers import felt_fall
from .ramps import LEVELS, level_of

_PER_FOOT = 1.0 / 12.0  # a fall of 1 in/ft as a ratio
_STEPS: dict[tuple[Dimension, Units], tuple[float, ...]] = {
    (Dimension.LENGTH, Units.INCH): tuple(INCH * 2.0**k for k in range(-5, 9)),
    (Dimension.LENGTH, Units.MM): tuple(m * 10.0**k for k in range(-1, 5) for m in (1.0, 2.0, 5.0)),
    (Dimension.FALL, Units.INCH): tuple(_PER_FOOT * 2.0**k for k in range(-6, 11)),
    (Dimension.FALL, Units.MM): tuple(m * 10.0**k for k in range(-4, 3) for m in (1.0, 2.0, 5.0)),
}
_FLAT = {Dimension.LENGTH: 0.05, Dimension.FALL: 2e-5}  # [mm], [-] least and most this close are one figure
_NOISE = 0.01  # of a step: a figure this little under a limit stands on it


@record
class Bands:
    """Limits between the shades: band i goes from limits[i] to limits[i + 1]; [mm] or [-]."""

    limits: tuple[float, ...]
    least: float
    most: float
    step: float
    dimension: Dimension
    units: Units

    @property
    def count(self) -> int:
        """How many bands there are."""
        return len(self.limits) - 1

    @property
    def is_flat(self) -> bool:
        """Whether least and most are one figure."""
        return self.most - self.least < _FLAT[self.dimension]

    def level(self, band: int) -> int:
        """The ramp's level for a band."""
        return level_of(band, self.count)

    def levels(self, values: Array) -> NDArray[np.int16]:
        """The ramp's level for each value (k,); -1 for not a number."""
        known = np.isfinite(values)
        steps = np.floor((np.where(known, values, self.least) - self.limits[0]) / self.step + _NOISE)
        band = np.clip(steps, 0, self.count - 1).astype(int)
        table = np.array([self.level(i) for i in range(self.count)], dtype=np.int16)
        return np.where(known, table[band], np.int16(-1))

    def text(self, value: float) -> str:
        """A figure in the job's units."""
        told = felt_fall if self.dimension is Dimension.FALL else format_length
        return told(value, self.units)

    @property
    def least_text(self) -> str:
        """The least figure, a length rounded down as all over the plan."""
        return self.text(self.least) if self._is_told_near else length_under(self.least, self.units)

    @property
    def most_text(self) -> str:
        """The most figure, a length rounded up as all over the plan."""
        return self.text(self.most) if self._is_told_near else length_over(self.most, self.units)

    @property
    def _is_told_near(self) -> bool:
        return self.dimension is Dimension.FALL or self.is_flat

    def number(self, value: float) -> str:
        """A figure without its unit."""
        return bare(self.text(value))


def bare(text: str) -> str:
    """A figure's text without its unit."""
    return text.rsplit(" ", 1)[0]


def bands(least: float, most: float, dimension: Dimension, units: Units) -> Bands:
    """At most six bands between round figures that hold all from least to most [mm] or [-]."""
    if most - least < _FLAT[dimension]:
        return Bands((least, most), least, most, 1.0, dimension, units)
    for step in _STEPS[dimension, units]:
        first = int(np.floor(least / step + _NOISE))
        last = max(int(np.ceil(most / step - _NOISE)), first + 1)
        if last - first <= LEVELS:
            break
    limits = tuple(step * k for k in range(first, last + 1))
    return Bands(limits, least, most, step, dimension, units)
