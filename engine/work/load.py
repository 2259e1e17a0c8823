"""What the bed and everything on it weigh."""

import numpy as np

from ..bed.depth import over_corners
from ..job.defaults import tiled
from ..phrases import phrase
from ..quantities import INCH
from ..records import record
from ..survey.spot import Spot
from . import practice
from .flood import FloodTest
from .rules import load_of
from .site import Site


@record
class LoadPart:
    """A thing that weighs on the floor: its load, mean and where the bed is deepest [kPa], and the source."""

    name: str
    mean: float
    worst: float
    source: str


@record
class Load:
    """The dead load by parts, its mean, and its worst with the place, all in [kPa].

    test_mean, test_worst: bed, sheets and water during the flood test, before tile or upper bed; water_mean,
    water_most: the water alone; allowance: what the job says the floor was checked for.
    """

    parts: tuple[LoadPart, ...]
    mean: float
    worst: Spot
    water_mean: float
    water_most: float
    test_mean: float
    test_worst: float
    allowance: float | None


def load(site: Site, test: FloodTest) -> Load:
    """What a planned bed weighs on the floor.

    Tile and mortar are taken as dense as granite, felt, lath and lining as 1/2 lb a square foot (common practice, no
    source); the mud's weight is sourced.
    """
    parts = dead_load(site)
    worst, at = sum(part.worst for part in parts), site.depth.most
    bare_mean = parts[0].mean + practice.SHEETS_LOAD
    water_mean = load_of(test.mass, site.floor.area)
    an_inch = site.rules.water_load_an_inch.value
    allowance = site.job.floor.dead_load_allowance
    return Load(
        parts=parts,
        mean=sum(part.mean for part in parts),
        worst=Spot(worst, at.x, at.y),
        water_mean=water_mean,
        water_most=test.at_drain / INCH * an_inch,
        test_mean=bare_mean + water_mean,
        test_worst=_worst_filled(site, test) + practice.SHEETS_LOAD,
        allowance=None if allowance is None else allowance.value,
    )


def dead_load(site: Site) -> tuple[LoadPart, ...]:
    """What stays on the floor, by parts, in closed form from the bed's mean and most depth."""
    mud, rule = site.rules.bed_load_an_inch.value / INCH, site.rules.bed_load_an_inch
    name = phrase("pre-slope" if site.is_between else "bed")
    mean = mud * site.depth.volume / site.floor.area
    parts = [LoadPart(name, mean, mud * max(site.depth.most.value, 0.0), rule.source)]
    if site.is_between:
        parts.append(_even(phrase("upper bed"), mud * site.upper_bed, rule.source))
    over = tiled(site.job) / INCH * practice.TILE_LOAD_AN_INCH
    source = phrase("as dense as granite: {practice}", practice=practice.NO_SOURCE)
    tile = _even(phrase("tile and its mortar"), over, source)
    return (*parts, tile, _even(phrase("felt, lath and lining"), practice.SHEETS_LOAD, practice.NO_SOURCE))


def _even(name: str, kpa: float, source: str) -> LoadPart:
    return LoadPart(name, kpa, kpa, source)


def most_filled(site: Site) -> float:
    """The most that bed, sheets and water weigh during the flood test [kPa], in closed form.

    Water no higher than wanted over the highest wall; deepest bed and lowest floor taken as one place.
    """
    rules = site.rules
    lowest = min(drain.height for drain in site.drains)
    level = min(site.bed.wall_height + rules.pan_test_depth.value, lowest + rules.flood_head_most.value)
    mud, wet = rules.bed_load_an_inch.value / INCH, rules.water_load_an_inch.value / INCH
    deepest = max(site.depth.most.value, 0.0)
    filled = max(mud * deepest, (mud - wet) * deepest + wet * (level - site.rough.lowest.value))
    return filled + practice.SHEETS_LOAD


def _worst_filled(site: Site, test: FloodTest) -> float:
    """The most that bed and water weigh together anywhere [kPa].

    Mud is heavier: at a corner of the rough floor's plane pieces, the deepest place or a drain.
    """
    frame, deepest = site.rough.frame, site.depth.most
    others = [[deepest.x, deepest.y], *(drain.flange.centre for drain in site.drains)]
    over_others = site.bed.height(np.array(others))
    under = [over_others[0] - deepest.value, *(drain.height - drain.above_rough for drain in site.drains)]
    beds = np.concatenate([over_corners(site.bed, site.rough.mesh), over_others])
    depths = np.maximum(beds - np.concatenate([frame.heights[frame.used], under]), 0.0)
    water = np.maximum(test.level - beds, 0.0)
    mud, wet = site.rules.bed_load_an_inch.value / INCH, site.rules.water_load_an_inch.value / INCH
    return float((mud * depths + wet * water).max())
