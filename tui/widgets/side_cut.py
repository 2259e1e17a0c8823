"""The surfaces along a cut through the floor, and what lies on the bed there."""

import numpy as np
import shapely

from engine.bed.flange import Flange
from engine.job.defaults import over_liner, tiled
from engine.plan import Plan
from engine.records import result
from engine.sheets.cut import AHEAD, Cut
from engine.survey.spot import Needs
from engine.types import Array, Mask

from .map_layers import bed_surface, drain_flanges, heights, rough_surface
from .side_matter import Layers


@result
class Profile:
    """The surfaces along a cut, (k,) [mm] over the drain, not a number where there is none.

    along (k,) [mm] from the start; is_floor (k,): off it the cut runs through an island or outside the outline.
    """

    along: Array
    is_floor: Mask
    rough: Array
    bed: Array


def profile(plan: Plan, cut: Cut, along: Array) -> Profile:
    """The surfaces at distances (k,) [mm] along a cut."""
    points = cut.points(along)
    is_floor = np.zeros(len(along), dtype=bool)
    if not isinstance(plan.outline, Needs):
        # Ends lie on walls: a hair of the floor's edge counts as floor.
        is_floor = shapely.dwithin(plan.outline.polygon, shapely.points(points), AHEAD)
    return Profile(
        along,
        is_floor,
        np.where(is_floor, heights(rough_surface(plan), points), np.nan),
        np.where(is_floor, heights(bed_surface(plan), points), np.nan),
    )


def first_flange(plan: Plan) -> Flange | None:
    """The flange a cut goes through; None while it has no place."""
    return next(iter(drain_flanges(plan)), None)


def layers_on_bed(plan: Plan) -> Layers:
    """What lies on the bed: over a liner an upper bed, and always the tile with its membrane and mortar."""
    return Layers(over_liner(plan.job), tiled(plan.job))
