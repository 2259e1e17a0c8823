"""How likely readings are on a slab, and how much likelier once one of them, or all from one on, is put right.

A slab is a plane and what scatters about it, of four kinds in turn: each reading by itself; half of it, and nearly all,
the more alike the nearer two places are (a linear variogram; Matheron, Economic Geology 58, 1963), as dips and humps
are; nearly all of it smooth, as a slab dished to its drain is (a cubic generalized covariance; Matheron, Advances in
Applied Probability 5, 1973). How large it is the readings tell, weighed with what slabs usually show (a scaled inverse
chi-square prior; Gelman and others, Bayesian Data Analysis, ch. 2). With plane and size integrated out heights h have
the likelihood

    |M|^(1/2) (w s^2 + h M h)^(-(w + f) / 2),

M the inverse covariance on what no plane explains (f dimensions), w readings of scatter s. A shift of one reading or of
all from one on changes h M h in closed form; leaving a reading out is its best shift (Dubrule, Mathematical Geology 15,
1983). Comparing likelihoods catches most at a given rate of false alarms (Neyman and Pearson), and a slip's size is
known from what is written, so it costs no freedom.
"""

from __future__ import annotations

from functools import cached_property, lru_cache
from typing import NamedTuple

import numpy as np

from ..records import result
from ..types import Array, Index, Mask

USUAL_SCATTER = 1.5875  # [mm] 1/16 in off its plane, as slabs are (common practice, no source)
_USUAL_WEIGHT = 4.0  # readings that this is worth
# Each kind's share of scatter that near places have in common, the power of the distance that it grows with.
_ALIKE = ((0.0, 1), (0.5, 1), (0.9, 1), (0.9, 3))
_MOST_ALIKE = 120  # of more readings, which are scanned, each scatters by itself
_RANK = 1e-9
_ALONE = 1e-9  # with so little left a reading decides the plane alone


class Steps(NamedTuple):
    """Steps between two readings: which reading each begins at (s,), and what it does to all (n, s)."""

    since: Index
    columns: Array
    applied: Array  # (k, n, s)
    weights: Array  # (k, s)


@result
class Slab:
    """Places (n, 2) [mm], n >= 5, in the order in which they were read, and what tells of heights there.

    basis (n, r): unit columns that span all planes; matrices (k, n, n): M of each kind of scatter, None where each
    reading scatters by itself; logs (k,): half the logarithm of |M|.
    """

    places: Array
    basis: Array
    matrices: Array | None
    logs: Array

    @property
    def power(self) -> float:
        """(w + f) / 2: how steeply the likelihood goes down with misfit [-]."""
        return float(_USUAL_WEIGHT + len(self.places) - self.basis.shape[1]) / 2

    def applied(self, columns: Array) -> Array:
        """M of each kind times columns (n, m): (k, n, m)."""
        if self.matrices is None:
            return np.asarray(columns - self.basis @ (self.basis.T @ columns))[None]
        return self.matrices @ columns

    @cached_property
    def kept(self) -> Array:
        """What M leaves of each reading alone (k, n); nothing where it fixes the plane by itself."""
        if self.matrices is None:
            return np.asarray(1.0 - (self.basis * self.basis).sum(axis=1))[None]
        return np.diagonal(self.matrices, axis1=1, axis2=2)

    @cached_property
    def judges(self) -> Mask:
        """Which readings (n,) the others can judge."""
        return np.asarray(np.all(self.kept > _ALONE, axis=0))

    @cached_property
    def divisors(self) -> Array:
        """As `kept` (k, n), but infinite where the others cannot judge a reading."""
        return np.where(self.judges, self.kept, np.inf)

    @cached_property
    def steps(self) -> Steps | None:
        """Steps with two readings at least on either side; None with too few or too many readings."""
        count = len(self.places)
        if not 6 <= count <= _MOST_ALIKE:
            return None
        since = np.arange(2, count - 1)
        columns = (np.arange(count)[:, None] >= since).astype(float)
        applied = self.applied(columns)
        weights = (applied * columns).sum(axis=1)
        free = (weights > _RANK).all(axis=0)
        return Steps(since[free], columns[:, free], applied[..., free], weights[:, free]) if free.any() else None

    @cached_property
    def leans(self) -> Array:
        """What each reading adds to the least-squares plane's slope (2, n) [1/mm]."""
        return np.linalg.pinv(self.places - self.places.mean(axis=0), rcond=_RANK)

    def likelihoods(self, squares: Array) -> Array:
        """Log-likelihoods (k, ...) by kind, of heights with h M h (k, ...) [mm2]."""
        logs = self.logs.reshape(-1, *[1] * (squares.ndim - 1))
        spread = _USUAL_WEIGHT * USUAL_SCATTER**2 + np.maximum(squares, 0.0)
        return logs - self.power * np.log(spread)


