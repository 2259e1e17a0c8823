"""Findings of one job or thousands: folders are walked, all cores work, a broken job stops nothing."""

import os
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path

from engine.errors import FallmarkError, FileError, harmless
from engine.plan import Plan
from engine.records import record

from .planned import planned

OK, STOP, UNUSABLE = 0, 1, 2
_FEWEST_TO_SHARE = 24  # fewer are done before other processes start
_SHARE = 8  # jobs handed over at a time


@record
class Checked:
    """What came of a job: a line a finding, remarks, and the exit code it alone would give."""

    path: str
    findings: tuple[str, ...]
    remarks: tuple[str, ...]
    code: int


@dataclass(slots=True)
class Tally:
    """How many jobs ended how."""

    jobs: int = 0
    stops: int = 0
    unusable: int = 0

    def add(self, checked: Checked) -> None:
        """Counts one job more."""
        self.jobs += 1
        self.stops += checked.code == STOP
        self.unusable += checked.code == UNUSABLE

    @property
    def code(self) -> int:
        """The worst exit code of all."""
        return UNUSABLE if self.unusable else STOP if self.stops else OK

    def words(self) -> str:
        """The summary, one line."""
        fine = self.jobs - self.stops - self.unusable
        return f"{self.jobs} jobs: {fine} without a stop, {self.stops} with a stop, {self.unusable} that cannot be used"


def check_one(path: str) -> Checked:
    """The findings of the job in a file; what keeps it from a plan is a remark."""
    try:
        plan = planned(path)
    except FallmarkError as error:
        return Checked(path, (), (harmless(str(error)),), UNUSABLE)
    name = harmless(path)
    findings = tuple(
        f"{name}: {finding.level.value}: {finding.rule}: {harmless(f'{finding.says}; {finding.remedy}')}"
        for finding in plan.findings
    )
    return Checked(path, findings, tuple(_remarks(name, plan)), STOP if plan.has_stop else OK)


def _remarks(name: str, plan: Plan) -> Iterator[str]:
    for need in plan.needs:
        yield f"{name}: still needed: {need.key}: {harmless(need.says)}"
    if not (plan.findings or plan.needs):
        yield f"{name}: no findings"


def job_files(paths: Iterable[str]) -> tuple[str, ...]:
    """The jobs that paths name: a file as it is; the `.toml` files in and below a folder, by name.

    Raises FileError for a folder without any. Links to folders are not followed.
    """
    found: list[str] = []
    for path in paths:
        if not Path(path).is_dir():
            found.append(path)
        elif inside := [
            Path(folder, name) for folder, _, names in os.walk(path) for name in names if name.endswith(".toml")
        ]:
            found += sorted(map(str, inside))
        else:
            raise FileError(path, "there is no job in this folder", "name a folder with .toml files in it")
    return tuple(found)


def check_many(paths: Sequence[str]) -> Iterator[Checked]:
    """Every job's findings as they come, in the paths' order; many jobs go to all cores."""
    cores = min(os.cpu_count() or 1, len(paths) // _SHARE)
    if len(paths) < _FEWEST_TO_SHARE or cores < 2:
        yield from map(check_one, paths)
        return
    shares = [paths[start : start + _SHARE] for start in range(0, len(paths), _SHARE)]
    with ProcessPoolExecutor(cores, mp_context=get_context("spawn")) as pool:
        asked = [pool.submit(_check_share, share) for share in shares]
        try:
            for share, future in zip(shares, asked, strict=True):
                yield from _answer(share, future)
        finally:  # left early: what has not begun need not
            pool.shutdown(wait=False, cancel_futures=True)


def _check_share(paths: Sequence[str]) -> list[Checked]:
    return [check_one(path) for path in paths]


def _answer(share: Sequence[str], future: Future[list[Checked]]) -> list[Checked]:
    try:
        return future.result()
    except BrokenProcessPool:
        return _check_share(share)
