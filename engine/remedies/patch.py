"""How wide a patch of the floor is: the box round every place where the bed is out."""

import numpy as np
import shapely

from ..bed.depth import Gap
from ..types import Array, Index
from .trials import NOISE

_MOST = 8_000  # triangles cut at once
_HALVED = np.array([[0, 3, 5], [3, 1, 4], [5, 4, 2], [3, 4, 5]])  # a triangle's corners and its sides' middles


def box_where(gap: Gap, limit: float, way: float, fine: float) -> Array:
    """The sides (2,) [mm] of the box round all places of a floor where the bed breaks its limit [mm].

    way: 1.0 for a least depth, -1.0 for a most. None is missed: the floor's triangles are cut into four each while one
    may be out and would widen the box, until they are no wider than `fine` [mm] or too many.
    """
    frame, polygon = gap.rough.frame, gap.rough.floor.polygon
    triangles = _triangles(gap)
    corners, floor = frame.corners[triangles], way * frame.heights[triangles]
    low, high = np.full(2, np.inf), np.full(2, -np.inf)
    while len(corners):
        middle = corners.mean(axis=1)
        wide = np.hypot(*(corners - middle[:, None]).transpose(2, 0, 1)).max(axis=1)
        bed = way * (limit - gap.bed.height(middle)) - NOISE
        out = middle[(bed + floor.mean(axis=1) > 0) & shapely.intersects_xy(polygon, *middle.T)]
        low, high = np.vstack([out, low[None]]).min(axis=0), np.vstack([out, high[None]]).max(axis=0)
        widens = ((corners.min(axis=1) < low) | (corners.max(axis=1) > high)).any(axis=1)
        may = widens & (bed + floor.max(axis=1) + gap.bed.steepest * wide > 0)
        may[may] = shapely.dwithin(polygon, shapely.points(middle[may]), wide[may])
        is_fine = may & ((wide <= fine) | (may.sum() > _MOST))
        ends = corners[is_fine].reshape(-1, 2)
        low, high = np.vstack([ends, low[None]]).min(axis=0), np.vstack([ends, high[None]]).max(axis=0)
        corners, floor = _quarters(corners[may & ~is_fine]), _quarters(floor[may & ~is_fine])
    return np.asarray(high - low)


def _triangles(gap: Gap) -> Index:
    pieces, count = gap.rough.mesh.pieces, len(gap.rough.stations)
    cut = pieces.cut
    first = np.searchsorted(cut.part, cut.part[cut.sides[:, :1]])
    return np.vstack([pieces.whole, np.hstack([cut.sides, first]) + count])


def _quarters(values: Array) -> Array:
    six = np.concatenate([values, (values + np.roll(values, -1, axis=1)) / 2], axis=1)
    return six[:, _HALVED].reshape(-1, *values.shape[1:])
