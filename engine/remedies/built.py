"""The finished bed brought back to the plan: its readings as they are after shaving and filling."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from ..limits.findings import Finding
from ..phrases import counted_phrase, joined, phrase
from ..proof.words import mend_words
from ..quantities import round_down
from ..survey.outline import FloorOutline
from ..survey.place_words import place_words
from ..survey.spot import Needs
from .remedy import Change, Idea, Ideas
from .trials import Trials

if TYPE_CHECKING:
    from ..proof.as_built import AsBuilt
    from ..proof.mend import Mend
    from .within import Limited

_MOST_MENDS = 4  # places mended for one finding; more are the whole mend list
_MOST_TOLD = 3  # places told of a longer list
_MOST_LEFT_OUT = 12  # tries to do with a place less
_AT = 1.0  # [mm] readings this near a station are that station's

WHILE_GREEN = phrase("while the mud is green")


def mend(trials: Trials, finding: Finding) -> Ideas:
    """The stations nearest to the trouble brought back to the plan, as few as it takes; else the mend list.

    Where falls are out, and the plan is no help, the bed is brought within the limits themselves; else back to the plan
    where it is hardly off it too.
    """
    built = trials.plan.as_built
    if built is None or isinstance(built, Needs) or finding.x is None or finding.y is None or not trials.can_again():
        return
    x, y, floor, less = finding.x, finding.y, built.floor, partial(_less, trials, finding, built.floor)
    mends = sorted(built.mending.mends, key=lambda one: (round((one.x - x) ** 2 + (one.y - y) ** 2, 6), one.station))
    limited = _limited(trials, built) if finding.rule != "ponding" else None

    def brought(work: list[Work], most: int) -> Ideas:
        if limited and not limited.keeps(finding.rule, work):
            return
        yield idea_of(trials, floor, less(work), most)

    # The bed to the nearest step, else to the next one over the plan.
    whole = [[_to_plan(trials, built, one, rounded) for one in mends] for rounded in (_to_nearest, round_down)]
    for count in sorted({*range(1, min(_MOST_MENDS, len(mends)) + 1), len(mends)} - {0}):
        for work in whole:
            yield from brought(work[:count], _MOST_TOLD)
    if limited:
        yield from limited.ideas(less)
        yield from _limited(trials, built, finding.rule).ideas(less)
        if mends:
            work = [_to_plan(trials, built, one, _to_nearest) for one in [*mends, *_unlisted(built, mends)]]
            yield from brought(work, len(work))


def _less(trials: Trials, finding: Finding, floor: FloorOutline, work: list[Work]) -> list[Work]:
    """The work without the places that the finding does without."""
    for one in work[:_MOST_LEFT_OUT] if _does(trials, finding, idea_of(trials, floor, work)) else ():
        rest = [each for each in work if each is not one]
        if rest and _does(trials, finding, idea_of(trials, floor, rest)):
            work = rest
    return work


def _unlisted(built: AsBuilt, mends: list[Mend]) -> Iterator[Mend]:
    """The stations that are off the plan by so little that they are not mended."""
    listed = {one.station for one in mends}
    off = zip(built.surface.stations.tolist(), built.surface.errors.tolist(), strict=True)
    for i, ((x, y), error) in enumerate(off):
        if error and i not in listed:
            yield mends[0]._replace(station=i, x=x, y=y, add=-error)


def _limited(trials: Trials, built: AsBuilt, rule: str = "") -> Limited:
    from .within import Limited

    return Limited(trials, built, rule)


def _does(trials: Trials, finding: Finding, idea: Idea) -> bool:
    remedy = trials.tried(finding, idea)
    return remedy is not None and not remedy.brings


def _to_nearest(value: float, step: float) -> float:
    return round(value / step) * step


class Work(NamedTuple):
    """A place that is shaved or filled, what the line reads there then, and the entries that say so.

    stations: the finished bed's stations there; error [mm]: how far off the plan they are then.
    """

    mend: Mend
    reading: str
    entries: Change
    stations: tuple[int, ...]
    error: float


def _to_plan(trials: Trials, built: AsBuilt, one: Mend, rounded: Callable[[float, float], float]) -> Work:
    planned = float(built.surface.bed.height(built.surface.stations[[one.station]])[0])
    drop = rounded(built.line - planned, trials.step)
    near = np.flatnonzero((np.abs(built.surface.stations - (one.x, one.y)) <= _AT).all(axis=1)).tolist()
    text = trials.text(drop)
    entries = tuple((f"as_built[{built.stations[i].number}].drop", text) for i in near)
    return Work(one, text, entries, tuple(near), built.line - planned - drop)


def idea_of(trials: Trials, floor: FloorOutline, work: list[Work], most: int = _MOST_TOLD) -> Idea:
    """Work on the finished bed in words and as entries; most: how many places are told."""
    words = ((mend_words(one.mend, floor, trials.units), one.reading) for one in work[:most])
    told = [phrase("{work} until the line reads {reading}", work=done, reading=reading) for done, reading in words]
    if more := len(work) - len(told):
        rest = counted_phrase("and one place more of the mend list", "and {number} places more of the mend list", more)
        told.append(rest)
    return Idea(
        phrase("{green}: {mends}", green=WHILE_GREEN, mends=joined("; ", told)),
        tuple(entry for one in sorted(work) for entry in one.entries),
        max((_to_nearest(abs(one.mend.add), trials.step) for one in work), default=0.0),
    )


def once_set(trials: Trials, finding: Finding) -> str:
    """What the mud can no longer be given once it is set, and what is done then; "" where nothing is mended."""
    built = trials.plan.as_built
    if built is None or isinstance(built, Needs) or finding.x is None or finding.y is None or not built.mending.mends:
        return ""
    return phrase(
        "mud in a thin layer {place} once the bed is set: it will not hold. Fill a low place then with the tile "
        "mortar or a patch that the membrane's maker allows, rub a high one down wet, or cut the place out square and "
        "pack it anew",
        place=place_words(finding.x, finding.y, built.floor, trials.units),
    )


def never_within(trials: Trials) -> Iterator[str]:
    """Why the finished bed's falls cannot be brought within the limits."""
    built = trials.plan.as_built
    if built is not None and not isinstance(built, Needs):
        yield from filter(None, [_limited(trials, built).ruled_out()])
