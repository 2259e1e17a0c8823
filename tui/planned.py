"""The plan of a job in a file, for the commands: every fault is told with its file."""

from engine.errors import FallmarkError, JobError
from engine.job.toml_file import read_job
from engine.plan import Plan, plan
from tui.program_faults import own_faults


def planned(path: str) -> Plan:
    """The plan of the job in a file.

    Raises FallmarkError, with the file in it, when there can be none; a fault of the program itself is told as one,
    and raised as it is in development mode.
    """
    with own_faults(path):
        job = read_job(path)
        try:
            made = plan(job)
            _ = made.stock  # what is reckoned on demand may refuse an entry too
        except JobError as error:
            raise FallmarkError(f"{path}: {error}") from error
        return made
