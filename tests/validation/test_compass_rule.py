"""Closing a walked outline by the compass (Bowditch) rule.

Source: J. Mahun, open-access surveying text, traverse adjustment: legs by azimuth and length, their adjusted
latitudes and departures; misclosure 0.157 (1 : 15,200). Recomputed.
"""

from __future__ import annotations

import numpy as np
import pytest

from engine.job.model import Typed, Wall
from engine.survey.outline import _walk

LEGS = (  # azimuth (deg, min, sec), length
    ((226, 54, 23), 639.15),
    ((0, 0, 0), 523.69),
    ((235, 2, 29), 409.54),
    ((79, 35, 2), 815.93),
)
ADJUSTED = (  # latitude (north), departure (east)
    (-436.631, -466.761),
    (523.715, -0.023),
    (-234.640, -335.663),
    (147.556, 802.447),
)
MISCLOSURE = 0.157
TOLERANCE = 0.002  # the source rounds every leg to 0.001, and its legs' sum is 0.001 off


@pytest.fixture(scope="module")
def walked():
    """Corners and misclosure of the legs walked from A along +x; turns are left positive, azimuths clockwise.

    The source's traverse crosses itself, so it is no floor; the walk is asked before that is refused.
    """
    azimuths = [d + m / 60 + s / 3600 for (d, m, s), _ in LEGS]
    turns = [(a - b + 180) % 360 - 180 for a, b in zip(azimuths, azimuths[1:] + azimuths[:1], strict=True)]
    lengths = [length for _, length in LEGS]
    return _walk(
        tuple(Wall(Typed(length, length), Typed(turn, turn)) for length, turn in zip(lengths, turns, strict=True))
    )


def test_the_gap_that_is_shared_out(walked):
    _, misclosure = walked
    assert misclosure == pytest.approx(MISCLOSURE, abs=TOLERANCE)
    assert sum(length for _, length in LEGS) / misclosure == pytest.approx(15_200, rel=0.01)


def test_the_adjusted_legs(walked):
    (degrees, minutes, seconds), _ = LEGS[0]
    heading = np.radians(90 - (degrees + minutes / 60 + seconds / 3600))  # from east, counter-clockwise
    east = np.array([np.cos(heading), -np.sin(heading)])
    north = np.array([np.sin(heading), np.cos(heading)])
    corners, _ = walked
    legs = np.roll(corners, -1, axis=0) - corners
    found = np.column_stack([legs @ north, legs @ east])
    assert found == pytest.approx(np.array(ADJUSTED), abs=TOLERANCE)
    assert found.sum(axis=0) == pytest.approx(0, abs=1e-9)
