"""Advice on readings: which one is odd, which two disagree, and which corner to read next.

A reading is judged by a plane laid through all the others (leave one out), in closed form from the hat
matrix: with leverage h and residual e, the deleted residual is e / (1 - h), its variance s2 / (1 - h), and s2
is the residual variance without that reading, (SSE - e^2 / (1 - h)) / (n - p - 1).
Source: the standard deletion formulas of least squares (Sherman-Morrison).
"""

from __future__ import annotations

import math
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
import shapely

from engine.records import dataclass

if TYPE_CHECKING:
    from engine.types import Array, Index, Mask, Shape

LEAST_ODD = 12.7  # [mm] a reading nearer to the plane of the others than 1/2 in is never odd
LEAST_DISAGREEMENT = 3.175  # [mm] two readings at one place may differ by 1/8 in
_ERRORS_ODD = 4.0  # and it must be this many standard errors away
_FEWEST = 5  # with fewer readings nothing is left to judge one by
_ONE_PLACE = 1.0  # [mm]
_NOISE = 1e-6  # [mm] of floats
_ASKEW = np.array([0.8506508083520399, 0.5257311121106119])  # a unit vector of irrational slope
_READING_NOISE = 3.175  # [mm] planes that fit the others this well fit equally well
_RANK = 1e-12  # places this much narrower (squared) than long stand on one line
_AS_GOOD = 1e-8  # [-] shares of the floor that may round to one
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
    return _left_out(_Fit(places, heights))


def _left_out(fit: _Fit) -> Deletion:
    kept, residuals = fit.kept, fit.deleted
    variance = (fit.squares - fit.misfits * residuals) / (len(residuals) - fit.rank - 1)
    scatter = np.sqrt(np.maximum(variance, 0.0))
    slopes = fit.slope - (fit.offsets @ fit.inverse) * residuals[:, None]
    errors, tilts = scatter / np.sqrt(kept), np.hypot(slopes[:, 0], slopes[:, 1])
    errors[fit.alone] = scatter[fit.alone] = tilts[fit.alone] = np.inf
    return Deletion(residuals, errors, scatter, tilts)


class _Fit:
    """The least-squares plane of readings, about their middle; along the line only where they stand on one."""

    def __init__(self, places: Array, heights: Array) -> None:
        self.middle, self.mean = places.sum(axis=0) / len(places), heights.sum() / len(heights)
        self.offsets = places - self.middle
        self.inverse, directions = _pseudo_inverse(self.offsets.T @ self.offsets)
        self.rank = 1 + directions
        raised = heights - self.mean
        self.slope = self.inverse @ (self.offsets.T @ raised)
        self.misfits = raised - self.offsets @ self.slope
        self.squares = self.misfits @ self.misfits

    @cached_property
    def leverage(self) -> Array:
        """How far each reading pulls the plane to itself: h, 0 to 1."""
        return self.spread(self.offsets)

    @cached_property
    def alone(self) -> Mask:
        """Which readings fix the plane alone, so that nothing is left to judge them by."""
        return np.asarray(self.leverage > 1.0 - _ALONE)

    @cached_property
    def kept(self) -> Array:
        """What of each reading its own plane leaves in the misfit: 1 - h; 1 where it is alone."""
        return np.where(self.alone, 1.0, 1.0 - self.leverage)

    @cached_property
    def deleted(self) -> Array:
        """How far each reading lies off the plane of the others [mm]; 0 where it is alone."""
        return np.where(self.alone, 0.0, self.misfits / self.kept)

    def spread(self, offsets: Array) -> Array:
        """The plane's own variance at offsets (k, 2) [mm] from the middle, per unit variance of a reading."""
        return np.asarray(1 / len(self.misfits) + np.einsum("ij,ij->i", offsets @ self.inverse, offsets))


def _pseudo_inverse(square: Array) -> tuple[Array, int]:
    """The pseudo-inverse of a symmetric 2 x 2 matrix, and its rank."""
    (a, b), (_, d) = square.tolist()
    half, determinant = (a + d) / 2, a * d - b * b
    largest = half + math.sqrt(max(half * half - determinant, 0.0))
    if determinant > _RANK * largest * largest:
        return np.array([[d, -b], [-b, a]]) / determinant, 2
    return (square / largest**2, 1) if largest > 0 else (np.zeros((2, 2)), 0)


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
    fit = _Fit(places, heights)
    if (np.abs(fit.misfits) <= LEAST_ODD * (1.0 - fit.leverage)).all():
        return none
    found = _left_out(fit)
    suspect = _is_odd(found.residuals, found.errors)
    count = int(suspect.sum())
    if count == 0:
        return none
    if count > 1:
        judged = _judged_by_rest(places, heights, suspect)
        if judged is not None:
            return judged
        suspect = _one_of(suspect, found)
    numbers = np.flatnonzero(suspect)
    return numbers, found.residuals[numbers]


