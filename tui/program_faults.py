"""A fault of the program itself, told in one line like every other."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager

from engine.errors import FallmarkError
from engine.phrases import phrase


@contextmanager
def own_faults(path: str) -> Iterator[None]:
    """Turns a fault of the program, met while it worked on that file, into a FallmarkError; none in development mode.

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
