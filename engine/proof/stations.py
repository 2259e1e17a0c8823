"""Where to read a finished bed: where a mistake would show, in walking order.

Corners and wall middles tell the falls, half ways to the drain any sag, the flange whether the line moved.
"""

from typing import NamedTuple

import numpy as np
import shapely

from ..bed.flange import Flanges
from ..job.model import AtCorner, AtPoint, AtWall, Place, Typed
from ..phrases import phrase
from ..quantities import INCH, Units, format_length, round_nearest
from ..survey.outline import FloorOutline
from ..types import Array

_LONG_WALL = 1220.0  # [mm] 4 ft: longer walls' middles are worth a reading
_STEP = Units.pair(INCH / 2, 10.0)  # [mm] places on the floor are told to this
_CLEAR = 25.0  # [mm] a station half way is this far from flange and walls


class Offered(NamedTuple):
    """A station worth reading: its place, and its name in words."""

    place: Place
    name: str


def worth_reading(floor: FloorOutline, flanges: Flanges, units: Units) -> tuple[Offered, ...]:
    """The stations: flanges, corners, long walls' middles, half way from each to its nearest flange."""
    found = []
    for i, flange in enumerate(flanges, start=1):
        told = phrase("flange") if len(flanges) == 1 else phrase("flange {number}", number=i)
        found.append(Offered(_place(floor, flange.centre, units, exact=True), told))
    found += [Offered(AtCorner(name), name) for name in floor.names]
    ends = list(zip(floor.names, floor.corners, strict=True))
    for i, wall in enumerate(floor.walls):
        if floor.length(i) > _LONG_WALL:
            middle = AtWall(wall, _typed(floor.length(i) / 2, units, None))
            found.append(Offered(middle, phrase("{wall} middle", wall=wall)))
        ends.append((wall, floor.middle(i)))
    for name, end in ends:
        place = _halfway(floor, flanges, end, units)
        if place is not None:
            found.append(Offered(place, phrase("{name} half way", name=name)))
    return tuple(found)


def _halfway(floor: FloorOutline, flanges: Flanges, end: Array, units: Units) -> Place | None:
    flange = min(flanges, key=lambda one: float(one.distance(end[None])[0]))
    rim = flange.rim_towards(end[None])[0]
    middle = (rim + end) / 2
    line = shapely.linestrings([rim, end])
    if not shapely.covers(shapely.buffer(floor.polygon, 1.0), line):
        return None
    walls = float(shapely.distance(shapely.boundary(floor.polygon), shapely.points(middle)))
    if min(walls, float(flange.distance(middle[None])[0])) < _CLEAR:
        return None
    return _place(floor, middle, units, exact=False)


def _place(floor: FloorOutline, point: Array, units: Units, *, exact: bool) -> Place:
    step = None if exact else _STEP[units]
    offset = point - floor.corners
    along, off = (offset * floor.directions).sum(axis=1), (offset * floor.inward).sum(axis=1)
    straight = np.array([arc is None for arc in floor.arcs])
    faces = straight & (along >= 0) & (along <= floor.lengths) & (off > 0)
    if not faces.any():
        return AtPoint(*(_typed(float(value), units, step) for value in point))
    wall = int(np.argmin(np.where(faces, off, np.inf)))
    return AtWall(floor.walls[wall], _typed(float(along[wall]), units, step), _typed(float(off[wall]), units, step))


def _typed(value: float, units: Units, step: float | None) -> Typed:
    value = value if step is None else round_nearest(value, step)
    return Typed(format_length(value, units), value)
