"""The person's own figures as fields: one a figure, by its key, and a list from which another one is taken.

What is taken from the list waits under `figures.new` beside the job until its own field holds a value.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.job.edit import with_entry
from engine.job.rule_figures import Figure, figure_of
from tui.state import Pending, State

if TYPE_CHECKING:
    from engine.job.model import Job

_PREFIX = "figures."
NEW = f"{_PREFIX}new"


def figure_at(key: str) -> Figure | None:
    """The figure whose field a key means; None for any other field."""
    name = key.removeprefix(_PREFIX)
    return None if key in (name, NEW) else figure_of(name)


def shown_figures(state: State) -> tuple[list[Figure], Figure | None]:
    """The figures that have a field, and among the rest the one that was just taken from the list."""
    waiting = [key.removeprefix(_PREFIX) for key in state.pending if key.startswith(_PREFIX) and key != NEW]
    keys = dict.fromkeys([*(key for key, _ in state.job.figures), *waiting])
    taken = state.pending[NEW].text if NEW in state.pending else ""
    return [figure_of(key) for key in keys if key != taken], figure_of(taken) if taken else None


def with_taken(state: State, key: str) -> State:
    """The state with another figure taken from the list, or with none."""
    rest = state.without(NEW)
    return State(state.job, rest | {NEW: Pending(key)} if key else rest)


def is_emptied(job: Job, key: str, text: str) -> bool:
    """Whether an own figure's field was emptied: the figure goes once the field is left."""
    figure = figure_at(key)
    return figure is not None and not text and any(name == figure.key for name, _ in job.figures)


def with_figures_left(state: State) -> State:
    """The state when a field is left: emptied figures go, and one whose value is there needs the list no more."""
    job = state.job
    gone = [key for key, one in state.pending.items() if figure_at(key) is not None and not one.text]
    for key in gone:
        job = with_entry(job, key, "")
    pending = {key: one for key, one in state.pending.items() if key not in gone}
    settled = {*(name for name, _ in job.figures), *(key.removeprefix(_PREFIX) for key in gone)}
    if NEW in pending and pending[NEW].text in settled:
        del pending[NEW]
    return State(job, pending) if len(pending) < len(state.pending) else state
