"""Advice on readings: which one is odd, which two disagree, and which corner to read next.

A reading is judged by a plane laid through all the others (leave one out), in closed form from the hat
matrix: with leverage h and residual e, the deleted residual is e / (1 - h), its variance s2 / (1 - h), and s2
is the residual variance without that reading, (SSE - e^2 / (1 - h)) / (n - p - 1).
Source: the standard deletion formulas of least squares (Sherman-Morrison).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely

if TYPE_CHECKING:
    from engine.types import Array, Index, Mask, Shape

LEAST_ODD = 12.7  # [mm] a reading nearer to the plane of the others than 1/2 in is never odd
LEAST_DISAGREEMENT = 3.175  # [mm] two readings at one place may differ by 1/8 in
_ERRORS_ODD = 4.0  # and it must be this many standard errors away
_FEWEST = 5  # with fewer readings nothing is left to judge one by
_ONE_PLACE = 1.0  # [mm]
_READING_NOISE = 3.175  # [mm] planes that fit the others this well fit equally well
_RANK = 1e-9
_ALONE = 1e-9  # with so little 1 - h a reading decides the plane alone, and nothing tells whether it is odd


@dataclass(frozen=True, eq=False)
class Deletion:
    """Each reading against the least-squares plane through all the others.

    residuals (n,) [mm], positive where a reading is higher; errors (n,) [mm], the residuals' standard errors;
    scatter (n,) [mm], the others' standard deviation about their plane; tilts (n,) [-], their plane's slope.
    Where the others do not fix a plane, the residual is 0 and the rest infinite.
    """

    residuals: Array
    errors: Array
    scatter: Array
    tilts: Array


def deletion(places: Array, heights: Array) -> Deletion:
    """Leave-one-out figures of n >= 5 readings at places (n, 2) [mm] with heights (n,) [mm]."""
    design, size = _design(places, places)
    u, s, vt = np.linalg.svd(design, full_matrices=False)
    rank = int((s > _RANK * s[0]).sum())
    u, s, vt = u[:, :rank], s[:rank], vt[:rank]
    z = heights - heights.mean()
    e = z - u @ (u.T @ z)
    kept = 1.0 - (u * u).sum(axis=1)
    alone = kept < _ALONE
    kept[alone] = 1.0
    d = e / kept
    scatter = np.sqrt(np.maximum(e @ e - e * d, 0.0) / (len(z) - rank - 1))
    slopes = ((u.T @ z)[:, None] / s[:, None] - u.T * d / s[:, None]).T @ vt[:, 1:] / size
    tilts = np.hypot(*slopes.T)
    errors = scatter / np.sqrt(kept)
    for figures, unknown in ((d, 0.0), (errors, np.inf), (scatter, np.inf), (tilts, np.inf)):
        figures[alone] = unknown
    return Deletion(d, errors, scatter, tilts)


def _design(places: Array, points: Array) -> tuple[Array, float]:
    """Rows 1, x, y of the points, centred and scaled by the places; and that scale [mm]."""
    middle = places.mean(axis=0)
    size = max(float(np.abs(places - middle).max()), np.finfo(float).tiny)
    return np.column_stack([np.ones(len(points)), (points - middle) / size]), size


def odd_readings(places: Array, heights: Array) -> tuple[Index, Array]:
    """The odd readings' numbers (k,), ascending, and how far each is off the plane of the others (k,) [mm].

    Odd is more than 1/2 in and more than four standard errors. A grossly odd reading drags the plane and
    makes sound ones look odd, so where several are suspect they are judged again by the plane of the rest.
    Where the rest is too little for that, only the one whose removal leaves the best fit is named; of several
    that leave a fit as good as readings can be taken, the one that leaves the floor most level.
    """
    none = np.zeros(0, dtype=np.intp), np.zeros(0)
    if len(heights) < _FEWEST:
        return none
    found = deletion(places, heights)
    suspect = _is_odd(found.residuals, found.errors)
    if not suspect.any():
        return none
    if suspect.sum() > 1:
        judged = _judged_by_rest(places, heights, suspect)
        if judged is not None:
            return judged
        suspect = _one_of(suspect, found)
    numbers = np.flatnonzero(suspect)
    return numbers, found.residuals[numbers]


def _is_odd(residuals: Array, errors: Array) -> Mask:
    far = np.abs(residuals)
    return np.asarray((far > LEAST_ODD) & (far > _ERRORS_ODD * errors))


def _judged_by_rest(places: Array, heights: Array, suspect: Mask) -> tuple[Index, Array] | None:
    """The suspects that are odd by the plane of the others; None where those are too few or on one line."""
    rest = places[~suspect]
    if len(rest) < _FEWEST - 1:
        return None
    design, _ = _design(rest, rest)
    u, s, vt = np.linalg.svd(design, full_matrices=False)
    if s[-1] <= _RANK * s[0]:
        return None
    z = heights - heights[~suspect].mean()
    fitted = u.T @ z[~suspect]
    left_over = z[~suspect] - u @ fitted
    variance = left_over @ left_over / (len(rest) - 3)
    rows = _design(rest, places[suspect])[0] @ vt.T / s
    residuals = z[suspect] - rows @ fitted
    odd = _is_odd(residuals, np.sqrt(variance * (1.0 + (rows * rows).sum(axis=1))))
    return np.flatnonzero(suspect)[odd], residuals[odd]


def _one_of(suspect: Mask, found: Deletion) -> Mask:
    scatter = np.where(suspect, found.scatter, np.inf)
    as_good = scatter <= max(float(scatter.min()), _READING_NOISE)
    only = np.zeros_like(suspect)
    only[np.argmin(np.where(as_good, found.tilts, np.inf))] = True
    return only


def disagreeing(places: Array, heights: Array) -> Index:
    """Pairs (k, 2) of reading numbers at one place whose heights differ by more than 1/8 in, in order."""
    points = shapely.points(places)
    pairs = shapely.STRtree(points).query(points, predicate="dwithin", distance=_ONE_PLACE).T
    pairs = pairs[pairs[:, 0] < pairs[:, 1]]
    pairs = pairs[np.abs(np.diff(heights[pairs], axis=1)[:, 0]) > LEAST_DISAGREEMENT]
    return np.asarray(pairs[np.lexsort((pairs[:, 1], pairs[:, 0]))])


def next_corner(floor: Shape, corners: Array, places: Array) -> tuple[int, float]:
    """The corner whose reading would leave least of the floor guessed, and the share (0 to 1) then left.

    floor: the floor's polygon; corners (n, 2) and places (k, 2) of the readings [mm]. Guessed is what lies
    outside the readings' hull; the first corner is taken of several as good.
    """
    count = len(corners)
    points = np.concatenate([np.broadcast_to(places, (count, *places.shape)), corners[:, None]], axis=1)
    hulls = shapely.convex_hull(shapely.multipoints(points))
    left = 1.0 - shapely.area(shapely.intersection(floor, hulls)) / shapely.area(floor)
    best = int(np.argmin(np.round(left, 9)))
    return best, max(0.0, float(left[best]))
