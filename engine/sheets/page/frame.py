"""From floor to paper: a drawing's scale, and where places lie on it."""

import math
from typing import Self

import numpy as np

from ...quantities import Units
from ...records import result
from ...types import Array

# Scales easily reckoned with: in inches the architect's (6, 3, 2, 1 1/2, 1, 3/4 in to the foot), and between.
_SCALES = Units.pair(
    (2, 4, 6, 8, 10, 12, 14, 16, 18, 20, 24, 28, 32, 40, 48, 64, 96),
    (2, 4, 5, 8, 10, 12, 15, 18, 20, 25, 30, 40, 50, 75, 100),
)
_NOISE = 1e-9


def scale_for(extent: tuple[float, float], room: tuple[float, float], units: Units) -> float:
    """How many times smaller that width and height are drawn to fit a room on paper [mm]."""
    needed = max(side / space for side, space in zip(extent, room, strict=True))
    fitting = [scale for scale in _SCALES[units] if scale >= needed - _NOISE]
    return float(fitting[0]) if fitting else math.ceil(needed / 50) * 50.0


@result
class Frame:
    """A part of the floor on paper [mm]: left and upper edge, scale, size; margins: left, top, right, bottom."""

    left: float
    top: float
    scale: float
    across: float
    down: float
    margins: tuple[float, float, float, float]

    @classmethod
    def around(
        cls, points: Array, room: tuple[float, float], margins: tuple[float, float, float, float], units: Units
    ) -> Self:
        """The frame round points (k, 2), at the largest scale that fits a room on paper [mm]."""
        (left, low), (right, top) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
        return cls(left, top, scale_for((right - left, top - low), room, units), right - left, top - low, margins)

    @property
    def size(self) -> tuple[float, float]:
        """Width and height, margins included [mm of paper]."""
        left, top, right, bottom = self.margins
        return self.across / self.scale + left + right, self.down / self.scale + top + bottom

    def paper(self, points: Array) -> Array:
        """Places on paper of places on the floor, both (k, 2) [mm]."""
        left, top, _, _ = self.margins
        x = (points[:, 0] - self.left) / self.scale + left
        y = (self.top - points[:, 1]) / self.scale + top
        return np.column_stack([x, y])

    def spot(self, x: float, y: float) -> Array:
        """The place on paper (2,) of a place on the floor [mm]."""
        return np.asarray(self.paper(np.array([[x, y]]))[0])
