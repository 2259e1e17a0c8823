"""The drains: their flanges in plan, and the height that each is set at."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from engine.bed.depth import Gap, extreme_depths
from engine.bed.flange import Flange
from engine.job.model import DrainKind
from engine.survey.places import locate
from engine.survey.spot import Needs

if TYPE_CHECKING:
    from engine.job.model import Drain, Job
    from engine.survey.outline import FloorOutline


@dataclass(frozen=True, slots=True)
class SetDrain:
    """A drain set at its height: height over the datum (0 for the first) and over the rough floor [mm].

    drop: from the laser line down to the flange top [mm], None where no line is known; planned: whether the height
    was left open and reckoned here.
    """

    flange: Flange
    height: float
    above_rough: float
    drop: float | None
    planned: bool


def flanges(job: Job, floor: FloorOutline) -> tuple[Flange, ...] | Needs:
    """The drains' flanges in plan.

    Raises JobError for a place that is none.
    """
    if not job.drains:
        return Needs("drains[0]", "where is the drain?")
    if len(job.drains) > 1:
        return Needs("drains[1]", "this version plans one drain; several are not planned yet", not_yet=True)
    return _one(job.drains[0], floor)


def _one(drain: Drain, floor: FloorOutline) -> tuple[Flange, ...] | Needs:
    if drain.kind is None:
        return Needs("drains[0].kind", "is the drain round or square?")
    if drain.kind is DrainKind.CHANNEL:
        return Needs(
            "drains[0].kind",
            "this version plans round and square drains; channels are not planned yet",
            not_yet=True,
        )
    if drain.size is None:
        return Needs("drains[0].size", "how wide is the drain's flange?")
    if drain.at is None:
        return Needs("drains[0].at", "where is the drain?")
    centre = locate(drain.at, floor, "drains[0].at")
    return (Flange(drain.kind, centre, drain.size.value, floor.directions[0]),)


def lowest_drop(gap: Gap, least_depth: float) -> float:
    """The drop [mm] of the lowest flange that keeps the bed's depth everywhere at `least_depth` [mm] or more.

    gap: the bed over the rough floor with heights over the laser line. Raising the flange raises the whole bed
    by as much, so the flange stands where the least depth is just kept: a closed form, no search.
    """
    return extreme_depths(gap)[0].value - least_depth
