"""Whether the line stood still: a step between the readings before and after some station.

A plane and a step are fitted together, with the step before each station in turn; its standard error allows for what
leaning of the floor could pass for a step. Of a small survey the scatter is told badly, so it is weighed with what
slabs usually show, as if so many readings more had been taken (a scaled inverse chi-square prior; Gelman and others,
Bayesian Data Analysis, ch. 2).
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from engine.records import dataclass

if TYPE_CHECKING:
    from engine.types import Array

USUAL_SCATTER = 1.5875  # [mm] 1/16 in off its plane: a slab as slabs are (common practice, no source)
USUAL_WEIGHT = 4.0  # readings that this is worth
LEAST_MOVE = 3.175  # [mm] 1/8 in: a smaller step is reading noise
_ERRORS = 5.0  # and it must be this many standard errors
_FEWEST = 6
_MOST = (
    200  # with more readings than this the search would slow every key, and one tripod rarely sees so many
)
_BETTER = (
    0.5  # a step has to leave less than this part of the misfit that leaving out the worst reading leaves
)
_RANK = 1e-9
_KEPT = 4  # lists of places remembered
_NOISE = 1e-6  # [mm2]


@dataclass(frozen=True, slots=True)
class Move:
    """The line moved: from reading number `since` on the places read `shift` [mm] too high, negative: too low."""

    since: int
    shift: float


def scatter(squares: Array, freedom: float) -> Array:
    """The scatter (k,) [mm] of readings from their squared misfits (k,) [mm2], weighed with the usual one."""
    return np.sqrt((USUAL_WEIGHT * USUAL_SCATTER**2 + squares) / (USUAL_WEIGHT + freedom))


def plane_basis(places: Array) -> Array:
    """Unit columns (n, r) that span all planes over places (n, 2) [mm]; r is 3, less where they stand on one line."""
    return _spanned(places.tobytes())


@lru_cache(maxsize=_KEPT)
def _spanned(read: bytes) -> Array:
    places = np.frombuffer(read).reshape(-1, 2)
    middle = places - places.mean(axis=0)
    design = np.column_stack([np.ones(len(places)), middle / max(float(np.abs(middle).max()), 1.0)])
    basis, sizes, _ = np.linalg.svd(design, full_matrices=False)
    return np.asarray(basis[:, sizes > _RANK * sizes[0]])


def moved(places: Array, heights: Array) -> Move | None:
    """The step in heights (n,) [mm], in the order in which they were read, that stands out; None where none does.

    Two readings at least on either side of it.
    """
    count = len(heights)
    if not _FEWEST <= count <= _MOST:
        return None
    basis = plane_basis(places)
    misfit = heights - basis @ (basis.T @ heights)
    steps = (np.arange(count)[:, None] >= np.arange(2, count - 1)).astype(float)
    steps -= basis @ (basis.T @ steps)
    weight = (steps * steps).sum(axis=0)
    free = weight > _RANK
    if not free.any():
        return None
    shifts = np.where(free, misfit @ steps / np.where(free, weight, 1.0), 0.0)
    squares = misfit @ misfit - shifts * shifts * weight
    best = int(np.argmin(np.where(free, squares, np.inf)))
    error = float(scatter(squares[[best]], count - basis.shape[1] - 1)[0]) / math.sqrt(float(weight[best]))
    shift = float(shifts[best])
    if abs(shift) < LEAST_MOVE or abs(shift) < _ERRORS * error:
        return None
    if squares[best] + _NOISE > _BETTER * (_without_worst(basis, misfit) + _NOISE):
        return None
    return Move(best + 2, shift)


def _without_worst(basis: Array, misfit: Array) -> float:
    """The squared misfit [mm2] that is left where the one reading that fits worst is left out."""
    kept = 1.0 - (basis * basis).sum(axis=1)
    taken = np.where(kept > _RANK, misfit * misfit / np.maximum(kept, _RANK), 0.0)
    return max(float(misfit @ misfit - taken.max()), 0.0)
