"""One plane to a channel: what is flat past the channel's ends, and where a wall stands in the water's way."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from engine.bed.plane import PlaneBed
from engine.job.model import BedShape
from engine.limits.checks.case import planned_fall
from engine.limits.findings import Finding, Level
from engine.limits.words import length_over
from engine.phrases import phrase
from engine.quantities import INCH, format_fall
from engine.rings import following, preceding
from engine.survey.spot import Needs, Spot

if TYPE_CHECKING:
    from collections.abc import Iterator

    from engine.limits.checks.case import Case
    from engine.types import Array, Mask

_LEVEL = 1e-9  # [-] a wall that falls less is level; also [mm]
_SHORT = INCH  # [mm] a channel this near a wall is as long as it can be (common practice, no source)


def check_channel(case: Case) -> Iterator[Finding]:
    """Findings channel-short and plane-blocked, where the bed is one plane."""
    bed, floor = case.stages.bed, case.stages.outline
    if not isinstance(bed, PlaneBed) or isinstance(floor, Needs):
        return
    yield from _short(case, bed)
    yield from _blocked(case, bed)


def _blocked(case: Case, bed: PlaneBed) -> Iterator[Finding]:
    """Where water runs down the plane into a corner and finds no lower way out."""
    corners = np.vstack([dead_ends(ring, bed) for ring in bed.reach.floor.rings])
    if not len(corners):
        return
    lowest = corners[int(np.argmin(np.round(bed.height(corners), 6)))]
    spot = Spot(float(bed.height(lowest[None])[0]), float(lowest[0]), float(lowest[1]))
    yield Finding(
        rule="plane-blocked",
        level=Level.STOP,
        says=phrase(
            "water runs down the plane {place} and stands there: a wall is between it and the channel",
            place=case.at(spot),
        ),
        remedy=phrase(
            "take an even fall: it leads the water round the wall at {fall}",
            fall=format_fall(planned_fall(case), case.units),
        ),
        source=phrase("geometry"),
        x=spot.x,
        y=spot.y,
        key="bed.shape",
        change=(("bed.shape", BedShape.EVEN_FALL.value),),
    )


def dead_ends(ring: Array, bed: PlaneBed) -> Array:
    """The corners (m, 2) of a ring, floor on its left, from which neither floor nor wall leads down the plane."""
    flange = bed.reach.flange
    away = (ring - flange.centre) @ flange.frame[1]
    down = -np.sign(away)[:, None] * flange.frame[1]
    after, before = _unit(following(ring) - ring), _unit(preceding(ring) - ring)
    along = np.column_stack([(after * down).sum(axis=1), (before * down).sum(axis=1)])
    leads = (
        (np.abs(away) <= flange.half + _LEVEL) | (along > _LEVEL).any(axis=1) | _between(after, before, down)
    )
    is_level = np.abs(along[:, 0]) <= _LEVEL
    for _ in ring:  # a level wall passes on what its other end can do
        leads = leads | (is_level & following(leads)) | (preceding(is_level) & preceding(leads))
    return np.asarray(ring[~leads])


def _unit(sides: Array) -> Array:
    return np.asarray(sides / np.hypot(*sides.T)[:, None])


def _between(after: Array, before: Array, direction: Array) -> Mask:
    """Whether each direction points into the floor: it lies counter-clockwise between a corner's two walls."""
    first, last, asked = (np.arctan2(side[:, 1], side[:, 0]) for side in (after, before, direction))
    turn = 2 * np.pi
    return np.asarray((asked - first) % turn < (last - first) % turn)


def _short(case: Case, bed: PlaneBed) -> Iterator[Finding]:
    gap, spot = _past_ends(bed)
    if gap <= _SHORT:
        return
    limit, fall = case.book.least_fall, planned_fall(case)
    yield Finding(
        rule="channel-short",
        level=limit.level,
        says=phrase(
            "past the channel's end the floor is flat for {gap}: water stands there",
            gap=length_over(gap, case.units),
        ),
        remedy=phrase(
            "make the channel {gap} longer, or let that part fall to its end too: at {fall} it rises "
            "{rise}; even fall does so",
            gap=length_over(gap, case.units),
            fall=format_fall(fall, case.units),
            rise=length_over(gap * fall, case.units),
        ),
        source=limit.cited,
        x=float(spot[0]),
        y=float(spot[1]),
        key="bed.shape",
        change=(("bed.shape", BedShape.EVEN_FALL.value),),
    )


def flat_past_ends(bed: PlaneBed) -> bool:
    """Whether floor on the channel's line goes on past its ends, flat."""
    return _past_ends(bed)[0] > _SHORT


def _past_ends(bed: PlaneBed) -> tuple[float, Array]:
    """How far the floor goes on past the channel's end on its line [mm], and to where (2,) [mm]."""
    spot, flange = _farthest_flat(bed), bed.reach.flange
    return abs(float((spot - flange.centre) @ flange.axis)) - flange.length / 2, spot


def _farthest_flat(bed: PlaneBed) -> Array:
    """The place (2,) [mm] on the channel's line that is farthest from the channel."""
    flange, polygon = bed.reach.flange, bed.reach.floor.polygon
    low, high = np.array(shapely.bounds(polygon)).reshape(2, 2)
    far = 2 * float(np.hypot(*(high - low))) + flange.length
    line = shapely.linestrings([flange.centre - far * flange.axis, flange.centre + far * flange.axis])
    places = shapely.get_coordinates(shapely.intersection(line, polygon))
    away = np.abs((places - flange.centre) @ flange.axis)
    return np.asarray(places[int(np.argmax(away))])
