"""One moment of a session: the job, and the texts beside it that it cannot hold yet."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from engine.job.model import Job

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True)
class Pending:
    """A text that the job cannot hold yet, and why: a fault, or ("") another entry that has to come with it."""

    text: str
    fault: str = ""


@dataclass(frozen=True, slots=True)
class State:
    """The job as far as it can be used, and what is typed beside it, by key."""

    job: Job = field(default_factory=Job)
    pending: Mapping[str, Pending] = field(default_factory=dict)

    def without(self, *prefixes: str) -> dict[str, Pending]:
        """What is typed beside the job, but for the keys that begin like this."""
        return {key: one for key, one in self.pending.items() if not key.startswith(prefixes)}
