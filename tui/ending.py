"""How the wizard ends by its own fault: a line for the person, a trace in a file for who mends it."""

import platform
from pathlib import Path
from traceback import format_exception

from textual.worker import WorkerFailed

from engine import __version__
from engine.phrases import Phrase, joined, phrase

from .desk import Desk
from .drafts import state_folder

_TRACE = "fault.txt"


def end_words(error: BaseException, desk: Desk | None) -> Phrase:
    """What happened, where the job is, and how to report it; the trace goes where they say."""
    error = error.error if isinstance(error, WorkerFailed) else error
    kind, trace = type(error).__name__, _keep_trace(error)
    happened = phrase("fallmark: a fault of its own ended it ({kind}: {error}).", kind=kind, error=error)
    report = phrase("Please report it.")
    if trace is not None:
        report = phrase("Please report it with {file}, which tells where it happened.", file=trace)
    return joined(" ", [happened, _job_words(desk), report])


def _job_words(desk: Desk | None) -> Phrase:
    if desk is None or not desk.session.is_unsaved:
        return phrase("Nothing that was entered is lost.")
    file = desk.draft_file
    if file is None:
        return phrase("No draft could be written: what was entered since the last save is lost.")
    return phrase("The job is safe in the draft {file}: start fallmark again to go on with it.", file=file)


def _keep_trace(error: BaseException) -> Path | None:
    file = state_folder() / _TRACE
    head = f"fallmark {__version__}, Python {platform.python_version()}, {platform.system()}\n"
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(head + "".join(format_exception(error)), encoding="utf-8", errors="backslashreplace")
    except OSError:
        return None
    return file
