"""What a remedy is, and how it changes a job."""

import re
from collections.abc import Iterator
from typing import NamedTuple, TypeAlias

from ..job.edit import with_entry, with_reading
from ..job.model import Job
from ..records import record

Change: TypeAlias = tuple[tuple[str, str], ...]
_NEW_READING = re.compile(r"(readings|as_built)\[(\d{1,6})\]\.at")


class Idea(NamedTuple):
    """A change that may clear a finding, not planned yet: in words, as entries; figure: [mm] or a fall [-], or None."""

    says: str
    change: Change
    figure: float | None = None

    @property
    def size(self) -> float:
        """The figure to compare by; 0 of a choice."""
        return self.figure or 0.0


Ideas: TypeAlias = Iterator[Idea]


class Superseded(Exception):  # noqa: N818 - it is no error: the plan was changed while its remedies were looked for
    """Raised between trials when the remedies are no longer wanted."""


@record
class Remedy:
    """A change that was planned and does clear its finding.

    change: the entries (key path, text), in order; figure: how much [mm] or fall [-], None for a choice; clears: the
    rules of the stops and cautions it clears; brings: of the stops it brings or makes graver; cautions: those it
    brings, but that floor work is to be done.
    """

    says: str
    change: Change
    figure: float | None
    clears: tuple[str, ...]
    brings: tuple[str, ...]
    cautions: tuple[str, ...] = ()


@record
class Answer:
    """What can be done about one finding.

    remedies: best first, those that bring stops last; ruled_out: what was sought and cannot be, in words; is_open: a
    longer look may find a smaller change.
    """

    remedies: tuple[Remedy, ...] = ()
    ruled_out: tuple[str, ...] = ()
    is_open: bool = False

    @property
    def best(self) -> tuple[Remedy, ...]:
        """Those that bring no stop."""
        return tuple(remedy for remedy in self.remedies if not remedy.brings)


def is_floor_work(change: Change) -> bool:
    """Whether a change is only of what the line reads on the rough floor."""
    return all(key.startswith("readings") for key, _ in change)


def changed(job: Job, change: Change) -> Job:
    """The job with a remedy's change made; a new reading comes as its place, then its drop.

    Raises JobError for an entry that cannot be used.
    """
    place, section = "", ""
    for key, text in change:
        new = _NEW_READING.fullmatch(key)
        if new and int(new[2]) == len(getattr(job, new[1])):
            place, section = text, new[1]
        elif place and key == f"{section}[{len(getattr(job, section))}].drop":
            job, place = with_reading(job, None, place, text, section), ""
        else:
            job = with_entry(job, key, text)
    return job
