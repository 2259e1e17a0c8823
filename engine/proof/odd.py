"""Odd readings of a finished bed: slips, places that disagree with themselves, and a moved line.

How far places, flange too, are off the plan is judged as a slab's readings are (`engine.survey.odd`), but a bed may
truly be low in one place. So a reading is odd only by a slip that its own figures allow, over 1/2 in, which no hand is
out in one place: of true hollows of 4 to 16 mm half in millimetres, and seven of ten in sixteenths, some slip explains
as well (tests/validation/test_built_rates.py); only reading again tells.

Where the others cannot judge a reading the plan does, by the same 1/2 in.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from ..job.model import Job
from ..records import record
from ..survey.advice import LEAST_DISAGREEMENT, LEAST_ODD
from ..survey.odd import FEWEST, Judged, Move, Odd, judged, likely_slip
from ..survey.slab import slab
from ..types import Array

if TYPE_CHECKING:
    from .as_built import AsBuilt, BuiltStation


@record
class OddBuilt:
    """What is odd about a finished bed's readings, by their numbers in the job.

    move: the line's, None where it stood still, and the last reading before it; slips: how far each place reads too
    high [mm]; pairs: of one place that disagree.
    """

    move: Move | None
    before: int | None
    slips: tuple[Odd, ...]
    pairs: tuple[tuple[int, int], ...]


def odd_built(built: AsBuilt, job: Job) -> OddBuilt:
    """What is odd about the readings, in the order they were taken."""
    read = sorted((*built.stations, *built.on_flange), key=lambda station: station.number)
    places = np.array([[station.x, station.y] for station in read])
    errors = np.array([station.error for station in read])
    found = judged(places, errors, [job.as_built[station.number].drop for station in read], job.units)
    numbers = [station.number for station in read]
    slips = tuple(_slips(read, places, found, job))
    pairs = tuple((numbers[i], numbers[k]) for i, k in found.pairs)
    if found.move is None:
        return OddBuilt(None, None, slips, pairs)
    since = found.move.since
    return OddBuilt(Move(numbers[since], found.move.shift), numbers[since - 1], slips, pairs)


def _slips(read: list[BuiltStation], places: Array, found: Judged, job: Job) -> Iterator[Odd]:
    by_others = {odd.number: odd for odd in found.odd}
    judges = slab(places).judges if len(read) >= FEWEST else np.zeros(len(read), dtype=bool)
    for i, station in enumerate(read):
        odd = by_others.get(i)
        if not judges[i]:
            drop = job.as_built[station.number].drop
            odd = Odd(i, station.error, likely_slip(drop, job.units, station.error, LEAST_DISAGREEMENT))
        if odd is not None and odd.likely is not None and abs(odd.off) > LEAST_ODD:
            yield replace(odd, number=station.number)
