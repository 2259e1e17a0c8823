"""The stations worth reading, in walking order: corners, drain, then where knowledge is thinnest."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from engine.errors import JobError
from engine.job.model import AtCorner, AtWall, Place, Typed
from engine.job.place_text import place_text
from engine.quantities import format_length
from engine.survey.advice import next_corner
from engine.survey.outline import FloorOutline
from engine.survey.places import locate
from tui.entries import READING, reading_index, reading_keys

if TYPE_CHECKING:
    from engine.job.model import Job
    from engine.plan import Plan
    from engine.quantities import Units

_LONG_WALL = 1220.0  # [mm] 4 ft: the middle of a longer wall is worth a reading
_ONE_PLACE = 1.0  # [mm]


@dataclass(frozen=True, slots=True)
class WorthReading:
    """A station: the key of its field, its name in words, whether it is read, and its number among the readings."""

    key: str
    name: str
    index: int | None = None

    @property
    def is_read(self) -> bool:
        """Whether there is a reading."""
        return self.index is not None


def stations(job: Job, plan: Plan) -> list[WorthReading]:
    """The stations worth reading and the person's own, as far as there is an outline."""
    if not isinstance(plan.outline, FloorOutline):
        return []
    offered = _corners(plan.outline) + _drains(job) + _long_walls(plan.outline, job.units)
    taken = _keys_by_place(job, plan)
    listed = [_listed(job, place, name, taken, plan) for place, name in offered]
    seen = {station.key for station in listed}
    own = [
        WorthReading(key, place_text(reading.at), i)
        for i, (key, reading) in enumerate(zip(reading_keys(job), job.readings, strict=True))
        if key not in seen
    ]
    return listed + own


def best_next(plan: Plan) -> tuple[str, float] | None:
    """The corner whose reading tells most, and the share of the floor then still guessed; None when all are read."""
    if not isinstance(plan.outline, FloorOutline) or not plan.readings:
        return None
    places = np.array([[station.x, station.y] for station in plan.readings])
    corner, left = next_corner(plan.outline.polygon, plan.outline.corners, places)
    is_read = np.hypot(*(places - plan.outline.corners[corner]).T).min() < _ONE_PLACE
    return None if is_read else (plan.outline.names[corner], left)


def _corners(floor: FloorOutline) -> list[tuple[Place, str]]:
    return [(AtCorner(name), name) for name in floor.names]


def _drains(job: Job) -> list[tuple[Place, str]]:
    several = len(job.drains) > 1
    return [
        (drain.at, f"drain {i + 1}" if several else "drain")
        for i, drain in enumerate(job.drains)
        if drain.at is not None
    ]


def _long_walls(floor: FloorOutline, units: Units) -> list[tuple[Place, str]]:
    found: list[tuple[Place, str]] = []
    for i, wall in enumerate(floor.walls):
        if floor.length(i) > _LONG_WALL:
            half = format_length(floor.length(i) / 2, units)
            found.append((AtWall(wall, Typed(half, floor.length(i) / 2)), f"{wall} middle"))
    return found


def _keys_by_place(job: Job, plan: Plan) -> list[tuple[str, float, float]]:
    keys = reading_keys(job)
    return [(key, s.x, s.y) for key, s in zip(keys, plan.readings, strict=False)]


def _listed(
    job: Job, place: Place, name: str, taken: list[tuple[str, float, float]], plan: Plan
) -> WorthReading:
    """An offered station; a reading that was taken there under another name counts as its."""
    key = READING + place_text(place)
    index = reading_index(job, key)
    if index is not None:
        return WorthReading(key, name, index)
    at = _located(place, plan)
    for i, (other, x, y) in enumerate(taken):
        if at is not None and abs(x - at[0]) < _ONE_PLACE and abs(y - at[1]) < _ONE_PLACE:
            return WorthReading(other, name, i)
    return WorthReading(key, name)


def _located(place: Place, plan: Plan) -> tuple[float, float] | None:
    if not isinstance(plan.outline, FloorOutline):
        return None
    try:
        x, y = locate(place, plan.outline, "").tolist()
    except JobError:
        return None
    return x, y
