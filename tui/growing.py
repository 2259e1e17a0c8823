"""Rows of one's own: a station among the readings, a wall or a corner in the outline, another drain."""

import re
from dataclasses import replace

from engine.job.model import Drain

from .entries import group_of
from .groups import Corners, Group, Walls, default_walls, rows_of, texts_of
from .reading_entries import own_of, own_section_of, section_of
from .state import Pending, State

_NUMBER = re.compile(r"\[(\d+)\]\.")


def with_row(state: State, key: str) -> tuple[State, str]:
    """The state with a row after a field's, and its first field's key; "" where rows cannot be added."""
    section = section_of(key) or own_section_of(key)
    if section is not None:
        wall = f"{own_of(section)}.wall"
        return state if wall in state.pending else state.beside(wall, Pending(default_walls(state.job)[0])), wall
    group = group_of(key)
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
