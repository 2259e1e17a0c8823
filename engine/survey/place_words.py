"""Places on the floor in words, as one finds them: from corners and walls."""

import math
from itertools import combinations

from ..phrases import phrase
from ..quantities import INCH, Units, format_length
from ..records import record
from .border import Border, corner_words
from .outline import FloorOutline

_AT = 1.0  # [mm] nearer than this is at the corner or on the wall
_LEAST_SINE = 0.3  # two walls closer to parallel than this tell a place badly
_PACED = Units.pair(INCH / 8, 1.0)


def paced(mm: float, units: Units) -> str:
    """A distance [mm] to a place, to the nearest 1/8 in or 1 mm."""
    return format_length(mm, units, _PACED[units])


@record
class _Beside:
    """A wall beside a place: how far off it and along it that is [mm], and its inward normal."""

    off: float
    along: float
    wall: int
    normal: tuple[float, float]


def place_words(x: float, y: float, floor: FloorOutline, units: Units) -> str:
    """A place [mm] as found on the floor: a corner, along a wall, or square off two."""
    for border in floor.borders:
        if at_edge := _at_border(x, y, border, units):
            return at_edge
    walls = _beside(x, y, floor)
    if not walls:
        return phrase("at x {x}, y {y}", x=paced(x, units), y=paced(y, units))
    for first, second in combinations(walls, 2):
        if abs(first.normal[0] * second.normal[1] - first.normal[1] * second.normal[0]) > _LEAST_SINE:
            return phrase(
                "{first} from {first_wall} and {second} from {second_wall}",
                first=paced(first.off, units),
                first_wall=floor.walls[first.wall],
                second=paced(second.off, units),
                second_wall=floor.walls[second.wall],
            )
    return phrase("{along}, {off} off it", along=_along_words(walls[0], floor, units), off=paced(walls[0].off, units))


def _at_border(x: float, y: float, border: Border, units: Units) -> str | None:
    for name, (cx, cy) in zip(border.names, border.corners.tolist(), strict=True):
        if math.hypot(x - cx, y - cy) < _AT:
            return phrase("at {corner}", corner=corner_words(name))
    nearest = _beside(x, y, border)[:1]
    return _along_words(nearest[0], border, units) if nearest and nearest[0].off < _AT else None


def _beside(x: float, y: float, border: Border) -> list[_Beside]:
    """The walls a place is square to, on the floor's side, nearest first; curved ones by chords."""
    sides = border.sides
    columns = (sides.starts, sides.directions, sides.inward, sides.lengths, sides.walls)
    rows = zip(*(column.tolist() for column in columns), strict=True)
    nearest: dict[int, _Beside] = {}
    for side, ((ax, ay), (dx, dy), (nx, ny), length, wall) in enumerate(rows):
        along = (x - ax) * dx + (y - ay) * dy
        off = (x - ax) * nx + (y - ay) * ny
        if off > -_AT and -_AT < along < length + _AT and (wall not in nearest or off < nearest[wall].off):
            along = along * float(sides.stretch[side]) + float(sides.before[side])
            nearest[wall] = _Beside(off, along, wall, (nx, ny))
    return sorted(nearest.values(), key=lambda beside: (round(beside.off, 6), beside.wall))


def _along_words(beside: _Beside, border: Border, units: Units) -> str:
    along, corner = paced(max(beside.along, 0.0), units), border.ends_of(beside.wall)[0]
    return phrase("on {wall}, {along} from {corner}", wall=border.walls[beside.wall], along=along, corner=corner)
