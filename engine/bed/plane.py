"""Plane: the bed rises square to a channel, also past its ends."""

from functools import cached_property

import numpy as np
import shapely

from ..boxes import box_round
from ..job.model import BedShape
from ..records import result
from ..survey.spot import Spot
from ..types import Array
from .falls import OneFall
from .flange import Flange
from .reach import Reach


@result
class PlaneBed(OneFall):
    """A bed at height fall x distance square to the channel's edge, 0 between its edges; fall [-]."""

    reach: Reach
    fall: float

    shape = BedShape.PLANE

    @cached_property
    def farthest(self) -> Spot:
        """The longest square distance from the channel [mm], with its place: one of the outline's points."""
        corners = self.reach.floor.ring
        away = square_off(self.reach.flange, corners)
        at = int(np.argmax(away))
        return Spot.at(away[at], corners[at])

    def height(self, points: Array) -> Array:
        """The bed's height over the flange (k,) [mm] at points (k, 2) on the floor."""
        return self.fall * square_off(self.reach.flange, points)

    @cached_property
    def integral(self) -> float:
        """The bed's height over the flange, summed over the floor [mm3]; exact, a plane on each side."""
        flange, polygon = self.reach.flange, self.reach.floor.polygon
        low, high = box_round(polygon)
        far = 2 * (float(np.hypot(*(high - low))) + flange.length)
        along, square = flange.frame * far
        total = 0.0
        for side in (1.0, -1.0):
            edge = flange.centre + side * flange.half * flange.frame[1]
            half = shapely.polygons(
                [edge - along, edge + along, edge + along + side * square, edge - along + side * square]
            )
            part = shapely.intersection(polygon, half)
            if shapely.area(part) > 0:
                centroid = shapely.get_coordinates(shapely.centroid(part))
                total += float(shapely.area(part) * self.height(centroid)[0])
        return total


def square_off(flange: Flange, points: Array) -> Array:
    """The distance square to a channel's edges (k,) [mm] from points (k, 2), 0 between their lines."""
    return np.asarray(np.maximum(np.abs((points - flange.centre) @ flange.frame[1]) - flange.half, 0.0))