class Fit:
    """Heights (n,) [mm] on a slab: how likely they are, and would be but for one thing."""

    def __init__(self, slab: Slab, heights: Array) -> None:
        self.slab, self.heights = slab, heights
        self._pulls = slab.applied(heights[:, None])[..., 0]
        self._squares = self._pulls @ heights

    @cached_property
    def likelihood(self) -> float:
        """The log-likelihood as they are."""
        return float(_either(self.slab.likelihoods(self._squares)))

    @cached_property
    def _without(self) -> Array:
        return self.slab.likelihoods(self._squares[:, None] - self._pulls**2 / self.slab.divisors)

    @cached_property
    def without(self) -> Array:
        """The log-likelihoods (n,) with each reading where the others would have it."""
        return _either(self._without)

    @cached_property
    def off(self) -> Array:
        """How far each reading lies over where the others would have it (n,) [mm]; 0 where they cannot tell."""
        return _weighed(self._without, self._pulls / self.slab.divisors)

    def shifted(self, numbers: Index, by: Array) -> Array:
        """The log-likelihoods (m,) with one reading each (m,) shifted by so much (m,) [mm]."""
        squares = self._squares[:, None] + 2 * by * self._pulls[:, numbers] + by * by * self.slab.kept[:, numbers]
        return _either(self.slab.likelihoods(squares))

    def pairs(self) -> tuple[Array, Array]:
        """The log-likelihoods (n, n) with two readings where the others would have them.

        And how far off by that the first is (n, n) [mm]; minus infinity where others cannot tell.
        """
        both = self.slab.applied(np.eye(len(self.heights)))
        kept, pulls = self.slab.kept, self._pulls
        free = kept[:, :, None] * kept[:, None, :] - both * both
        told = (free > _ALONE * kept[:, :, None] * kept[:, None, :]).all(axis=0)
        free = np.where(told, free, np.inf)
        off = (kept[:, None, :] * pulls[:, :, None] - both * pulls[:, None, :]) / free
        taken = off * pulls[:, :, None] + off.transpose(0, 2, 1) * pulls[:, None, :]
        likelihoods = self.slab.likelihoods(self._squares[:, None, None] - taken)
        return np.where(told, _either(likelihoods), -np.inf), _weighed(likelihoods, off)

    def stepped(self, steps: Steps) -> tuple[Array, Array]:
        """The log-likelihoods (s,) without each step, and how far up each goes (s,) [mm]."""
        pulls = self._pulls @ steps.columns
        likelihoods = self.slab.likelihoods(self._squares[:, None] - pulls**2 / steps.weights)
        return _either(likelihoods), _weighed(likelihoods, pulls / steps.weights)

    def errors(self) -> Array:
        """The standard errors (n,) [mm] of `off`; infinite where the others cannot tell."""
        kept = np.where(self.slab.judges, self.slab.kept, np.nan)
        return np.where(self.slab.judges, self.errors_of(kept), np.inf)

    def errors_of(self, weights: Array) -> Array:
        """The standard errors (m,) [mm] of what M weighs so much by kind (k, m)."""
        spread = (_USUAL_WEIGHT * USUAL_SCATTER**2 + np.maximum(self._squares, 0.0)) / (2 * self.slab.power)
        return np.sqrt(_shares(self.slab.likelihoods(self._squares)) @ (spread[:, None] / weights))


def _either(likelihoods: Array) -> Array:
    """The log-likelihood whichever the kind, but for a constant."""
    return np.asarray(np.logaddexp.reduce(likelihoods, axis=0))


def _shares(likelihoods: Array) -> Array:
    return np.asarray(np.exp(likelihoods - np.logaddexp.reduce(likelihoods, axis=0)))


def _weighed(likelihoods: Array, values: Array) -> Array:
    return np.asarray((_shares(likelihoods) * values).sum(axis=0))


def slab(places: Array) -> Slab:
    """The slab under places (n, 2) [mm], n >= 5; the same one for the same bytes."""
    return _slab(np.ascontiguousarray(places).tobytes())


@lru_cache(maxsize=4)
def _slab(read: bytes) -> Slab:
    places = np.frombuffer(read).reshape(-1, 2)
    middle = places - places.mean(axis=0)
    design = np.column_stack([np.ones(len(places)), middle / max(float(np.abs(middle).max()), 1.0)])
    columns, sizes, _ = np.linalg.svd(design, full_matrices=len(places) <= _MOST_ALIKE)
    rank = int((sizes > _RANK * sizes[0]).sum())
    basis = columns[:, :rank]
    away = np.hypot(*(places[:, None] - places).transpose(2, 0, 1)) if len(places) <= _MOST_ALIKE else None
    if away is None or not away.any():
        return Slab(places, basis, None, np.zeros(1))
    return Slab(places, basis, *_alike(columns[:, rank:], away))


def _alike(contrasts: Array, away: Array) -> tuple[Array, Array]:
    """M of each kind of scatter (k, n, n), and half the logarithm of |M| (k,); contrasts (n, f) are free of planes."""
    shares = np.array([share for share, _ in _ALIKE])
    powers = list(dict.fromkeys(power for _, power in _ALIKE))
    each = [powers.index(power) for _, power in _ALIKE]
    # The contrasts' covariances (f, f), but for their size, where heights differ by a power of the distance.
    common = [contrasts.T @ (-away if power == 1 else away**power) @ contrasts for power in powers]
    sizes, turned = np.linalg.eigh(np.array(common))
    sizes = (np.maximum(sizes, 0.0) / sizes.mean(axis=1, keepdims=True))[each]
    weights = 1.0 / (1.0 - shares[:, None] * (1.0 - sizes))
    vectors = (contrasts @ turned)[each]
    return (vectors * weights[:, None]) @ vectors.transpose(0, 2, 1), np.log(weights).sum(axis=1) / 2
