"""The flood test."""

from functools import lru_cache

import numpy as np

from ..bed.surfaces import Bed
from ..records import record
from .heights import Heights
from .site import Site
from .triangles import CLOSE, Looks, floor_triangles, summed


@record
class FloodTest:
    """The test of the bare lining, all in [mm], volume [mm3], mass [kg].

    level: the water over the datum; at_threshold: its least depth along thresholds, at_drain: its most, at the lowest
    drain; wanted: the code's at the threshold; is_held: the drain's head is at its limit, the threshold gets less;
    over_curb: how far it stands over the curb's bare top, 0 where not or unknown.
    """

    level: float
    at_threshold: float
    at_drain: float
    wanted: float
    is_held: bool
    over_curb: float
    volume: float
    mass: float


def flood_test(site: Site, finished: Heights) -> FloodTest:
    """The flood test of a planned bed's lining, whose thickness is neglected.

    At the thresholds' highest place water is as deep as the code wants, but no deeper at the drain than allowed.
    """
    rules = site.rules
    highs = [edge.high - site.build_up for edge in finished.thresholds]
    threshold = max(highs, default=site.bed.wall_height)
    lowest = min(drain.height for drain in site.drains)
    wanted, most = rules.pan_test_depth.value, rules.flood_head_most.value
    level = min(threshold + wanted, lowest + most)
    volume = _volume(site.bed, level)
    return FloodTest(
        level=level,
        at_threshold=level - threshold,
        at_drain=level - lowest,
        wanted=wanted,
        is_held=threshold + wanted > lowest + most + 1e-9,
        over_curb=_over_curb(site, level),
        volume=volume,
        mass=volume * rules.water_density,
    )


@lru_cache(maxsize=4)
def _volume(bed: Bed, level: float) -> float:
    """The water between the lining and its level [mm3]: exact where nothing stands out, else to 0.1 %."""
    floor = bed.reach.floor
    if level >= bed.wall_height and not bed.reach.has_ridges:
        return level * floor.area - bed.integral
    triangles = floor_triangles(floor.polygon)
    whole = np.zeros(len(triangles), dtype=int)
    found = summed(lambda places: np.maximum(level - bed.height(places.it), 0.0), Looks(triangles), whole, 1, CLOSE)
    return float(found[0])


def _over_curb(site: Site, level: float) -> float:
    if site.curb_top is None:
        return 0.0
    bare = site.curb_top - (site.build_up - site.upper_bed)
    return max(0.0, level - bare)
