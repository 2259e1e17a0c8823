"""A cut through the floor in plan: from wall to wall through a drain's centre."""

from enum import Enum

import numpy as np
import shapely

from ..arrays import cross
from ..bed.flange import Flange
from ..job.model import EdgeKind
from ..records import result
from ..survey.outline import FloorOutline
from ..types import Array

AHEAD = 1e-6  # [mm] a wall this near the drain's centre is not ahead of it


class CutFrom(Enum):
    """Where on its wall a cut starts."""

    FOOT = "square from the drain"
    MIDDLE = "the middle of the wall"


@result
class Cut:
    """A straight way over the floor, in [mm]: start, end (2,), each on a wall; drain: how far along.

    far_wall, far_kind: what it ends at; rim: where along it the flange begins and ends.
    """

    wall: str
    far_wall: str
    kind: EdgeKind
    far_kind: EdgeKind
    start: Array
    end: Array
    drain: float
    rim: tuple[float, float]

    @property
    def length(self) -> float:
        """From wall to wall [mm]."""
        return float(np.hypot(*(self.end - self.start)))

    def points(self, along: Array) -> Array:
        """Places (k, 2) [mm] at distances (k,) [mm] from the start."""
        return self.start + along[:, None] * (self.end - self.start) / self.length


def cut_through(floor: FloorOutline, flange: Flange, wall: str, start: CutFrom) -> Cut:
    """The cut from one of the floor's walls through the flange's centre."""
    index = floor.walls.index(wall)
    at = floor.middle(index) if start is CutFrom.MIDDLE else _foot(floor, index, flange.centre)
    offset = flange.centre - at
    reach = max(float(np.hypot(*offset)), AHEAD)
    way = offset / reach
    far, beyond = _wall_ahead(floor, flange.centre, way)
    half = float(flange.rim(way))
    return Cut(
        wall,
        floor.walls[far],
        floor.kinds[index],
        floor.kinds[far],
        at,
        flange.centre + way * beyond,
        reach,
        (reach - half, reach + half),
    )


def _foot(floor: FloorOutline, wall: int, point: Array) -> Array:
    sides = shapely.multilinestrings(floor.sides.lines[floor.sides.walls == wall])
    return np.asarray(shapely.get_coordinates(shapely.shortest_line(sides, shapely.points(point)))[0])


def _wall_ahead(floor: FloorOutline, point: Array, way: Array) -> tuple[int, float]:
    sides = floor.sides
    along = sides.ends - sides.starts
    offset = sides.starts - point
    sines = cross(way, along)
    with np.errstate(divide="ignore", invalid="ignore"):
        ahead, part = cross(offset, along) / sines, cross(offset, way) / sines
    meets = (np.abs(sines) > 0) & (ahead > AHEAD) & (part >= -1e-9) & (part <= 1 + 1e-9)
    distances = np.where(meets, ahead, np.inf)
    side = int(np.argmin(distances))
    return int(sides.walls[side]), float(distances[side])
