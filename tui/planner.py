"""Plans the job as it changes: the last good plan, and the entry that stops a newer one."""

from time import perf_counter

from engine.errors import JobError
from engine.job.model import Job, Strips
from engine.plan import Plan, plan
from engine.records import record

QUICK = 0.040  # [s] a slower plan is made beside the screen, not between two keystrokes


@record
class Outcome:
    """What planning gave: a plan, an unusable entry, both where only the strips cannot be cut; its time [s]."""

    job: Job
    plan: Plan | None
    error: JobError | None
    seconds: float


def plan_job(job: Job) -> Outcome:
    """Plans a job; an impossible entry is an outcome, not a failure."""
    start = perf_counter()
    try:
        made = plan(job)
    except JobError as error:
        return Outcome(job, None, error, perf_counter() - start)
    return Outcome(job, made, _strips_fault(made), perf_counter() - start)


def _strips_fault(made: Plan) -> JobError | None:
    """What keeps the person's own strips from being cut; usual ones are reckoned on demand."""
    if made.job.strips == Strips():
        return None
    try:
        _ = made.stock
    except JobError as error:
        return error
    return None


class Planner:
    """Keeps the last good plan and the newest fault."""

    def __init__(self) -> None:
        self.plan: Plan | None = None
        self.error: JobError | None = None
        self.job: Job | None = None  # the last one that was planned
        self._seconds = 0.0

    @property
    def is_quick(self) -> bool:
        """Whether the next plan can be made between two keystrokes."""
        return self._seconds <= QUICK

    def take(self, outcome: Outcome) -> None:
        """Keeps an outcome; a plan replaces the last good one, a fault leaves it."""
        self._seconds = outcome.seconds
        self.job = outcome.job
        self.error = outcome.error
        if outcome.plan is not None:
            self.plan = outcome.plan
