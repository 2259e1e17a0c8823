"""The command line: arguments only. A command prints a plan; anything else opens the wizard.

The wizard and its framework are imported for it alone: `fallmark plan` is quick.
"""

from __future__ import annotations

import atexit
import gc
import os
import sys
from argparse import ArgumentParser, ArgumentTypeError, HelpFormatter, Namespace
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from io import TextIOWrapper
from typing import TYPE_CHECKING, NoReturn, TextIO

from engine.errors import FallmarkError, harmless, shown

if TYPE_CHECKING:
    from engine.plan import Plan

    from .checking import Checked

OK = 0
STOP = 1
DIFFERS = 1
UNUSABLE = 2
_COLUMNS = 80
_MOST_TIMES = 1_000_000  # as long: days
_LONG = 24  # jobs that one waits for
INTERRUPTED = 130  # what a shell reports for Ctrl+C


class UsageError(FallmarkError):
    """A command line that cannot be followed."""


class _Arguments(ArgumentParser):
    """Reads a command's arguments; a fault becomes one line, as everywhere else.

    Its own help is never printed: any width will do; finding one would load what packs archives.
    """

    def __init__(self, command: str, *jobs: str) -> None:
        super().__init__(
            prog=f"fallmark {command}".rstrip(),
            add_help=False,
            allow_abbrev=False,
            formatter_class=partial(HelpFormatter, width=_COLUMNS),
        )
        for name in jobs:
            self.add_argument(name, metavar=name.upper(), type=_job)

    def error(self, message: str) -> NoReturn:
        raise UsageError(f"{self.prog}: {message}; `fallmark --help` shows how it is called")


def _job(path: str) -> str:
    if not path:
        raise ArgumentTypeError("a job's file has a name")
    return path


