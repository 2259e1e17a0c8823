"""Sight lines between places, against walls and fences."""

import numpy as np

from ...arrays import cross
from ...types import Array, Index, Mask


def is_blocked(starts: Array, ends: Array, walls: tuple[Array, Array]) -> Mask:
    """Whether each line from starts to ends, (..., 2), crosses any wall; walls: starts and ends, (b, 2).

    Touching an end is not crossing.
    """
    # By columns: twice as fast as by pairs.
    (ax, ay), (bx, by) = (np.ascontiguousarray(each.T) for each in walls)
    x, y = starts[..., 0, None], starts[..., 1, None]
    end_x, end_y = ends[..., 0, None], ends[..., 1, None]
    along_x, along_y, side_x, side_y = end_x - x, end_y - y, bx - ax, by - ay
    off_x, off_y = ax - x, ay - y
    apart = (along_x * off_y - along_y * off_x) * (along_x * (by - y) - along_y * (bx - x)) < 0
    sides = side_y * off_x - side_x * off_y
    beyond = side_x * (end_y - ay) - side_y * (end_x - ax)
    return np.asarray((apart & (sides * beyond < 0)).any(axis=-1))


def first_hits(origins: Array, rays: Array, walls: tuple[Array, Array]) -> tuple[Index, Array]:
    """The wall that each ray (k, 2) meets first (k,), -1 for none, and at which part of it (k,) [-]."""
    wall_starts, wall_ends = walls
    sides, offset = wall_ends - wall_starts, wall_starts - origins[:, None]
    with np.errstate(divide="ignore", invalid="ignore"):
        turn = cross(rays[:, None], sides)
        far = cross(offset, sides[None]) / turn
        part = cross(offset, rays[:, None]) / turn
    met = (turn != 0) & (far > 0) & (part >= 0) & (part <= 1)
    far = np.where(met, far, np.inf)
    wall = far.argmin(axis=1)
    rows = np.arange(len(wall))
    return np.where(np.isfinite(far[rows, wall]), wall, -1), part[rows, wall]


def apart(places: Array, others: Array) -> Array:
    """How far places (n, 2) are from others (m, 2), (n, m) [mm]."""
    return np.asarray(np.hypot(*(places[:, None] - others).transpose(2, 0, 1)))


def segment_distance(place: Array, start: Array, end: Array) -> float:
    """The distance from a place to a segment, all (2,) [mm]."""
    along = end - start
    part = float(np.clip((place - start) @ along / (along @ along), 0.0, 1.0))
    return float(np.hypot(*(place - start - part * along)))
