"""What is worked out beside the screen: remedies, and what a figure rests on while its page is read."""

from __future__ import annotations

import re
from asyncio import CancelledError, to_thread
from collections.abc import Sequence
from dataclasses import replace

from engine.phrases import phrase
from engine.plan import Plan
from engine.remedies import Answer, Superseded, remedies
from engine.remedies.remedy import Change
from engine.sheets.influence import influences
from engine.sheets.why_text import rests_on
from engine.why import figure_paths

from .explanations import label_of

_LONGEST = 4096  # times as long as usual that is looked unasked: minutes, at times many


class Curing:
    """The answers to one plan's findings, once they are there."""

    def __init__(self) -> None:
        self._wanted: Plan | None = None  # read by the thread between one trial and the next
        self._plan: Plan | None = None
        self._answers: tuple[Answer, ...] = ()
        self.patience = 1.0  # with which they were looked for

    def answers(self, plan: Plan | None) -> tuple[Answer, ...]:
        """The answers to that very plan's findings, once there."""
        return self._answers if self.is_known(plan) else ()

    @property
    def changes(self) -> list[Change]:
        """All that the answers change."""
        return [way.change for answer in self._answers for way in answer.remedies]

    def is_known(self, plan: Plan | None) -> bool:
        """Whether that very plan's findings are answered."""
        return plan is not None and plan is self._plan

    @property
    def looks_on(self) -> bool:
        """Whether a longer look follows by itself."""
        return self.patience < _LONGEST and any(answer.is_open for answer in self._answers)

    def forget(self) -> None:
        """Stops the search for a plan that is no longer shown."""
        self._wanted = None

    async def find(self, plan: Plan, patience: float = 1.0) -> bool:
        """Looks for a plan's remedies in a thread, so many times as long; whether they are there and still wanted."""
        self._wanted = wanted = replace(plan, patience=patience)
        try:
            found = await to_thread(remedies, wanted, lambda: self._wanted is wanted, self.answers(plan))
        except Superseded:
            return False
        except CancelledError:
            if self._wanted is wanted:
                self.forget()
            raise
        if self._wanted is not wanted:
            return False
        self._plan, self._answers, self.patience = plan, found, patience
        return True


class Influencing:
    """What the entries do to a plan's figure; once forgotten, no more is worked out."""

    def __init__(self, plan: Plan, paths: Sequence[str]) -> None:
        self._plan, self._paths = plan, paths
        self._is_wanted = True

    @classmethod
    def of(cls, plan: Plan, figure: str) -> Influencing | None:
        """For a figure by its plain name, "mark:3" or "drain:1"; None where it is no number."""
        name, _, number = figure.partition(":")
        paths = figure_paths(plan, f"marks[{number}]" if name == "mark" else name)
        own = [path.replace("[0]", f"[{number or 0}]") for path in paths]
        return cls(plan, own) if paths and paths[0] != "digest" else None

    def forget(self) -> None:
        """Stops between one entry and the next."""
        self._is_wanted = False

    async def words(self) -> Sequence[str]:
        """An opening sentence, then what each entry does; none once forgotten."""
        try:
            return await to_thread(self._says)
        except Superseded:
            return ()

    def _says(self) -> Sequence[str]:
        for path in self._paths:  # a place in the JSON may hold the figure and where it is
            found = influences(self._plan, path, lambda: self._is_wanted)
            if found:
                break
        return rests_on(self._plan, found, path, _name)


def _name(key: str) -> str:
    label, wall = label_of(key), re.search(r'"(.+)"', key)
    if label == key and wall:
        label = phrase("From wall {wall}", wall=wall[1])
    return key if label == key else phrase("{label} ({key})", label=label, key=key)
