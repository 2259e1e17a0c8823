"""One moment of a session: the job, and the texts beside it that it cannot hold yet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field

from engine.job.model import Job
from engine.records import record


@record
class Pending:
    """A text that the job cannot hold yet, and why: a fault, or ("") another entry it needs."""

    text: str
    fault: str = ""


@record
class State:
    """The job as far as it can be used, and what is typed beside it, by key."""

    job: Job = field(default_factory=Job)
    pending: Mapping[str, Pending] = field(default_factory=dict)

    def waiting(self, prefix: str) -> dict[str, str]:
        """The texts beside the job whose keys begin like this."""
        return {key: one.text for key, one in self.pending.items() if key.startswith(prefix)}

    def without(self, *prefixes: str) -> dict[str, Pending]:
        """What is beside the job, but for the keys that begin like this."""
        return {key: one for key, one in self.pending.items() if not key.startswith(prefixes)}

    def beside(self, key: str, one: Pending) -> State:
        """The state with one text more beside the job."""
        return State(self.job, {**self.pending, key: one})
