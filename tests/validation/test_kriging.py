"""How far a reading is off against kriging from all the others, the system solved as it stands.

Sources: universal kriging with a plane as drift (Matheron, 1969; as any text on geostatistics has it), solved by
scipy.linalg; plain least squares by numpy where readings are too many to be held alike.
"""

from __future__ import annotations

import numpy as np
import pytest
import scipy

from engine.survey.slab import Fit, slab

RNG = np.random.Generator(np.random.PCG64(5))
PLACES = RNG.uniform((0, 0), (1500, 900), (11, 2))
HEIGHTS = PLACES @ [0.01, -0.004] - 540 + RNG.normal(0, 2, 11)
DESIGN = np.column_stack([np.ones(11), PLACES])
ALIKE = ((0.0, 1), (0.5, 1), (0.9, 1), (0.9, 3))


def common(power):
    """The generalized covariance -r or r^3 between places."""
    away = np.hypot(*(PLACES[:, None] - PLACES).transpose(2, 0, 1))
    return away**3 if power == 3 else -away


@pytest.mark.parametrize("kind", range(4))
def test_off_is_what_kriging_from_the_others_leaves(kind):
    """Each reading foretold by the others: the kriging system with a plane as drift, solved as it stands."""
    share, power = ALIKE[kind]
    contrasts = scipy.linalg.null_space(DESIGN.T)
    alike = common(power)
    scale = np.trace(contrasts.T @ alike @ contrasts) / contrasts.shape[1]
    cover = (1 - share) * np.eye(11) + share * alike / scale
    ground = slab(PLACES)
    off = ground.applied(HEIGHTS[:, None])[kind, :, 0] / ground.kept[kind]
    for i in range(11):
        others = np.arange(11) != i
        drift = DESIGN[others]
        system = np.block([[cover[np.ix_(others, others)], drift], [drift.T, np.zeros((3, 3))]])
        weights = scipy.linalg.solve(system, np.concatenate([cover[others, i], DESIGN[i]]))[:10]
        assert off[i] == pytest.approx(HEIGHTS[i] - weights @ HEIGHTS[others], rel=1e-5, abs=1e-6)


def test_of_many_readings_each_scatters_by_itself():
    """Leave one out by fitting all the others anew."""
    places = RNG.uniform(0, 3000, (130, 2))
    heights = RNG.normal(0, 2, 130)
    off = Fit(slab(places), heights).off
    for i in (0, 60, 129):
        others = np.arange(130) != i
        design = np.column_stack([np.ones(130), places])
        plane, *_ = np.linalg.lstsq(design[others], heights[others], rcond=None)
        assert off[i] == pytest.approx(heights[i] - design[i] @ plane)
