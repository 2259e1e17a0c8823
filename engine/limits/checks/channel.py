"""A channel that stops short of the walls under one plane: what lies past its ends is flat."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from engine.bed.plane import PlaneBed
from engine.job.model import BedShape
from engine.limits.checks.case import planned_fall
from engine.limits.findings import Finding
from engine.limits.words import length_over
from engine.quantities import INCH, format_fall
from engine.survey.spot import Needs

if TYPE_CHECKING:
    from collections.abc import Iterator

    from engine.limits.checks.case import Case
    from engine.types import Array

_SHORT = INCH  # [mm] a channel this near a wall is as long as it can be (common practice, no source)


def check_channel(case: Case) -> Iterator[Finding]:
    """Finding channel-short: the plane has no fall along the channel's line past its ends."""
    bed, floor = case.stages.bed, case.stages.outline
    if not isinstance(bed, PlaneBed) or isinstance(floor, Needs):
        return
    spot = _farthest_flat(bed)
    flange = bed.reach.flange
    gap = abs(float((spot - flange.centre) @ flange.axis)) - flange.length / 2
    if gap <= _SHORT:
        return
    limit, fall = case.book.least_fall, planned_fall(case)
    yield Finding(
        rule="channel-short",
        level=limit.level,
        says=f"past the channel's end the floor is flat for {length_over(gap, case.units)}: water stands there",
        remedy=f"make the channel {length_over(gap, case.units)} longer, or let that part fall to its end too: at "
        f"{format_fall(fall, case.units)} it rises {length_over(gap * fall, case.units)}; even fall does so",
        source=limit.cited,
        x=float(spot[0]),
        y=float(spot[1]),
        key="bed.shape",
        change=(("bed.shape", BedShape.EVEN_FALL.value),),
    )


def _farthest_flat(bed: PlaneBed) -> Array:
    """The place (2,) [mm] on the channel's line that is farthest from the channel."""
    flange, polygon = bed.reach.flange, bed.reach.floor.polygon
    low, high = np.array(shapely.bounds(polygon)).reshape(2, 2)
    far = 2 * float(np.hypot(*(high - low))) + flange.length
    line = shapely.linestrings([flange.centre - far * flange.axis, flange.centre + far * flange.axis])
    places = shapely.get_coordinates(shapely.intersection(line, polygon))
    away = np.abs((places - flange.centre) @ flange.axis)
    return np.asarray(places[int(np.argmax(away))])
