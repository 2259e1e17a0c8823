"""A step of the work and its parts; what is said, with its source."""

from datetime import date

from ..phrases import joined
from ..records import record
from .cautions import Caution


@record
class Said:
    """A sentence or more without the last full stop, and its figures' source, if any."""

    text: str
    source: str = ""


def plain(*texts: str) -> tuple[Said, ...]:
    """What needs no source: it is this plan's or the job's own."""
    return tuple(Said(text) for text in texts)


def sources(*given: str) -> str:
    """Sources as one text, each once, in order."""
    return joined("; ", dict.fromkeys(source for source in given if source))


@record
class Wait:
    """How long to wait after a step [h], what for, and the source."""

    hours: float
    says: str
    source: str


@record
class Task:
    """A step without its day: what to do, what it needs, cautions, how long it takes [h] if known, the wait."""

    title: str
    says: tuple[Said, ...]
    needs: tuple[str, ...] = ()
    cautions: tuple[Caution, ...] = ()
    hours: float | None = None
    wait: Wait | None = None


@record
class Step:
    """A step of the work: its number from 1, the task, days after the start, and the date if given.

    days: until the next can begin, its wait included; 0 is the same day.
    """

    number: int
    task: Task
    day: int
    days: int
    date: date | None