def _times(text: str) -> float:
    try:
        times = float(text)
    except ValueError:
        times = 0.0
    if not 1 <= times <= _MOST_TIMES:
        raise ArgumentTypeError(f"{shown(text)} is no number from 1 to {_MOST_TIMES:,}")
    return times


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs one command line (the process's by default); returns its exit code."""
    _prepare(sys.stdout)
    _prepare(sys.stderr)
    atexit.unregister(gc.freeze)  # once is enough
    atexit.register(gc.freeze)  # at its end the process is not searched for garbage
    try:
        return _run(list(sys.argv[1:] if arguments is None else arguments))
    except FallmarkError as error:
        _remark(harmless(str(error)))
        return UNUSABLE
    except KeyboardInterrupt:
        return INTERRUPTED


def _run(arguments: list[str]) -> int:
    first = arguments[0] if arguments else ""
    if "--help" in arguments or "-h" in arguments:
        from engine.packed import wording

        return _say(wording("commands")["help"])
    if first == "--version":
        from engine import __version__

        return _say(f"fallmark {__version__}\n")
    return _COMMANDS[first](arguments[1:]) if first in _COMMANDS else _wizard(arguments)


def _wizard(arguments: list[str]) -> int:
    parser = _Arguments("")
    parser.add_argument("jobs", metavar="JOB", nargs="*", type=_job)
    parser.add_argument("--tongue", choices=("en", "es"), default="")
    options = parser.parse_args(arguments)
    jobs = options.jobs
    if len(jobs) > 1:
        raise UsageError(
            f"fallmark: {shown(jobs[0])} is no command, and the wizard opens one job at a time: "
            f"`fallmark {harmless(jobs[-1])}`"
        )
    if not (_is_terminal(sys.__stdin__) and _is_terminal(sys.__stderr__)):
        raise UsageError("fallmark: the wizard needs a terminal; `fallmark plan JOB` prints a plan without one")
    from .app import run

    return run(jobs[0] if jobs else None, options.tongue)


def _plan(arguments: list[str]) -> int:
    """One plan, then the process ends: collecting garbage gains nothing."""
    collects = gc.isenabled()
    gc.disable()
    try:
        return _one_plan(arguments)
    finally:
        if collects:
            gc.enable()


def _one_plan(arguments: list[str]) -> int:
    parser = _Arguments("plan", "job")
    kinds = parser.add_mutually_exclusive_group()
    kinds.add_argument("--json", action="store_true")
    kinds.add_argument("--csv", action="store_true")
    parser.add_argument("--html", metavar="FILE")
    parser.add_argument("--patience", metavar="TIMES", type=_times, default=1.0)
    options = parser.parse_args(arguments)
    if options.html is not None:
        from .paper import refuse_place

        refuse_place(options.html, options.job)
    from .planned import own_faults, planned

    plan = replace(planned(options.job), patience=options.patience)
    if options.html is not None:
        from .paper import write_page

        write_page(plan, options.html)
    with own_faults(options.job):
        sheet = _sheet(plan, options)
    if sheet is not None:
        _say(sheet)
    return STOP if plan.has_stop else OK


def _sheet(plan: Plan, options: Namespace) -> str | None:
    if options.json:
        from engine.sheets.json import plan_json

        return plan_json(plan)
    if options.csv:
        from engine.sheets.cost_figures import shopping_csv

        return shopping_csv(plan)
    if options.html is not None:
        return None
    from engine.sheets.text import plan_text

    return plan_text(plan)


def _check(arguments: list[str]) -> int:
    parser = _Arguments("check")
    parser.add_argument("jobs", metavar="JOB", nargs="+", type=_job)
    from .checking import Tally, check_many, job_files

    files, tally = job_files(parser.parse_args(arguments).jobs), Tally()
    for checked in _followed(check_many(files), len(files)):
        tally.add(checked)
        for line in checked.findings:
            _say(line + "\n")
        for line in checked.remarks:
            _remark(line)
    if tally.jobs > 1:
        _remark(tally.words())
    return tally.code


def _followed(checked: Iterator[Checked], count: int) -> Iterator[Checked]:
    if count < _LONG or not _is_terminal(sys.stderr):
        return checked
    from .progress import with_progress

    return with_progress(checked, count, over_bar=_is_terminal(sys.stdout))


def _compare(arguments: list[str]) -> int:
    parser = _Arguments("compare", "job", "other")
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args(arguments)
    from engine.sheets.compare import compare_json, compare_text, differences

    from .planned import own_faults, planned

    first, second = planned(options.job), planned(options.other)
    with own_faults(options.job):
        found = differences(first, second)
        text = (compare_json if options.json else compare_text)(found)
    _say(text)
    return DIFFERS if found else OK


def _why(arguments: list[str]) -> int:
    parser = _Arguments("why", "job")
    parser.add_argument("figure", metavar="FIGURE")
    options = parser.parse_args(arguments)
    from .planned import own_faults, planned

    plan = planned(options.job)
    from engine.sheets.why_text import why_text
    from engine.why import known_figures

    with own_faults(options.job):
        text = why_text(plan, options.figure)
    if text is None:
        known = ", ".join(name for name in known_figures(plan) if not name.startswith("marks["))
        raise UsageError(
            f"fallmark why: {shown(options.figure)} is no figure of this plan; ask for {known}, marks[0], "
            '"mark at A", any other number by its path in the plan as JSON, such as strips[0].height, or a figure as '
            'it reads, such as "1 3/8"'
        )
    _say(text)
    return OK


_COMMANDS: dict[str, Callable[[list[str]], int]] = {"plan": _plan, "check": _check, "compare": _compare, "why": _why}


def _prepare(stream: TextIO | None) -> None:
    """Lets a stream print any character on any terminal, with line ends everywhere alike."""
    if isinstance(stream, TextIOWrapper):
        stream.reconfigure(errors="backslashreplace", newline="\n")


def _is_terminal(stream: TextIO | None) -> bool:
    return stream is not None and stream.isatty()


def _say(text: str) -> int:
    _write(sys.stdout, text)
    return OK


def _remark(line: str) -> None:
    _write(sys.stderr, line + "\n")


def _write(stream: TextIO | None, text: str) -> None:
    """Writes and flushes; a reader who left (`| head`) is no fault, a full disk is."""
    if stream is None:
        return
    try:
        stream.write(text)
        stream.flush()
    except BrokenPipeError:
        _silence(stream)
    except OSError as error:
        _silence(stream)
        raise FallmarkError(f"the output could not be written: {error.strerror}") from error


def _silence(stream: TextIO) -> None:
    """Sends a stream's rest nowhere, lest the interpreter fail on it."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, stream.fileno())
    os.close(nowhere)
