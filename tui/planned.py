"""The plan of a job in a file, for the commands: every fault is told with its file."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from engine.errors import FallmarkError, JobError
from engine.job.toml_file import read_job
from engine.plan import plan

if TYPE_CHECKING:
    from engine.plan import Plan


def planned(path: str) -> Plan:
    """The plan of the job in a file.

    Raises FallmarkError, with the file in it, when there can be none; a fault of the program itself is told as one,
    and raised as it is in development mode.
    """
    try:
        job = read_job(path)
        try:
            made = plan(job)
            _ = made.stock  # what is reckoned on demand may refuse an entry too
        except JobError as error:
            raise FallmarkError(f"{path}: {error}") from error
    except FallmarkError:
        raise
    except Exception as error:
        if sys.flags.dev_mode:
            raise
        raise FallmarkError(
            f"{path}: fallmark itself failed on this job ({type(error).__name__}: {error}); "
            "that is a fault of the program, not of the job: please report it with the job file"
        ) from error
    return made
