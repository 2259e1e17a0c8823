"""Whether a mesh is a bed."""

import numpy as np
import shapely

from ...types import Mask
from .mesh import Mesh
from .room import Room

_AREA = 1e-9  # [-] of the floor
_FALL = 1.0 - 1e-6  # [-] of the fall
_OVER_RIM = 1e-6  # [mm]


def is_sound(room: Room, mesh: Mesh) -> bool:
    """Whether the facets cover the floor once, and every crease and valley keeps the room's fall.

    None is turned over, their areas add up to the floor's, and the flange lies in facets ruled to it.
    """
    floor = room.reach.floor.area
    if mesh.areas.min() <= 0 or abs(mesh.areas.sum() - floor) > _AREA * floor:
        return False
    return bool(_falls(room, mesh).all() and _clears_flange(room, mesh))


def _falls(room: Room, mesh: Mesh) -> Mask:
    wall = mesh.heights.max()
    starts, ends = mesh.corners, np.roll(mesh.corners, -1, axis=1)
    before, after = mesh.heights, np.roll(mesh.heights, -1, axis=1)
    run = np.hypot(*(ends - starts).transpose(2, 0, 1))
    centre = room.centre
    for place, other in ((starts, ends), (ends, starts)):
        at = (place == centre).all(axis=2)
        run[at] = room.runs(other[at])
    level = (before == wall) & (after == wall)
    return np.asarray(level | (np.abs(after - before) >= _FALL * room.fall * run))


def _clears_flange(room: Room, mesh: Mesh) -> bool:
    flange = room.flange
    others = shapely.polygons(mesh.corners[~mesh.at_drain])
    if flange.is_round:
        return bool((shapely.distance(others, shapely.points(room.centre)) > flange.half - _OVER_RIM).all())
    return bool((shapely.area(shapely.intersection(others, flange.polygon)) < _OVER_RIM).all())
