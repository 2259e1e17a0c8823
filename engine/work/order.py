"""The order of work."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from typing import TYPE_CHECKING

from . import bed_tasks, finish_tasks
from .floor_tasks import floor_tasks
from .practice import WORKING_DAY
from .steps import Step, Task

if TYPE_CHECKING:
    from .whole import Work

_DAY = 24.0  # [h]
_NOISE = 1e-9


def order(work: Work) -> tuple[Step, ...]:
    """A planned floor's steps, from the first check to the first shower.

    Days count from the start, Sundays and holidays too. What stands between two waits is one day's work, but mud taking
    over eight hours to pack (common practice, no source); a wait ends on the day after it at the latest.
    """
    return tuple(dated(_tasks(work), work.site.job.start))


def _tasks(work: Work) -> Iterator[Task]:
    yield from floor_tasks(work)
    yield bed_tasks.mixing(work)
    yield bed_tasks.packing(work)
    yield bed_tasks.checking(work)
    yield finish_tasks.lining(work)
    yield finish_tasks.flood(work)
    yield finish_tasks.draining()
    if work.site.is_between:
        yield bed_tasks.upper_packing(work)
    yield finish_tasks.tiling(work)
    yield finish_tasks.grouting()
    yield finish_tasks.using()


def dated(tasks: Iterable[Task], start: date | None) -> Iterator[Step]:
    """Tasks as numbered steps, each with its day and date."""
    day = 0
    for number, task in enumerate(tasks, start=1):
        days = _days(task)
        yield Step(number, task, day, days, None if start is None else start + timedelta(days=day))
        day += days


def _days(task: Task) -> int:
    """Days until the next task: work fills eight hours a day; what stands alone (a flood) or sets goes by the clock."""
    hours = task.hours or 0.0
    if hours >= _DAY and task.wait is None:
        return math.ceil(hours / _DAY - _NOISE)
    busy = max(0, math.ceil(hours / WORKING_DAY - _NOISE) - 1)
    return busy + (math.ceil(task.wait.hours / _DAY - _NOISE) if task.wait else 0)
