"""The finished bed brought back to the plan: its readings as they are after shaving and filling."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, NamedTuple

from ..limits.findings import Finding
from ..limits.words import place_words
from ..phrases import counted_phrase, joined, phrase
from ..proof.words import mend_words
from ..quantities import round_down
from ..survey.outline import FloorOutline
from ..survey.spot import Needs
from .remedy import Change, Idea
from .trials import Trials

if TYPE_CHECKING:
    from ..proof.as_built import AsBuilt
    from ..proof.mend import Mend

_MOST_MENDS = 4  # places mended for one finding; more are the whole mend list
_MOST_TOLD = 3  # places told of a longer list
_AT = 1.0  # [mm] readings this near a station are that station's

WHILE_GREEN = phrase("while the mud is green")


def mend(trials: Trials, finding: Finding) -> Iterator[Idea]:
    """The stations nearest to the trouble brought back to the plan, as few as it takes; else the whole mend list."""
    built, floor = trials.plan.as_built, trials.plan.outline
    if built is None or isinstance(built, Needs) or isinstance(floor, Needs):
        return
    if finding.x is None or finding.y is None:
        return
    x, y = finding.x, finding.y
    mends = sorted(built.mending.mends, key=lambda one: (round((one.x - x) ** 2 + (one.y - y) ** 2, 6), one.station))
    counts = [*range(1, min(_MOST_MENDS, len(mends)) + 1), *([len(mends)] if len(mends) > _MOST_MENDS else [])]
    for count in counts:
        for rounded in (_to_nearest, round_down):  # the bed to the nearest step, else to the next one over the plan
            readings, needed = _Readings(trials, built, rounded), mends[:count]
            for one in mends[:count] if _does(trials, finding, idea := _idea(trials, floor, needed, readings)) else ():
                less = _idea(trials, floor, [each for each in needed if each is not one], readings)
                if less.change and _does(trials, finding, less):
                    needed, idea = [each for each in needed if each is not one], less
            yield idea


def _does(trials: Trials, finding: Finding, idea: Idea) -> bool:
    remedy = trials.tried(finding, idea)
    return remedy is not None and not remedy.brings


def _to_nearest(value: float, step: float) -> float:
    return round(value / step) * step


class _Readings(NamedTuple):
    trials: Trials
    built: AsBuilt
    rounded: Callable[[float, float], float]

    def at(self, one: Mend) -> str:
        surface = self.built.surface
        planned = float(surface.bed.height(surface.stations[[one.station]])[0])
        return self.trials.text(self.rounded(self.built.line - planned, self.trials.step))

    def entries(self, one: Mend) -> Change:
        return tuple(
            (f"as_built[{station.number}].drop", self.at(one))
            for station in self.built.stations
            if abs(station.x - one.x) <= _AT and abs(station.y - one.y) <= _AT
        )


def _idea(trials: Trials, floor: FloorOutline, mends: list[Mend], readings: _Readings) -> Idea:
    told = [
        phrase(
            "{work} until the line reads {reading}", work=mend_words(one, floor, trials.units), reading=readings.at(one)
        )
        for one in mends[:_MOST_TOLD]
    ]
    more = len(mends) - len(told)
    if more:
        told.append(
            counted_phrase("and one place more of the mend list", "and {number} places more of the mend list", more)
        )
    return Idea(
        phrase("{green}: {mends}", green=WHILE_GREEN, mends=joined("; ", told)),
        tuple(entry for one in mends for entry in readings.entries(one)),
        max((abs(one.add) for one in mends), default=0.0),
    )


def once_set(trials: Trials, finding: Finding) -> str:
    """What the mud can no longer be given once it is set, and what is done then; "" where nothing is mended."""
    built, floor = trials.plan.as_built, trials.plan.outline
    if built is None or isinstance(built, Needs) or isinstance(floor, Needs):
        return ""
    if not built.mending.mends or finding.x is None or finding.y is None:
        return ""
    return phrase(
        "mud in a thin layer {place} once the bed is set: it will not hold. Fill a low place then with the tile "
        "mortar or a patch that the membrane's maker allows, rub a high one down wet, or cut the place out square and "
        "pack it anew",
        place=place_words(finding.x, finding.y, floor, trials.units),
    )
