"""The plan of a job in a file, for the commands: every fault is told with its file."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager

from engine.errors import FallmarkError, JobError
from engine.job.toml_file import read_job
from engine.phrases import phrase
from engine.plan import Plan, plan


def planned(path: str) -> Plan:
    """The plan of the job in a file; raises FallmarkError, with the file in it, for none."""
    with own_faults(path):
        job = read_job(path)
        try:
            made = plan(job)
            _ = made.stock  # what is reckoned on demand may refuse an entry too
        except JobError as error:
            raise FallmarkError(f"{path}: {error}") from error
        return made


@contextmanager
def own_faults(path: str) -> Iterator[None]:
    """Turns a fault of the program, met at work on that file, into a FallmarkError; none in development mode.

    Faults of the job, and of whoever stopped the program, pass as they are.
    """
    try:
        yield
    except FallmarkError:
        raise
    except Exception as error:
        if sys.flags.dev_mode:
            raise
        says = phrase(
            "{path}: fallmark itself failed on this job ({kind}: {error}); that is a fault of the program, not of "
            "the job: please report it with the job file",
            path=path,
            kind=type(error).__name__,
            error=error,
        )
        raise FallmarkError(says) from error