def _is_odd(residuals: Array, errors: Array) -> Mask:
    far = np.abs(residuals)
    return np.asarray((far > LEAST_ODD + _NOISE) & (far > _ERRORS_ODD * errors))


def _judged_by_rest(places: Array, heights: Array, suspect: Mask) -> tuple[Index, Array] | None:
    """The suspects that are odd by the plane of the others; None where those are too few or on one line."""
    rest = ~suspect
    if rest.sum() < _FEWEST - 1:
        return None
    fit = _Fit(places[rest], heights[rest])
    if fit.rank < 3:
        return None
    offsets = places[suspect] - fit.middle
    residuals = heights[suspect] - fit.mean - offsets @ fit.slope
    variance = fit.squares / (rest.sum() - fit.rank)
    odd = _is_odd(residuals, np.sqrt(variance * (1.0 + fit.spread(offsets))))
    return np.flatnonzero(suspect)[odd], residuals[odd]


def _one_of(suspect: Mask, found: Deletion) -> Mask:
    scatter = np.where(suspect, found.scatter, np.inf)
    as_good = scatter <= max(float(scatter.min()), _READING_NOISE)
    only = np.zeros_like(suspect)
    only[np.argmin(np.where(as_good, found.tilts, np.inf))] = True
    return only


def disagreeing(places: Array, heights: Array) -> Index:
    """Pairs (k, 2) of reading numbers at one place whose heights differ by more than 1/8 in, in order."""
    pairs = _together(places)
    if not len(pairs):
        return pairs
    pairs = pairs[np.abs(np.diff(heights[pairs], axis=1)[:, 0]) > LEAST_DISAGREEMENT + _NOISE]
    return np.asarray(pairs[np.lexsort((pairs[:, 1], pairs[:, 0]))])


def _together(places: Array) -> Index:
    """Pairs (k, 2) of numbers of places within a millimetre of each other, the lower number first.

    Such places are also near each other along any line; along one askew to every wall few others are.
    """
    along = places @ _ASKEW
    order = np.argsort(along, kind="stable")
    ordered, found = along[order], []
    before = (ordered[1:] - ordered[:-1] <= _ONE_PLACE).nonzero()[0]
    step = 1
    while before.size:
        before = before[before + step < len(places)]
        before = before[ordered[before + step] - ordered[before] <= _ONE_PLACE]
        pairs = np.column_stack([order[before], order[before + step]])
        apart = places[pairs[:, 0]] - places[pairs[:, 1]]
        found.append(np.sort(pairs[np.hypot(apart[:, 0], apart[:, 1]) <= _ONE_PLACE], axis=1))
        step += 1
    return np.concatenate(found) if found else np.zeros((0, 2), dtype=np.intp)


def next_corner(floor: Shape, corners: Array, places: Array) -> tuple[int, float]:
    """The corner whose reading would leave least of the floor guessed, and the share (0 to 1) then left.

    floor: the floor's polygon; corners (n, 2) and places (k, 2) of the readings [mm]. Guessed is what lies
    outside the readings' hull; the first corner is taken of several as good.
    """
    if len(places) > 1:  # only the readings on the hull matter
        places = shapely.get_coordinates(shapely.convex_hull(shapely.linestrings(places)))
    points = np.concatenate(
        [np.broadcast_to(places, (len(corners), *places.shape)), corners[:, None]], axis=1
    )
    hulls = shapely.convex_hull(shapely.linestrings(points) if len(places) else shapely.points(corners))
    whole = shapely.area(floor)
    left = 1.0 - shapely.area(hulls) / whole  # at least, and just so where the hull lies wholly on the floor
    wide = int(left.argmin())
    most = 1.0 - shapely.area(shapely.intersection(floor, hulls[wide])) / whole
    likely = (left <= most + _AS_GOOD).nonzero()[0]
    left[likely] = 1.0 - shapely.area(shapely.intersection(floor, hulls[likely])) / whole
    best = int(np.argmin(np.round(left, 9)))
    return best, max(0.0, float(left[best]))
