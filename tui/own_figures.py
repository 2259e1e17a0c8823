"""The person's own figures, prices and readings before work: fields that go when emptied; figures from a list.

What is taken from it waits under `figures.new` beside the job until its field holds a value.
"""

import re

from engine.job.edit import with_entry
from engine.job.model import Job
from engine.job.rule_figures import Figure, figure_of

from .state import Pending, State

_PREFIX = "figures."
PRICES = "prices."
NEW = f"{_PREFIX}new"
_BEFORE = re.compile(r"readings\[\d+\]\.before")


def figure_at(key: str) -> Figure | None:
    """The figure of a key's field; None for any other field."""
    name = key.removeprefix(_PREFIX)
    return None if key in (name, NEW) else figure_of(name)


def shown_figures(state: State) -> tuple[list[Figure], Figure | None]:
    """The figures that have a field, and of the rest the one just taken from the list."""
    waiting = [key.removeprefix(_PREFIX) for key in state.pending if key.startswith(_PREFIX) and key != NEW]
    keys = dict.fromkeys([*(key for key, _ in state.job.figures), *waiting])
    taken = state.pending[NEW].text if NEW in state.pending else ""
    return [figure_of(key) for key in keys if key != taken], figure_of(taken) if taken else None


def with_taken(state: State, key: str) -> State:
    """The state with another figure taken from the list, or with none."""
    rest = state.without(NEW)
    return State(state.job, rest | {NEW: Pending(key)} if key else rest)


def is_emptied(job: Job, key: str, text: str) -> bool:
    """Whether the field of a figure, a price or what was read before was emptied: it goes once left."""
    listed = (*(f"{_PREFIX}{name}" for name, _ in job.figures), *price_keys(job))
    return not text and (key in listed or bool(_BEFORE.fullmatch(key)))


def price_keys(job: Job) -> list[str]:
    """The keys of the prices that the job has."""
    return [f"{PRICES}{name}" for name, _ in job.prices]


def with_emptied_left(state: State) -> State:
    """The state when a field is left: what was emptied goes, a figure with its value leaves the list."""
    job = state.job
    emptied = [key for key, one in state.pending.items() if not one.text and not one.fault and key != NEW]
    gone = [key for key in emptied if key.startswith((_PREFIX, PRICES)) or _BEFORE.fullmatch(key)]
    for key in gone:
        job = with_entry(job, key, "")
    pending = {key: one for key, one in state.pending.items() if key not in gone}
    settled = {*(name for name, _ in job.figures), *(key.removeprefix(_PREFIX) for key in gone)}
    if NEW in pending and pending[NEW].text in settled:
        del pending[NEW]
    return State(job, pending) if len(pending) < len(state.pending) else state
