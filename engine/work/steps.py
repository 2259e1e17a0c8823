"""A step of the work, and what it is made of; things that are said, with where they come from."""

from datetime import date

from ..phrases import joined
from ..records import record
from .cautions import Caution


@record
class Said:
    """A sentence or more without a full stop at the end, and its figures' source; empty where it has none."""

    text: str
    source: str = ""


def plain(*texts: str) -> tuple[Said, ...]:
    """Things that need no source: what this plan or the job itself gives."""
    return tuple(Said(text) for text in texts)


def sources(*given: str) -> str:
    """Sources as one text, each once, in order."""
    return joined("; ", dict.fromkeys(source for source in given if source))


@record
class Wait:
    """How long to wait after a step before the next [h], what for, and the source."""

    hours: float
    says: str
    source: str


@record
class Task:
    """A step before it has its day: what to do in sentences, what is needed, cautions, how long it takes, the wait.

    hours: how long it takes [h], where that can be said.
    """

    title: str
    says: tuple[Said, ...]
    needs: tuple[str, ...] = ()
    cautions: tuple[Caution, ...] = ()
    hours: float | None = None
    wait: Wait | None = None


@record
class Step:
    """A step of the work: its number from 1, the task, days after the start, and the date where a start is given.

    days: how many after its own the next can begin, its wait included; 0 is the same day.
    """

    number: int
    task: Task
    day: int
    days: int
    date: date | None
