"""The drain's flange: the rim that the bed meets."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
import shapely

from engine.job.model import DrainKind

if TYPE_CHECKING:
    from engine.types import Array, Shape

_ROUND_SEGMENTS = 64  # a quarter circle, for drawing and for asking what the flange covers


@dataclass(frozen=True, eq=False)
class Flange:
    """A round or square flange: centre (2,) [mm], size [mm] (diameter or side), axis (2,) along A-B."""

    kind: DrainKind
    centre: Array
    size: float
    axis: Array

    @property
    def half(self) -> float:
        """The radius, or half the side [mm]."""
        return self.size / 2

    @property
    def is_round(self) -> bool:
        """Whether the flange is a disc."""
        return self.kind is DrainKind.ROUND

    @cached_property
    def frame(self) -> Array:
        """Rows: the directions of the square's sides, (2, 2)."""
        return np.array([self.axis, [-self.axis[1], self.axis[0]]])

    @cached_property
    def corners(self) -> Array:
        """The square's corners, counter-clockwise (4, 2) [mm]."""
        signs = np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
        return np.asarray(self.centre + self.half * signs @ self.frame)

    @cached_property
    def polygon(self) -> Shape:
        """The flange as a shapely polygon."""
        if self.is_round:
            return shapely.Point(self.centre).buffer(self.half, quad_segs=_ROUND_SEGMENTS)
        return shapely.polygons(self.corners)

    def stretch(self, points: Array) -> Array:
        """How many times farther from the centre than the rim each point is, along its own ray (k,) [-]."""
        offset = points - self.centre
        if self.is_round:
            return np.asarray(np.hypot(*offset.T) / self.half)
        return np.asarray(np.abs(offset @ self.frame.T).max(axis=1) / self.half)

    def distance(self, points: Array) -> Array:
        """The straight distance from each point to the flange, 0 on it (k,) [mm]."""
        offset = points - self.centre
        if self.is_round:
            return np.asarray(np.maximum(np.hypot(*offset.T) - self.half, 0.0))
        beyond = np.maximum(np.abs(offset @ self.frame.T) - self.half, 0.0)
        return np.asarray(np.hypot(*beyond.T))

    def foot(self, points: Array) -> Array:
        """The flange's point that a straight way from each point runs to: the nearest; a disc's centre (k, 2)."""
        if self.is_round:
            return np.asarray(np.broadcast_to(self.centre, points.shape))
        offset = np.clip((points - self.centre) @ self.frame.T, -self.half, self.half)
        return np.asarray(self.centre + offset @ self.frame)

    def rim(self, directions: Array) -> Array:
        """The distance from the centre to the rim along unit directions (k, 2), (k,) [mm]."""
        if self.is_round:
            return np.full(len(directions), self.half)
        return np.asarray(self.half / np.abs(directions @ self.frame.T).max(axis=1))
