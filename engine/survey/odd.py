"""Odd readings of a survey, each with the slip that explains it, and whether the line stood still meanwhile.

Three questions, in this order. Did the line move (`steady`)? Then what came after is put back first, or all of it
would look odd. Which readings are off by so much that nothing else can be true (`advice`)? And which are off by
less, but by just what a slip would make: those stand out by fewer errors and yet are told, because a chance misfit
seldom is a slip's.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from engine.records import dataclass
from engine.survey.advice import LEAST_DISAGREEMENT, disagreeing, odd_readings
from engine.survey.slips import Likely, likely_slip
from engine.survey.steady import Move, moved, plane_basis, scatter

if TYPE_CHECKING:
    from collections.abc import Sequence

    from engine.job.model import Typed
    from engine.quantities import Units
    from engine.types import Array, Index

_LEAST_SLIP = 4.0  # [mm] about 5/32 in: a smaller slip cannot be told from the slab
_ERRORS_SLIP = 4.0  # and it must be this many standard errors away
_FEWEST = 5
_MOST_SLIPS = 6  # a survey with more of them is to be taken again as a whole


@dataclass(frozen=True, slots=True)
class Odd:
    """A reading that does not fit: its number, how far its place reads too high [mm], and what slip explains it."""

    number: int
    off: float
    likely: Likely | None


@dataclass(frozen=True, slots=True)
class Judged:
    """What is odd about a survey: the line's move, single readings, and pairs (k, 2) of one place that disagree."""

    move: Move | None
    odd: tuple[Odd, ...]
    pairs: tuple[tuple[int, int], ...]


def judged(places: Array, heights: Array, drops: Sequence[Typed], units: Units) -> Judged:
    """What is odd about readings at places (n, 2) with heights (n,) [mm], in the order in which they were taken."""
    move = moved(places, heights)
    if move is not None:
        heights = heights - np.where(np.arange(len(heights)) >= move.since, move.shift, 0.0)
    numbers, residuals = odd_readings(places, heights)
    odd = [
        Odd(i, off, likely_slip(drops[i], units, off, _room(off)))
        for i, off in zip(numbers.tolist(), residuals.tolist(), strict=True)
    ]
    odd += _small(places, heights, drops, (units, numbers))
    named = {one.number for one in odd}
    pairs = [(i, k) for i, k in disagreeing(places, heights).tolist() if named.isdisjoint((i, k))]
    return Judged(move, tuple(sorted(odd, key=lambda one: one.number)), tuple(pairs))


def _room(off: float) -> float:
    """How near a slip has to bring a grossly odd reading to the others [mm]: a part of how far off it is."""
    return min(max(abs(off) / 6, LEAST_DISAGREEMENT), 3 * LEAST_DISAGREEMENT)


def _small(places: Array, heights: Array, drops: Sequence[Typed], known: tuple[Units, Index]) -> list[Odd]:
    """Readings that are off by what a slip would make, the one that stands out most first, each judged by the rest."""
    units, gross = known
    rest = np.delete(np.arange(len(heights)), gross)
    found: list[Odd] = []
    while len(rest) >= _FEWEST and len(found) < _MOST_SLIPS:
        off, errors = _deleted(places[rest], heights[rest])
        at = int(np.argmax(np.abs(off) / errors))
        if abs(off[at]) < max(_LEAST_SLIP, _ERRORS_SLIP * errors[at]):
            break
        likely = likely_slip(drops[rest[at]], units, float(off[at]), 1.5 * float(errors[at]))
        if likely is None:
            break
        found.append(Odd(int(rest[at]), float(off[at]), likely))
        rest = np.delete(rest, at)
    return found


def _deleted(places: Array, heights: Array) -> tuple[Array, Array]:
    """How far each reading is off the plane of the others, and the standard error of that (n,) [mm].

    The scatter of the others is weighed with the usual one (`steady`); a reading that fixes the plane alone is not off.
    """
    basis = plane_basis(places)
    misfit = heights - basis @ (basis.T @ heights)
    kept = 1.0 - (basis * basis).sum(axis=1)
    alone = kept < 1e-9
    kept = np.where(alone, 1.0, kept)
    off = np.where(alone, 0.0, misfit / kept)
    squares = np.maximum(misfit @ misfit - off * misfit, 0.0)
    freedom = len(heights) - basis.shape[1] - 1
    return off, scatter(squares, freedom) / np.sqrt(kept)
