"""Readings as fields: each is named by its list and its place, `readings@A` or `as_built@A-B 30 in`.

A station of one's own waits under `readings.own` or `as_built.own` beside the job until it is whole.
"""

from collections import Counter
from dataclasses import replace

from engine.errors import JobError
from engine.job.edit import with_reading, without_reading
from engine.job.model import AtWall, Job, Reading
from engine.job.place_text import place_text
from engine.job.schema import DROP, OFFSET

from .faults import fault_words
from .groups import Incomplete, default_walls, measured
from .state import Pending, State

ROUGH, BUILT = "readings", "as_built"
READING = f"{ROUGH}@"
_SECTIONS = (ROUGH, BUILT)
_LAST: dict[str, tuple[tuple[Reading, ...], dict[str, int]]] = {section: ((), {}) for section in _SECTIONS}


def own_of(section: str) -> str:
    """What the keys of a station of one's own in a list of readings begin with."""
    return f"{section}.own"


def section_of(key: str) -> str | None:
    """The list that a reading's key means; None for the key of anything else."""
    head = key.partition("@")[0]
    return head if head in _SECTIONS and key != head else None


def own_section_of(key: str) -> str | None:
    """The list that the key of a station of one's own means; None for any other key."""
    return next((section for section in _SECTIONS if key.startswith(own_of(section))), None)


def readings_of(job: Job, section: str) -> tuple[Reading, ...]:
    """The readings of a list."""
    return job.as_built if section == BUILT else job.readings


def reading_keys(job: Job, section: str = ROUGH) -> list[str]:
    """The keys of a list's readings, in order; a second one at the same place has a number."""
    return list(_numbers(job, section))


def reading_index(job: Job, key: str) -> int | None:
    """Which reading of its list a key means; None where there is none."""
    section = section_of(key)
    return None if section is None else _numbers(job, section).get(key)


def reading_text(job: Job, key: str) -> str:
    """The drop at a reading's key as typed; "" where it is not read."""
    section, index = section_of(key), reading_index(job, key)
    return "" if section is None or index is None else str(readings_of(job, section)[index].drop.text)


def with_reading_text(job: Job, key: str, text: str) -> Job:
    """The reading at a place with another drop; an empty text drops the reading. Raises JobError."""
    section, index = section_of(key) or ROUGH, reading_index(job, key)
    if text:
        return with_reading(job, index, key.partition("@")[2].split("#")[0], text, section)
    return job if index is None else without_reading(job, index, section)


def _numbers(job: Job, section: str) -> dict[str, int]:
    readings = readings_of(job, section)
    known, numbers = _LAST[section]
    if known is readings:
        return numbers
    if [reading.at for reading in known] != [reading.at for reading in readings]:
        numbers = _numbered(readings, section)
    _LAST[section] = (readings, numbers)
    return numbers


def _numbered(readings: tuple[Reading, ...], section: str) -> dict[str, int]:
    numbers: dict[str, int] = {}
    times = Counter[str]()
    for i, reading in enumerate(readings):
        key = f"{section}@{place_text(reading.at)}"
        times[key] += 1
        numbers[key if times[key] == 1 else f"{key}#{times[key]}"] = i
    return numbers


def with_own_station(state: State, section: str = ROUGH) -> tuple[State, str]:
    """The state with the station of one's own among a list's readings, and its key.

    Raises Incomplete while something is missing or unreadable.
    """
    own = own_of(section)
    texts = {key.removeprefix(f"{own}."): text for key, text in state.waiting(own).items()}
    try:
        along = measured(OFFSET, texts.get("along", ""), f"{own}.along", state.job)
        off = measured(OFFSET, texts["off"], f"{own}.off", state.job) if texts.get("off") else None
        drop = measured(DROP, texts.get("drop", ""), f"{own}.drop", state.job)
    except JobError as error:
        raise Incomplete from error
    reading = Reading(AtWall(texts.get("wall") or default_walls(state.job)[0], along, off), drop)
    readings = (*readings_of(state.job, section), reading)
    job = replace(state.job, as_built=readings) if section == BUILT else replace(state.job, readings=readings)
    return State(job, state.without(own)), reading_keys(job, section)[-1]


def checked_own(job: Job, key: str, text: str) -> Pending:
    """A text of a station of one's own, waiting beside the job until that is whole."""
    if not text or key.endswith(".wall"):
        return Pending(text)
    try:
        measured(DROP if key.endswith(".drop") else OFFSET, text, key, job)
    except JobError as error:
        return Pending(text, fault_words(error))
    return Pending(text)
