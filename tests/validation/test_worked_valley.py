"""Level walls on an L whose leg is hidden from the drain: a worked example.

Source: figures of a prototype that shares no code with the engine, printed with its construction to three and four
digits. An L of 1.8 m with legs of 0.9 m, the drain at (1.5, 0.45), its rim 0.05 m, fall 1:48:

- as gentle as can be: the relay at (0.731, 0.731) stands 16.0 mm high, the walls 43.0 mm (no bed under 41.1), the
  steepest fall 0.172 (none under 0.164)
- as low as a most fall of 1:4 allows: the relay at (0.789, 0.789), the walls 42.1 mm
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from engine.bed.valley.bed import Verdict

ELL = [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)]
AT, RIM, FALL = (1500, 450), 50, 1 / 48
LONGEST = math.hypot(600, 450) + math.hypot(900, 900) - RIM  # [mm] from corner F round corner D
LOWEST = FALL * LONGEST
NEAREST = 300 - RIM  # [mm] from the rim to B-C
PLACE, HEIGHT, STEEPNESS = 0.5, 0.05, 5e-4  # half of the last digit printed [mm, mm, -]


@pytest.fixture(scope="module")
def gentle(make_reach, make_valleys):
    return make_valleys(make_reach(ELL, AT, radius=RIM))


def test_the_bounds(gentle):
    assert pytest.approx(41.1, abs=HEIGHT) == LOWEST
    assert pytest.approx(0.164, abs=STEEPNESS) == LOWEST / NEAREST
    assert gentle.bound == pytest.approx(LOWEST / NEAREST)
    assert gentle.wall_height > LOWEST


def test_as_gentle_as_can_be(gentle):
    assert gentle.net.places[1:] == pytest.approx(np.array([[731, 731]]), abs=PLACE)
    assert gentle.valleys[0].high.value == pytest.approx(16.0, abs=HEIGHT)
    assert gentle.wall_height == pytest.approx(43.0, abs=HEIGHT)
    assert gentle.most_fall == pytest.approx(0.172, abs=STEEPNESS)


def test_as_low_as_a_most_fall_of_a_quarter_allows(make_reach, make_valleys):
    bed = make_valleys(make_reach(ELL, AT, radius=RIM), most=1 / 4)
    assert bed.net.places[1:] == pytest.approx(np.array([[789, 789]]), abs=PLACE)
    assert bed.wall_height == pytest.approx(42.1, abs=HEIGHT)
    assert bed.most_fall <= 1 / 4
    assert bed.verdict is Verdict.FITS
