"""Lines of a bed on the floor: its levels over the drain, and its ridges."""

import math
from collections.abc import Callable

import numpy as np
import shapely

from ...arrays import groups
from ...bed.catchments import ridge_lines
from ...bed.parts import Ridge
from ...bed.surfaces import Bed, NoBed, level_lines, valley_lines
from ...bed.valley.bed import Line
from ...quantities import INCH, Units
from ...records import result
from ...types import Array, Index, Shape
from ...work.triangles import crossed, floor_triangles

_STEPS = Units.pair(
    tuple(INCH * part for part in (1 / 16, 1 / 8, 1 / 4, 1 / 2, 1, 2, 5, 10)), (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0)
)
_MOST_LINES = 8
_FINE = 64  # triangles are at most this part of the floor's extent
_MOST_ROUNDS = 18
_OFF_ENDS = 0.1  # of a step: a level this near the bed's own highest or lowest is left out
_GAP = 0.5  # [mm] half of a gap that is closed
_TIDY = 6  # digits of a millimetre to which two pieces' ends agree


@result
class Contour:
    """A level [mm over the datum] and its lines, longest first, (k, 2) [mm] each."""

    level: float
    lines: tuple[Array, ...]


@result
class BedLines:
    """A bed's lines: level ones, lowest first, with the step between [mm]; ridges between drains.

    valleys, level: lines (2, 2) [mm] that carry water, and level ones from walls to islands.
    """

    step: float = 0.0
    contours: tuple[Contour, ...] = ()
    ridges: tuple[Ridge, ...] = ()
    valleys: tuple[Array, ...] = ()
    level: tuple[Array, ...] = ()


def bed_lines(bed: Bed | NoBed, units: Units, straight: float) -> BedLines:
    """A bed's level lines, at most eight, and its ridges; none without a bed.

    Plain within triangles of 1/64 of the floor's extent, without bends under `straight` [mm].
    """
    if not bed:
        return BedLines()
    triangles = fine_triangles(bed)
    heights = at_corners(bed.height, triangles)
    low, high = float(heights.min()), float(heights.max())
    step = next((step for step in _STEPS[units] if (high - low) / step <= _MOST_LINES), _STEPS[units][-1])
    first, last = (round(end, 9) for end in (low / step + _OFF_ENDS, high / step - _OFF_ENDS))
    levels = [k * step for k in range(math.ceil(first), math.floor(last) + 1)]
    found = (Contour(level, _lines(triangles, heights, level, straight)) for level in levels)
    return BedLines(
        step,
        tuple(contour for contour in found if contour.lines),
        ridge_lines(bed),
        _across(valley_lines(bed)),
        _across(level_lines(bed)),
    )


def _across(lines: tuple[Line, ...]) -> tuple[Array, ...]:
    return tuple(np.array([[end.x, end.y] for end in (line.low, line.high)]) for line in lines)


def fine_triangles(bed: Bed, parts: int = _FINE) -> Array:
    """The floor in triangles (t, 3, 2), none longer than one of so many parts of its extent."""
    triangles = floor_triangles(bed.reach.floor.polygon)
    finest = float(np.ptp(bed.reach.floor.corners, axis=0).max()) / parts
    done = []
    for _ in range(_MOST_ROUNDS):
        sides = np.hypot(*(np.roll(triangles, -1, axis=1) - triangles).transpose(2, 0, 1))
        fine = sides.max(axis=1) <= finest
        done.append(triangles[fine])
        triangles = _halves(triangles[~fine], sides[~fine].argmax(axis=1))
    return np.concatenate([*done, triangles])


def _halves(triangles: Array, longest: Index) -> Array:
    order = (longest[:, None] + np.arange(3)) % 3
    start, end, apex = triangles[np.arange(len(triangles))[:, None], order].transpose(1, 0, 2)
    middle = (start + end) / 2
    return np.concatenate([np.stack([start, middle, apex], axis=1), np.stack([middle, end, apex], axis=1)])


def at_corners(asked: Callable[[Array], Array], triangles: Array) -> Array:
    """What is asked of places (k, 2), at triangles' corners (t, 3); once where they share one."""
    tidy = np.round(triangles.reshape(-1, 2), _TIDY)
    first, back = groups(*tidy.T)
    return asked(tidy[first])[back].reshape(-1, 3)


def _lines(triangles: Array, heights: Array, level: float, straight: float) -> tuple[Array, ...]:
    above = heights > level
    cut = above.any(axis=1) & ~above.all(axis=1)
    if not cut.any():
        return ()
    _, _, pieces = crossed(triangles[cut], heights[cut], level)
    joined = shapely.line_merge(shapely.multilinestrings(shapely.linestrings(np.round(pieces, _TIDY))))
    parts = shapely.simplify(shapely.get_parts(joined), straight)
    order = np.argsort(-np.round(shapely.length(parts), 3), kind="stable")
    return tuple(shapely.get_coordinates(part) for part in parts[order])


def over(triangles: Array, values: Array, level: float) -> Shape:
    """The part of triangles (t, 3, 2) where values, straight between corners (t, 3), are over a level."""
    count = (values > level).sum(axis=1)
    cut = (count > 0) & (count < 3)
    found = [shapely.polygons(triangles[count == 3])]
    if cut.any():
        corners, _, feet = crossed(triangles[cut], values[cut], level)
        feet, one = np.round(feet, _TIDY), count[cut] == 1
        tops = np.concatenate([corners[:, :1], feet], axis=1)[one]
        rests = np.concatenate([feet[:, :1], corners[:, 1:], feet[:, 1:]], axis=1)[~one]
        found += [shapely.polygons(tops), shapely.polygons(rests)]
    joined = shapely.buffer(shapely.union_all(np.concatenate(found)), _GAP, join_style="mitre")
    return shapely.buffer(joined, -_GAP, join_style="mitre")
