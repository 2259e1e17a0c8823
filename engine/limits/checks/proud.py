"""Drains of unlike heights with an even fall: one that stands over the bed to another."""

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
import shapely

from ...bed.even_fall import EvenFall
from ...bed.reach import SharedReach
from ...bed.surfaces import Bed
from ...phrases import phrase
from ...types import Array
from ..words import enough
from .case import NOISE, Case, Finding, Findings, Level

_ROUND_RIM = 64  # places along a flange's rim, besides corners


class Proud(NamedTuple):
    """A drain's rim over the bed [mm]: its most, where (2,), which drain that bed falls to.

    least: its least, over 0 where no water runs in.
    """

    drain: int
    by: float
    place: Array
    lower: int
    least: float


def proud_drains(bed: Bed) -> Iterator[Proud]:
    """The drains that stand over an even fall to another, each where it does most."""
    if not isinstance(bed, EvenFall) or not isinstance(bed.reach, SharedReach):
        return
    for number, (flange, head) in enumerate(zip(bed.reach.flanges, bed.reach.heads, strict=True)):
        ring = shapely.segmentize(flange.polygon.exterior, shapely.length(flange.polygon) / _ROUND_RIM)
        rim = shapely.get_coordinates(ring)[:-1]
        rim = rim[shapely.intersects_xy(bed.reach.floor.polygon, *rim.T)]
        over = head - bed.reach.each(rim)
        over[number] = -np.inf
        lower, at = np.unravel_index(int(np.argmax(np.round(over, 6))), over.shape)
        by = bed.fall * float(over[lower, at])
        if by > NOISE:
            yield Proud(number, by, rim[at], int(lower), bed.fall * float(over.max(axis=0).min()))


def check_proud(case: Case, bed: Bed) -> Findings:
    """Findings drain-proud: a stop where no water runs into a drain, a caution where some runs past."""
    drains = case.stages.drains
    for number, by, place, lower, least in proud_drains(bed):
        drop = drains[number].drop if drains else None
        if drop is None:
            continue
        yield Finding(
            "drain-proud",
            Level.STOP if least > 0 else Level.CAUTION,
            says=phrase(
                "drain {number} stands up to {by} over the bed round it, which falls to drain {lower}: no water runs "
                "into it"
                if least > 0
                else "the rim of drain {number} stands up to {by} over the bed beside it, which falls to drain {lower}",
                number=number + 1,
                by=case.over(by),
                lower=lower + 1,
            ),
            remedy=phrase(
                "lower drain {number} by {by}, or raise drain {lower} by as much, or move them apart",
                number=number + 1,
                by=case.worked(by),
                lower=lower + 1,
            ),
            source=phrase("geometry"),
            x=float(place[0]),
            y=float(place[1]),
            key=f"drains[{number}].drop",
            drains=(number,),
            change=((f"drains[{number}].drop", case.length(drop + enough(by, case.units))),),
        )
