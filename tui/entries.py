"""How a field's text joins the job: on its own, with its group, or as a choice that moves others; rows of one's own.

Readings go by list and place, `readings@A` or `as_built@A-B 30 in`; a station of one's own waits under `readings.own`
or `as_built.own` beside the job until it is whole.
"""

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import replace

from engine.errors import JobError, QuantityError
from engine.job.edit import entry_text, with_entry, with_reading, without_reading
from engine.job.model import AtWall, Drain, DrainKind, Job, Reading, Wall
from engine.job.place_text import place_text
from engine.job.schema import DROP, OFFSET
from engine.phrases import phrase

from .faults import fault_words
from .groups import (
    Corners,
    DrainPlace,
    Group,
    Incomplete,
    Islands,
    Tapes,
    Walls,
    default_walls,
    measured,
    rows_of,
    texts_of,
)
from .own_figures import NEW, is_emptied, with_emptied_left, with_taken
from .state import Pending, State

ROUGH, BUILT = "readings", "as_built"
READING = f"{ROUGH}@"
_SECTIONS = (ROUGH, BUILT)
_LAST: dict[str, tuple[tuple[Reading, ...], dict[str, int]]] = {section: ((), {}) for section in _SECTIONS}
RECTANGLE, WALLS, CORNERS = "rectangle", "walls", "corners"
FORM_KEY = "outline.form"
_PLACE = re.compile(r"drains\[(\d+)\]\.(at|from|to)\.")
_DRAIN = re.compile(r"drains\[(\d+)\]\.(\w+)")
_STILL_USED = phrase("needed; the plan keeps the last one until another is typed")
_NUMBER = re.compile(r"\[(\d+)\]\.")


def text_at(state: State, key: str) -> str:
    """What stands in a key's field: the text being typed, or the job's entry."""
    if key in state.pending:
        return state.pending[key].text
    group = _group_of(key)
    if group is not None:
        return "" if state.waiting(group.prefix) else group.texts(state.job).get(key, "")
    if key == FORM_KEY:
        return _outline_form(state.job)
    if _section_of(key) is not None:
        return _reading_text(state.job, key)
    match = _DRAIN.match(key)
    if key == NEW or own_section_of(key) or (match and int(match[1]) >= len(state.job.drains)):
        return ""
    return entry_text(state.job, key)


def kept_texts(job: Job, keys: Iterable[str]) -> dict[str, str]:
    """What the job itself holds at fields, by key; a group's texts are told once for all its fields."""
    state, groups = State(job), dict[str, dict[str, str]]()
    kept = dict[str, str]()
    for key in keys:
        group = _group_of(key)
        if group is not None and group.prefix not in groups:
            groups[group.prefix] = group.texts(job)
        kept[key] = text_at(state, key) if group is None else groups[group.prefix].get(key, "")
    return kept


def entered(state: State, key: str, text: str) -> State:
    """The state after a field's text changed; an unusable one waits beside the job with its fault."""
    group = _group_of(key)
    if group is not None:
        return _entered_in_group(state, group, key, text)
    if key == FORM_KEY:
        return _with_outline_form(state, text)
    if key == NEW:
        return with_taken(state, text)
    waiting = _waiting(state.job, key, text)
    if waiting is not None:
        return state.beside(key, waiting)
    try:
        job = _with_one(state.job, key, text)
    except (JobError, QuantityError) as error:
        return state.beside(key, Pending(text, fault_words(error)))
    return State(job, {other: one for other, one in state.pending.items() if other != key})


def read_again(state: State) -> State:
    """The state with every unusable text tried again, as what it is read by has changed."""
    for key, one in state.pending.items():
        is_aside = key.startswith("outline.rectangle") and _outline_form(state.job) != RECTANGLE
        if one.fault and key in state.pending and not is_aside:
            state = entered(state, key, one.text)
    return state


def settled(state: State) -> State:
    """The state when a field is left: only then goes what was emptied of a list (a reading, a price)."""
    job, pending = state.job, dict(state.pending)
    for key, one in state.pending.items():
        if _section_of(key) is not None and not one.text:
            job = _with_reading_text(job, key, "")
            del pending[key]
    after = State(job, pending) if len(pending) < len(state.pending) else state
    return with_emptied_left(_with_tapes_left(after))


def _with_tapes_left(state: State) -> State:
    tapes = Tapes()
    texts = state.waiting(tapes.prefix)
    left = tapes.left(state.job, texts)
    if len(left) == len(texts):
        return state
    rest = state.without(tapes.prefix)
    try:
        return State(tapes.build(state.job, left), rest)
    except (Incomplete, JobError):
        return State(state.job, rest | {key: Pending(text) for key, text in left.items()})


def _group_of(key: str) -> Group | None:
    groups: tuple[Group, ...] = (Walls(), Corners(), Tapes(), Islands())
    for group in groups:
        if key.startswith(group.prefix):
            return group
    match = _PLACE.match(key)
    return DrainPlace(int(match[1]), match[2]) if match else None


def _outline_form(job: Job) -> str:
    if job.outline.walls:
        return WALLS
    return CORNERS if job.outline.corners else RECTANGLE


def _entered_in_group(state: State, group: Group, key: str, text: str) -> State:
    if key.endswith(".form") and group.texts(state.job).get(key) == text:
        return State(state.job, state.without(group.prefix))
    texts = (state.waiting(group.prefix) or group.texts(state.job)) | {key: text}
    rest = state.without(group.prefix)
    faults: dict[str, str] = {}
    try:
        job = group.build(state.job, texts)
    except Incomplete:
        pass
    except JobError as error:
        faults[error.key if error.key in texts else key] = fault_words(error)
    else:
        return State(
            job, {k: one for k, one in rest.items() if k != FORM_KEY or not isinstance(group, Walls | Corners)}
        )
    return State(state.job, rest | {k: Pending(value, faults.get(k, "")) for k, value in texts.items()})


