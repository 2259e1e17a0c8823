"""Slopes: how steep facets are."""

from functools import cached_property

import numpy as np

from ...arrays import cross
from ...records import result
from ...types import Array
from ..flange import Flange

_PARTS = 4  # of a segment, at whose ends slopes are asked
_LEAST_RUN = 1e-6  # [mm]
_BESIDE = 1e-7  # [-] of a segment, to either side of a kink
_STRAIGHT_ON = np.ones(1)  # rays leave a round rim along its normals


@result
class Planes:
    """Triangles from corners (k, 2), by the ways from the first to the others."""

    first: tuple[Array, Array]
    second: tuple[Array, Array]

    @staticmethod
    def of(a: Array, b: Array, c: Array) -> "Planes":
        """The triangles a, b, c."""
        (ax, ay), (bx, by), (cx, cy) = a.T, b.T, c.T
        return Planes((bx - ax, by - ay), (cx - ax, cy - ay))

    @cached_property
    def _twice(self) -> Array:
        return np.abs(self.first[0] * self.second[1] - self.first[1] * self.second[0])

    def slopes(self, heights: tuple[Array, Array, Array]) -> Array:
        """The slope [-] with corners at heights (k,) [mm]."""
        za, zb, zc = heights
        up, over = zb - za, zc - za
        x, y = (up * second - over * first for first, second in zip(self.first, self.second, strict=True))
        return np.hypot(x, y) / self._twice


@result
class Ruled:
    """Facets ruled from the flange's edge to segments, asked at places along each, all (k, s).

    A place of the segment lies x from the foot of the drain's centre on it, R from the centre, r of that on the flange,
    at height z, dz/dx = b. Along its ray the fall is G = z / (R - r); across it, at the segment, the slope is
    (b R - G x) / p, p the foot's distance. At the rim the slope is G over the cosine of the ray's angle to the rim's
    normal. Between, the slope across lies between both. shares: where along the segment; runs: R - r [mm]; lengths: the
    segments' (k,) [mm]; cosines: at the rim.
    """

    shares: Array
    runs: Array
    far: Array
    along: Array
    square: Array
    lengths: Array
    cosines: Array

    @staticmethod
    def of(flange: Flange, starts: Array, ends: Array, parts: int = _PARTS) -> "Ruled":
        """The facets over segments from starts to ends, (k, 2) each, asked at the ends of equal parts."""
        sides = ends - starts
        lengths = np.hypot(*sides.T)
        units = sides / lengths[:, None]
        first = starts - flange.centre
        foot = -(first * units).sum(axis=1)
        steps = np.broadcast_to(np.linspace(0.0, 1.0, parts + 1), (len(starts), parts + 1))
        shares = np.column_stack([steps, foot / lengths, *_past_corners(flange, first, sides)])
        shares = np.clip(shares, 0.0, 1.0)
        along = shares * lengths[:, None] - foot[:, None]
        square = np.maximum(np.abs(cross(first, units)), _LEAST_RUN)
        far = np.hypot(along, square[:, None])
        if flange.is_round:
            return Ruled(shares, far - flange.half, far, along, square[:, None], lengths, _STRAIGHT_ON)
        rays = (first[:, None] + (shares * lengths[:, None])[..., None] * units[:, None]) / far[..., None]
        return Ruled(shares, far - flange.rim(rays), far, along, square[:, None], lengths, _rim_cosines(flange, rays))

    def falls(self, low: Array, high: Array) -> Array:
        """The fall along each ray (k, s) [-] with segments' starts and ends at heights (k,) [mm].

        Infinite where the segment is not clear of the flange.
        """
        heights = low[:, None] + self.shares * (high - low)[:, None]
        return np.where(self.runs > _LEAST_RUN, heights / np.maximum(self.runs, _LEAST_RUN), np.inf)

    def steepest(self, low: Array, high: Array) -> Array:
        """The steepest slope on each facet (k,) [-] with those heights."""
        fall = self.falls(low, high)
        off = np.isfinite(fall)
        fall = np.where(off, fall, 0.0)
        rate = ((high - low) / self.lengths)[:, None]
        across = (rate * self.far - fall * self.along) / self.square
        slope = np.maximum(np.hypot(fall, across), fall / self.cosines)
        return np.asarray(np.where(off, slope, np.inf).max(axis=1))


def _past_corners(flange: Flange, first: Array, sides: Array) -> list[Array]:
    """Where rays through a square flange's corners meet segments, just before and just past; 0 for none.

    first: the segments' starts off the flange's centre (k, 2).
    """
    found = []
    for corner in () if flange.is_round else flange.corners - flange.centre:
        turn, off = cross(sides, corner), -cross(first, corner)
        part = np.divide(off, turn, out=np.zeros_like(off), where=np.abs(turn) > _LEAST_RUN)
        found += [part - _BESIDE, part + _BESIDE]
    return found


def _rim_cosines(flange: Flange, rays: Array) -> Array:
    local = np.abs(rays @ flange.frame.T)
    side = (local / flange.halves).argmax(axis=-1)
    return np.take_along_axis(local, side[..., None], axis=-1)[..., 0]
