"""The drain's flange: the rim that the bed meets."""

from functools import cached_property
from typing import TypeAlias

import numpy as np
import shapely

from ..job.model import DrainKind
from ..records import result
from ..types import Array, Shape

_POINT = 1e-9  # [mm] what is nearer to the centre is at it
_ROUND_SEGMENTS = 64  # a quarter circle, for drawing and for what the flange covers


@result
class Flange:
    """A flange: centre (2,) and size [mm] (diameter, side, or a channel's width).

    axis: (2,) unit, a square's side (along A-B) or a channel's length; length: a channel's [mm].
    """

    kind: DrainKind
    centre: Array
    size: float
    axis: Array
    length: float = 0.0

    @property
    def half(self) -> float:
        """The radius, or half the side [mm]."""
        return self.size / 2

    @property
    def is_round(self) -> bool:
        """Whether the flange is a disc."""
        return self.kind is DrainKind.ROUND

    @property
    def is_channel(self) -> bool:
        """Whether the flange is a channel's."""
        return self.kind is DrainKind.CHANNEL

    @cached_property
    def halves(self) -> Array:
        """Half the extents along the axis and square to it (2,) [mm]."""
        return np.array([self.length / 2 if self.is_channel else self.half, self.half])

    @cached_property
    def frame(self) -> Array:
        """Rows: the directions along the axis and to its left, (2, 2)."""
        return np.array([self.axis, [-self.axis[1], self.axis[0]]])

    @cached_property
    def ends(self) -> Array:
        """Where a channel's middle line starts and ends (2, 2)."""
        along = self.axis * self.length / 2
        return np.stack([self.centre - along, self.centre + along])

    @cached_property
    def corners(self) -> Array:
        """A square's or a channel's corners, counter-clockwise (4, 2)."""
        signs = np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
        return self.centre + signs * self.halves @ self.frame

    @cached_property
    def polygon(self) -> Shape:
        """The flange as a shapely polygon."""
        if self.is_round:
            return shapely.Point(self.centre).buffer(self.half, quad_segs=_ROUND_SEGMENTS)
        return shapely.polygons(self.corners)

    def stretch(self, points: Array) -> Array:
        """How many times farther from the centre than the rim on its ray each point is (k,) [-]."""
        offset = points - self.centre
        if self.is_round:
            return np.hypot(offset[:, 0], offset[:, 1]) / self.half
        return np.asarray((np.abs(offset @ self.frame.T) / self.halves).max(axis=1))

    def distance(self, points: Array) -> Array:
        """The distance from each point to the flange, 0 on it (k,) [mm]."""
        offset = points - self.centre
        if self.is_round:
            return np.maximum(np.hypot(offset[:, 0], offset[:, 1]) - self.half, 0.0)
        beyond = np.maximum(np.abs(offset @ self.frame.T) - self.halves, 0.0)
        return np.asarray(np.hypot(*beyond.T))

    def away(self, shapes: Shape) -> Array:
        """The distance from shapes to the flange [mm]; negative over a disc, 0 over another."""
        if self.is_round:
            return np.asarray(shapely.distance(shapes, shapely.points(self.centre)) - self.half)
        return np.asarray(shapely.distance(shapes, self.polygon))

    def foot(self, points: Array) -> Array:
        """The flange's point nearest to each point (k, 2), where straight ways end; a disc's centre."""
        if self.is_round:
            return np.broadcast_to(self.centre, points.shape)
        offset = np.clip((points - self.centre) @ self.frame.T, -self.halves, self.halves)
        return self.centre + offset @ self.frame

    def rim(self, directions: Array) -> Array:
        """The distance from the centre to the rim along unit directions (..., 2), (...) [mm]."""
        if self.is_round:
            return np.full(directions.shape[:-1], self.half)
        parts = np.abs(directions.reshape(-1, 2) @ self.frame.T) / self.halves
        return np.asarray(1.0 / parts.max(axis=1).reshape(directions.shape[:-1]))

    def rim_towards(self, points: Array) -> Array:
        """Where rays from the centre to points (k, 2) cross the rim (k, 2)."""
        offset = points - self.centre
        rays = offset / np.hypot(*offset.T)[:, None]
        return np.asarray(self.centre + self.rim(rays)[:, None] * rays)

    def runs(self, points: Array) -> Array:
        """How far points (..., 2) lie past the rim along rays from the centre (...) [mm]; negative within."""
        return self.runs_off(points - self.centre)

    def runs_off(self, offset: Array) -> Array:
        """The same by offsets from the centre (..., 2); from itself all ways are alike."""
        far = np.maximum(np.hypot(offset[..., 0], offset[..., 1]), _POINT)
        if self.is_round:
            return far - self.half
        return far - self.rim(np.where((far > _POINT)[..., None], offset / far[..., None], self.axis))


Flanges: TypeAlias = tuple[Flange, ...]
