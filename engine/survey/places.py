"""Places: from what a person says (a corner, along a wall, off two walls) to coordinates."""

from collections.abc import Sequence

import numpy as np

from ..errors import JobError
from ..job.model import AtCorner, AtOffsets, AtPoint, AtWall, Place
from ..phrases import phrase
from ..quantities import INCH, Units, format_length, round_down
from ..types import Array
from .outline import FloorOutline, corner_number, wall_number

_PAST_END = 1e-6  # [mm] float noise past a wall's end is still on it
_LEAST_SINE = 1e-3  # walls closer to parallel than this fix no point
_STEPS = Units.pair(INCH / 16, 0.1)  # [mm] to which a wall's length is told


def locate(place: Place, floor: FloorOutline, key: str, units: Units = Units.MM) -> Array:
    """The coordinates (2,) [mm] of a place, which may lie off the floor; units: those that a fault is told in.

    Raises JobError under `key` for an unknown corner or wall, a distance past a wall's end, offsets from walls side by
    side.
    """
    match place:
        case AtCorner(corner):
            return np.asarray(floor.corners[corner_number(corner, floor.names, key)])
        case AtWall():
            return _along(place, floor, key, units)
        case AtOffsets():
            return _off_two_walls(place, floor, key)
        case AtPoint(x, y):
            return np.array([x.value, y.value])


def locate_all(places: Sequence[Place], floor: FloorOutline, key: str, units: Units = Units.MM) -> Array:
    """The coordinates (n, 2) [mm] of many places; `key` holds {} for a place's number. Raises JobError as `locate`."""
    found = [
        (place.x.value, place.y.value)
        if type(place) is AtPoint
        else locate(place, floor, key.format(i), units).tolist()
        for i, place in enumerate(places)
    ]
    return np.array(found, dtype=float).reshape(-1, 2)


def _along(place: AtWall, floor: FloorOutline, key: str, units: Units) -> Array:
    wall = wall_number(place.wall, floor.walls, f"{key}.wall", place.wall)
    along, length = place.along.value, floor.length(wall)
    if not -_PAST_END <= along <= length + _PAST_END:
        told = format_length(round_down(length, _STEPS[units]), units)
        fault = phrase("wall {wall} is only {length} long", wall=place.wall, length=told)
        remedy = phrase("measure from corner {corner} and stay on the wall", corner=floor.names[wall])
        raise JobError(f"{key}.along", place.along.text, fault, remedy)
    off = 0.0 if place.off is None else place.off.value
    on_wall = floor.on_wall(wall, np.array([along]))[0]
    return np.asarray(on_wall + off * floor.square_to(wall, along))


def _off_two_walls(place: AtOffsets, floor: FloorOutline, key: str) -> Array:
    names = (place.first_wall, place.second_wall)
    walls = [wall_number(name, floor.walls, f'{key}."{name}"', name) for name in names]
    for wall in walls:
        if floor.arcs[wall]:
            raise JobError(
                f'{key}."{floor.walls[wall]}"',
                floor.walls[wall],
                phrase("this wall is curved, so a square distance from it fixes no point"),
                phrase("measure from a straight wall, or along this one and off it"),
            )
    (ax, ay), (bx, by) = floor.inward[walls].tolist()
    sine = ax * by - ay * bx
    if abs(sine) < _LEAST_SINE:
        raise JobError(
            key,
            f"{place.first_wall} and {place.second_wall}",
            phrase("these walls run side by side, so distances from both fix no point"),
            phrase("measure from two walls that meet"),
        )
    (px, py), (qx, qy) = floor.corners[walls].tolist()
    first, second = place.first.value + ax * px + ay * py, place.second.value + bx * qx + by * qy
    return np.array([(first * by - second * ay) / sine, (second * ax - first * bx) / sine])
