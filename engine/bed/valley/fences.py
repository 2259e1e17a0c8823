"""Fences: short screens from the hiding corners into the floor, which keep valleys off the walls.

Beside a valley close by a corner the bed is steep; round a fence's tip the shortest way passes farther out.
"""

import numpy as np

from ...records import record
from ...types import Array
from .room import Corner, Room, Spur
from .sightlines import segment_distance

_MOST = 0.97  # of what the floor leaves room for
_LEAST = 20.0  # [mm]
_BEYOND = 1.15  # a fence beside the drain reaches so many times farther than the drain off the wall
_NEAR = 100.0  # [mm] a fence passing the drain nearer is replaced by two square ones
_TOWARD = 0.77  # cosine: a fence pointing more at the drain would stand in its way
_OFF_FLANGE = 30.0  # [mm]


@record
class Trial:
    """One way of setting fences.

    steepness: aimed at [-]; climb: how much of the way's height at a corner counts as its relay's; balanced: fences may
    grow until other walls are as near as the corner's, else only as the corner.
    """

    steepness: float
    climb: float
    balanced: bool


def fences(room: Room, trial: Trial) -> tuple[Array, Array]:
    """The fences' feet and tips, (k, 2) each, for one trial."""
    found = [pair for corner in room.corners for pair in _at_corner(room, corner, trial)]
    feet, tips = np.array(found).reshape(-1, 2, 2).swapaxes(0, 1)
    return feet, tips


def _at_corner(room: Room, corner: Corner, trial: Trial) -> list[tuple[Array, Array]]:
    rise = room.expected_height - trial.climb * room.fall * corner.way
    off = max(_LEAST, rise / trial.steepness)
    if not corner.is_direct:
        return [_fence(corner, spur, off, trial) for spur in corner.spurs]
    near = min(corner.squares)
    if near <= 0:
        return [_fence(corner, spur, off, trial) for spur in corner.spurs if not _in_the_way(room, corner, spur)]
    if near >= room.expected_height / trial.steepness:
        return []
    off = max(off, _BEYOND * near)
    found = [_fence(corner, spur, off, trial) for spur in corner.spurs]
    passing = min(segment_distance(room.centre, *fence) for fence in found)
    if len(found) > 1 or passing < max(2 * room.rim, _NEAR, near / 2):
        return _square_fences(room, corner, trial, rise)
    return [fence for fence, spur in zip(found, corner.spurs, strict=True) if _cap(spur, trial) * spur.lean >= near]


def _fence(corner: Corner, spur: Spur, off: float, trial: Trial) -> tuple[Array, Array]:
    return corner.place, corner.place + min(off / spur.lean, _cap(spur, trial)) * spur.direction


def _cap(spur: Spur, trial: Trial) -> float:
    return _MOST * (spur.balanced if trial.balanced else spur.even)


def _in_the_way(room: Room, corner: Corner, spur: Spur) -> bool:
    toward = room.centre - corner.place
    return len(corner.spurs) > 1 and float(toward @ spur.direction) > _TOWARD * float(np.hypot(*toward))


def _square_fences(room: Room, corner: Corner, trial: Trial, rise: float) -> list[tuple[Array, Array]]:
    found = []
    for normal, square in zip(corner.normals, corner.squares, strict=True):
        if square >= room.expected_height / trial.steepness:
            continue
        room_for = _MOST * room.grown(corner.place, normal, 1.0)[0]
        length = min(max(_LEAST, rise / trial.steepness, _BEYOND * square), room_for)
        tip = corner.place + length * normal
        clear = max(room.rim + _OFF_FLANGE, 0.3 * square)
        if length > 1.05 * square and segment_distance(room.centre, corner.place, tip) > clear:
            found.append((corner.place, tip))
    return found
