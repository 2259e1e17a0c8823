"""The stations of a finished bed worth reading, with what is read and planned at each."""

import numpy as np

from engine.bed.surfaces import Hidden
from engine.job.model import Job
from engine.job.place_text import place_text
from engine.plan import Plan
from engine.proof.stations import worth_reading
from engine.records import record
from engine.survey.outline import FloorOutline
from engine.survey.spot import Needs

from .reading_entries import BUILT, reading_keys
from .stations import listed_own, located

_ONE_PLACE = 1.0  # [mm]


@record
class BuiltField:
    """A station: its field's key and name, its number among the readings, its planned drop [mm]."""

    key: str
    name: str
    index: int | None
    planned: float | None


def built_fields(job: Job, plan: Plan) -> tuple[BuiltField, ...]:
    """The stations worth reading, then the person's own; none before there is a bed."""
    floor, bed, drains = plan.outline, plan.bed, plan.drains
    if not isinstance(floor, FloorOutline) or isinstance(bed, Needs | Hidden) or isinstance(drains, Needs):
        return ()
    keys = reading_keys(job, BUILT)
    read = [located(reading.at, floor) for reading in job.as_built]
    line = drains[0].drop
    found: list[BuiltField] = []
    taken: set[int] = set()
    for place, name in worth_reading(floor, bed.reach.flanges, job.units):
        at = located(place, floor)
        index = next((i for i, other in enumerate(read) if i not in taken and _is_one(at, other)), None)
        taken |= set() if index is None else {index}
        planned = None if line is None or at is None else line - float(bed.height(np.array([at]))[0])
        key = f"{BUILT}@{place_text(place)}" if index is None else keys[index]
        found.append(BuiltField(key, name, index, planned))
    shown = listed_own([i for i in range(len(keys)) if i not in taken])
    return (*found, *(BuiltField(keys[i], keys[i].partition("@")[2], i, None) for i in shown))


def _is_one(at: tuple[float, float] | None, other: tuple[float, float] | None) -> bool:
    return at is not None and other is not None and max(abs(at[0] - other[0]), abs(at[1] - other[1])) < _ONE_PLACE