def _with_outline_form(state: State, form: str) -> State:
    rest = state.without("outline.walls", "outline.corners", FORM_KEY)
    sides = state.job.outline.rectangle
    if form == _outline_form(state.job) or not (state.job.outline.is_given or form != RECTANGLE):
        return State(state.job, rest)
    if sides is None:
        return State(state.job, rest | {FORM_KEY: Pending(form)})
    outline = replace(state.job.outline, rectangle=None)
    if form == WALLS:
        outline = replace(outline, walls=tuple(Wall(side) for side in (*sides, *sides)))
    else:
        zero = measured(OFFSET, "0", FORM_KEY, state.job)
        outline = replace(outline, corners=((zero, zero), (sides[0], zero), sides, (zero, sides[1])))
    return State(replace(state.job, outline=outline), rest)


def _waiting(job: Job, key: str, text: str) -> Pending | None:
    if own_section_of(key) is not None:
        return _checked_own(job, key, text)
    if is_emptied(job, key, text):
        return Pending(text)
    if not text and _is_in_use(job, key):
        return Pending(text, _STILL_USED)
    return Pending(text) if not text and reading_index(job, key) is not None else None


def _is_in_use(job: Job, key: str) -> bool:
    if key.startswith("outline.rectangle"):
        return job.outline.rectangle is not None
    match = _DRAIN.fullmatch(key)
    if match is None or match[2] != "size":
        return False
    return int(match[1]) < len(job.drains) and job.drains[int(match[1])].size is not None


def _with_one(job: Job, key: str, text: str) -> Job:
    if _section_of(key) is not None:
        return _with_reading_text(job, key, text)
    if key.startswith("outline.rectangle"):
        job = replace(job, outline=replace(job.outline, walls=None, corners=None))
    match = _DRAIN.match(key)
    if match and int(match[1]) == len(job.drains):
        job = replace(job, drains=(*job.drains, Drain()))
    if match and match[2] == "kind":
        return _with_drain_kind(job, int(match[1]), text)
    return with_entry(job, key, text)


def _with_drain_kind(job: Job, index: int, text: str) -> Job:
    drains = list(job.drains)
    kind = DrainKind(text)
    gone = {"at": None} if kind is DrainKind.CHANNEL else {"start": None, "end": None}
    drains[index] = replace(drains[index], kind=kind, **gone)
    return replace(job, drains=tuple(drains))


def with_row(state: State, key: str) -> tuple[State, str]:
    """The state with a row after a field's, and its first field's key, "" for none."""
    section = _section_of(key) or own_section_of(key)
    if section is not None:
        wall = f"{own_of(section)}.wall"
        return state if wall in state.pending else state.beside(wall, Pending(default_walls(state.job)[0])), wall
    group = _group_of(key)
    if isinstance(group, Walls | Corners):
        return _with_row_after(state, group, key)
    if key.startswith("drains["):
        drains = (*state.job.drains, Drain())
        return State(replace(state.job, drains=drains), state.pending), f"drains[{len(drains) - 1}].kind"
    return state, ""


def _with_row_after(state: State, group: Group, key: str) -> tuple[State, str]:
    rows = rows_of(state.waiting(group.prefix) or group.texts(state.job))
    match = _NUMBER.search(key)
    at = min(int(match[1]) + 1 if match else len(rows), len(rows))
    part = next(iter(group.parts))
    rows.insert(at, {part: ""})
    texts = texts_of(group.prefix, rows)
    pending = state.without(group.prefix) | {k: Pending(text) for k, text in texts.items()}
    return State(state.job, pending), f"{group.prefix}[{at}].{part}"


def own_of(section: str) -> str:
    """What the keys of a station of one's own in a list of readings begin with."""
    return f"{section}.own"


def _section_of(key: str) -> str | None:
    """The list that a reading's key means."""
    head = key.partition("@")[0]
    return head if head in _SECTIONS and key != head else None


def own_section_of(key: str) -> str | None:
    """The same for the key of a station of one's own."""
    return next((section for section in _SECTIONS if key.startswith(own_of(section))), None)


def readings_of(job: Job, section: str) -> tuple[Reading, ...]:
    """The readings of a list."""
    return job.as_built if section == BUILT else job.readings


def reading_keys(job: Job, section: str = ROUGH) -> list[str]:
    """The keys of a list's readings, in order; a second at a place has a number."""
    return list(_numbers(job, section))


def reading_index(job: Job, key: str) -> int | None:
    """Which reading of its list a key means; None for none."""
    section = _section_of(key)
    return None if section is None else _numbers(job, section).get(key)


def _reading_text(job: Job, key: str) -> str:
    section, index = _section_of(key), reading_index(job, key)
    return "" if section is None or index is None else str(readings_of(job, section)[index].drop.text)


def _with_reading_text(job: Job, key: str, text: str) -> Job:
    section, index = _section_of(key) or ROUGH, reading_index(job, key)
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
    """The state with the station of one's own in its list, and its key. Raises Incomplete until it is whole."""
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


def _checked_own(job: Job, key: str, text: str) -> Pending:
    if text and not key.endswith(".wall"):
        try:
            measured(DROP if key.endswith(".drop") else OFFSET, text, key, job)
        except JobError as error:
            return Pending(text, fault_words(error))
    return Pending(text)
