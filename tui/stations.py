"""The stations worth reading: a rough floor's in walking order, a finished bed's with what is planned at each."""

from collections.abc import Collection, Iterator

import numpy as np

from engine.errors import JobError
from engine.job.model import AtCorner, AtWall, Job, Place, Typed
from engine.job.place_text import place_text
from engine.phrases import phrase
from engine.plan import Plan
from engine.proof.stations import worth_reading
from engine.quantities import Units, format_length
from engine.records import record
from engine.survey.advice import next_corner
from engine.survey.outline import FloorOutline
from engine.survey.places import locate

from .entries import BUILT, READING, reading_index, reading_keys

_LONG_WALL = 1220.0  # [mm] 4 ft: the middle of a longer wall is worth a reading
_MOST_OWN = 60  # more fields would slow every key, and nobody reads them
_ONE_PLACE = 1.0  # [mm]


@record
class WorthReading:
    """A station: its field's key, name, number among the readings; of a finished bed the planned drop [mm]."""

    key: str
    name: str
    index: int | None
    planned: float | None = None


@record
class Stations:
    """The stations to list, the number of readings, and of all stations, read or not."""

    listed: tuple[WorthReading, ...]
    read: int
    total: int

    @property
    def hidden(self) -> int:
        """How many stations are not listed."""
        return self.total - len(self.listed)


def stations(job: Job, plan: Plan, odd: Collection[int] = ()) -> Stations:
    """The stations worth reading, then the person's own, given an outline; odd: readings always listed."""
    if not plan.outline:
        return Stations((), 0, 0)
    keys = reading_keys(job)
    places = {(round(s.x), round(s.y)): i for i, s in enumerate(plan.readings) if i < len(keys)}
    corners: list[tuple[Place, str]] = [(AtCorner(name), name) for name in plan.outline.names]
    offered = corners + _drains(job) + _long_walls(plan.outline, job.units)
    found = [(name, _number(job, place, places, plan.outline), place) for place, name in offered]
    listed = [WorthReading(READING + place_text(at) if i is None else keys[i], name, i) for name, i, at in found]
    taken = {station.index for station in listed}
    unread = sum(station.index is None for station in listed)
    read = sum(not reading.reckoned for reading in job.readings)
    return Stations((*listed, *_own(keys, taken, odd)), read, len(keys) + unread)


def _own(keys: list[str], taken: set[int | None], odd: Collection[int] = ()) -> Iterator[WorthReading]:
    own, half = [i for i in range(len(keys)) if i not in taken], _MOST_OWN // 2
    if len(own) > _MOST_OWN:
        own = [*own[:half], *(i for i in own[half:-half] if i in odd), *own[-half:]]
    return (WorthReading(keys[i], keys[i].partition("@")[2], i) for i in own)


def best_next(plan: Plan) -> tuple[str, float] | None:
    """The corner whose reading tells most, and the floor's share then guessed; None when all are read."""
    if not plan.outline or not plan.readings:
        return None
    places = np.array([[station.x, station.y] for station in plan.readings])
    corner, left = next_corner(plan.outline.polygon, plan.outline.corners, places)
    is_read = np.hypot(*(places - plan.outline.corners[corner]).T).min() < _ONE_PLACE
    return None if is_read else (plan.outline.names[corner], left)


def _drains(job: Job) -> list[tuple[Place, str]]:
    several = len(job.drains) > 1
    return [
        (drain.at, phrase("floor at drain {number}", number=i + 1) if several else phrase("floor at drain"))
        for i, drain in enumerate(job.drains)
        if drain.at is not None
    ]


def _long_walls(floor: FloorOutline, units: Units) -> list[tuple[Place, str]]:
    found: list[tuple[Place, str]] = []
    for i, wall in enumerate(floor.walls):
        if floor.length(i) > _LONG_WALL:
            half = format_length(floor.length(i) / 2, units)
            found.append((AtWall(wall, Typed(half, floor.length(i) / 2)), phrase("{wall} middle", wall=wall)))
    return found


def _number(job: Job, place: Place, places: dict[tuple[int, int], int], floor: FloorOutline) -> int | None:
    index = reading_index(job, READING + place_text(place))
    at = _located(place, floor) if index is None else None
    return index if at is None else places.get((round(at[0]), round(at[1])))


def _located(place: Place, floor: FloorOutline) -> tuple[float, float] | None:
    try:
        x, y = locate(place, floor, "").tolist()
    except JobError:
        return None
    return x, y


def built_fields(job: Job, plan: Plan) -> tuple[WorthReading, ...]:
    """The stations worth reading, then the person's own; none without a bed."""
    floor, bed, drains = plan.outline, plan.bed, plan.drains
    if not floor or not bed or not drains:
        return ()
    keys = reading_keys(job, BUILT)
    read = [_located(reading.at, floor) for reading in job.as_built]
    line = drains[0].drop
    found: list[WorthReading] = []
    taken: set[int | None] = set()
    for place, name in worth_reading(floor, bed.reach.flanges, job.units):
        at = _located(place, floor)
        index = next((i for i, other in enumerate(read) if i not in taken and _is_one(at, other)), None)
        taken.add(index)
        planned = None if line is None or at is None else line - float(bed.height(np.array([at]))[0])
        key = f"{BUILT}@{place_text(place)}" if index is None else keys[index]
        found.append(WorthReading(key, name, index, planned))
    return (*found, *_own(keys, taken))


def _is_one(at: tuple[float, float] | None, other: tuple[float, float] | None) -> bool:
    return at is not None and other is not None and max(abs(at[0] - other[0]), abs(at[1] - other[1])) < _ONE_PLACE
