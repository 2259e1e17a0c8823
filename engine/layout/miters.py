"""Miters: how strips meet at the corners, and what that does to their lengths."""

import math
from functools import lru_cache

import numpy as np

from ..job.model import EdgeKind
from ..records import record
from ..rings import preceding, turns_between
from ..survey.border import Border
from ..types import Array


@record
class Ends:
    """The two ends of a strip, in the order of its wall's corners.

    miters [deg]: the angle between the strip's outer face and each cut; allowances [mm]: how much shorter the inner
    face is at each end than the outer, negative where longer.
    """

    miters: tuple[float, float]
    allowances: tuple[float, float]


def corner_angles(floor: Border) -> Array:
    """The floor's angle at each corner (n,) [rad], over pi where the corner points into the floor."""
    turned = turns_between(preceding(_tangents(floor, 1.0)), _tangents(floor, 0.0))
    return np.pi - turned if floor.is_left else np.pi + turned


def _tangents(floor: Border, part: float) -> Array:
    along = floor.directions.copy()
    for wall, arc in enumerate(floor.arcs):
        if arc:
            x, y = arc.normals(np.array([part]))[0]
            along[wall] = (y, -x) if floor.is_left else (-y, x)
    return along


@lru_cache(maxsize=16)
def ends(floor: Border, thickness: float) -> tuple[Ends, ...]:
    """The ends of a strip along each wall, thickness [mm].

    Strips are cut at half their corner's angle, the inner face shorter by thickness / tan(half), longer where the
    corner points into the floor (a right triangle with the thickness as one side). At an open edge the end is square,
    or flush with the edge where the corner is sharper.
    """
    angles = corner_angles(floor).tolist()
    has_strip = [kind is not EdgeKind.OPEN for kind in floor.kinds]
    found = []
    for wall, angle in enumerate(angles):
        last = (wall + 1) % len(angles)
        first_cut = _cut(angle, neighbour=has_strip[wall - 1])
        last_cut = _cut(angles[last], neighbour=has_strip[last])
        found.append(
            Ends(
                (math.degrees(first_cut), math.degrees(last_cut)),
                (_allowance(first_cut, thickness), _allowance(last_cut, thickness)),
            )
        )
    return tuple(found)


def _cut(angle: float, *, neighbour: bool) -> float:
    return angle / 2 if neighbour else min(angle, math.pi / 2)


def _allowance(angle: float, thickness: float) -> float:
    return thickness * math.cos(angle) / math.sin(angle)
