"""Work on the finished bed while its mud is green: in words, as entries, and the bed after it."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from ..phrases import counted_phrase, joined, phrase
from ..proof.as_built import AsBuilt
from ..proof.mend import Mend
from ..proof.surface import BuiltSurface
from ..proof.words import mend_words
from ..quantities import round_nearest
from ..survey.outline import FloorOutline
from .remedy import Change, Idea
from .trials import Trials

MOST_TOLD = 3  # places told of a longer list
_AT = 1.0  # [mm] readings this near a station are its own

WHILE_GREEN = phrase("while the mud is green")


class Work(NamedTuple):
    """A place that is shaved or filled, what the line reads there then [mm], and the entries for it.

    stations: the finished bed's there, or a new one's number; error [mm]: how far off the plan they are then.
    """

    mend: Mend
    drop: float
    entries: Change
    stations: tuple[int, ...]
    error: float

    def to(self, drop: float, text: str) -> Work:
        """The same place worked until the line reads that [mm], written so."""
        up = self.drop - drop
        entries = tuple((key, text if key.endswith(".drop") else value) for key, value in self.entries)
        return self._replace(
            mend=self.mend._replace(add=self.mend.add + up), drop=drop, entries=entries, error=self.error + up
        )


def work_at(trials: Trials, built: AsBuilt, one: Mend, drop: float) -> Work:
    """A place mended until the line reads that [mm]."""
    near = beside(built.surface, one)
    entries = tuple((f"as_built[{built.stations[i].number}].drop", trials.text(drop)) for i in near)
    return Work(one, drop, entries, near, planned_drop(built, one) - drop)


def planned_drop(built: AsBuilt, one: Mend) -> float:
    """What the line is to read at a place by the plan [mm]."""
    return built.line - float(built.surface.bed.height(np.array([[one.x, one.y]]))[0])


def beside(surface: BuiltSurface, one: Mend) -> tuple[int, ...]:
    """The numbers of the stations of one place with a mend."""
    return tuple(np.flatnonzero((np.abs(surface.stations - (one.x, one.y)) <= _AT).all(axis=1)).tolist())


def worked(surface: BuiltSurface, work: list[Work]) -> BuiltSurface:
    """The finished bed after the work."""
    new = sorted((one for one in work if one.stations[0] >= len(surface.stations)), key=lambda one: one.stations)
    errors = np.append(surface.errors, [one.error for one in new])
    for one in work:
        if one not in new:
            errors[list(one.stations)] = one.error
    places = np.array([(one.mend.x, one.mend.y) for one in new]).reshape(-1, 2)
    return BuiltSurface(surface.bed, np.vstack([surface.stations, places]), errors)


def idea_of(trials: Trials, floor: FloorOutline, work: list[Work], most: int = MOST_TOLD) -> Idea:
    """Work on the finished bed in words and as entries; most: how many places are told."""
    words = ((mend_words(one.mend, floor, trials.units), trials.text(one.drop)) for one in work[:most])
    told = [phrase("{work} until the line reads {reading}", work=done, reading=reading) for done, reading in words]
    if more := len(work) - len(told):
        rest = counted_phrase("and one place more of the mend list", "and {number} places more of the mend list", more)
        told.append(rest)
    return Idea(
        phrase("{green}: {mends}", green=WHILE_GREEN, mends=joined("; ", told)),
        tuple(entry for one in sorted(work) for entry in one.entries),
        max((round_nearest(abs(one.mend.add), trials.step) for one in work), default=0.0),
    )
