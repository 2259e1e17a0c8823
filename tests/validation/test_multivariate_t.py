"""The likelihood of readings on a slab against a general library's.

Source: scipy.stats.multivariate_t, for each kind of scatter on what no plane explains.
"""

from __future__ import annotations

import numpy as np
import pytest
import scipy

from engine.survey.slab import USUAL_SCATTER, Fit, slab

RNG = np.random.Generator(np.random.PCG64(5))
PLACES = RNG.uniform((0, 0), (1500, 900), (11, 2))
HEIGHTS = PLACES @ [0.01, -0.004] - 540 + RNG.normal(0, 2, 11)
DESIGN = np.column_stack([np.ones(11), PLACES])
ALIKE = ((0.0, 1), (0.5, 1), (0.9, 1), (0.9, 3))


def kinds():
    """For each kind of scatter: contrasts free of planes (n, f) and their covariance (f, f) per unit variance."""
    contrasts = scipy.linalg.null_space(DESIGN.T)
    for share, power in ALIKE:
        alike = contrasts.T @ common(power) @ contrasts
        alike /= np.trace(alike) / len(alike)
        yield contrasts, (1 - share) * np.eye(len(alike)) + share * alike


def common(power):
    """The generalized covariance -r or r^3 between places."""
    away = np.hypot(*(PLACES[:, None] - PLACES).transpose(2, 0, 1))
    return away**3 if power == 3 else -away


def of_scipy(heights):
    """The logarithm of the likelihood: four readings of the usual scatter make it a t of four degrees of freedom."""
    logs = [
        scipy.stats.multivariate_t(shape=USUAL_SCATTER**2 * cover, df=4).logpdf(contrasts.T @ heights)
        for contrasts, cover in kinds()
    ]
    return np.logaddexp.reduce(logs)


def without(i):
    """The most that shifting one reading can make of the likelihood of each kind, then whichever the kind."""
    logs = []
    for contrasts, cover in kinds():
        unit, whole = contrasts.T[:, [i]], contrasts.T @ HEIGHTS
        weight = scipy.linalg.inv(cover)
        by = -(unit.T @ weight @ whole).item() / (unit.T @ weight @ unit).item()
        shape = USUAL_SCATTER**2 * cover
        logs.append(scipy.stats.multivariate_t(shape=shape, df=4).logpdf(whole + by * unit[:, 0]))
    return np.logaddexp.reduce(logs)


@pytest.fixture(scope="module")
def fit():
    return Fit(slab(PLACES), HEIGHTS)


def test_shifts_make_it_likelier_by_what_scipys_t_says(fit):
    numbers, by = np.array([0, 3, 7, 10]), np.array([25.4, -7.9, 5.0, -3.0])
    shifts = np.eye(11)[numbers] * by[:, None]
    expected = [of_scipy(HEIGHTS + shift) - of_scipy(HEIGHTS) for shift in shifts]
    assert fit.shifted(numbers, by) - fit.likelihood == pytest.approx(expected, rel=1e-8)


def test_leaving_one_out_is_its_best_shift(fit):
    expected = [without(i) - of_scipy(HEIGHTS) for i in range(11)]
    assert fit.without - fit.likelihood == pytest.approx(expected, rel=1e-8)


def test_steps_make_it_likelier_by_what_scipys_t_says(fit):
    """At a step's own best size of the first kind no kind can be likelier than it says."""
    steps = slab(PLACES).steps
    found, shifts = fit.stepped(steps)
    for at, since in enumerate(steps.since):
        taken_out = HEIGHTS - np.where(np.arange(11) >= since, shifts[at], 0.0)
        assert of_scipy(taken_out) - of_scipy(HEIGHTS) <= found[at] - fit.likelihood + 1e-9
