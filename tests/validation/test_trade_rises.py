"""Rises over runs as the trade prints them.

Sources: trade articles on sloped mortar beds, quarter inch in a foot (48 in -> 1 in, 36 in -> 3/4 in,
24 in -> 1/2 in); a magazine's 1:40 over 1 m -> 25 mm.
"""

from __future__ import annotations

import numpy as np
import pytest

INCH = 25.4  # [mm]
POINT = 0.002  # [mm] a flange so small that runs are measured from its centre
TOLERANCE = POINT  # [mm] the flange takes its radius times the fall off each rise: far less than this


def triangle_with_corner_at(distance):
    """A right-angled corner A so far from the drain at the origin, both other corners nearer."""
    return [(-distance, 0.0), (0.2 * distance, -0.6 * distance), (0.2 * distance, 0.6 * distance)]


@pytest.mark.parametrize(("run", "rise"), [(48, 1), (36, 3 / 4), (24, 1 / 2)])
@pytest.mark.parametrize("shape", ["level-walls", "even-fall"])
def test_a_corner_so_far_from_the_drain_rises_so_much(make_plan, run, rise, shape):
    corners = triangle_with_corner_at(run * INCH)
    bed = make_plan(corners, at=(0, 0), size=POINT, shape=shape, fall="1/4 in/ft", mark_step=1e-6).bed
    assert bed.height(np.array([[-run * INCH, 0.0]]))[0] == pytest.approx(rise * INCH, abs=TOLERANCE)


@pytest.mark.parametrize("fall", ["1:40", "2.5 %", "0.3 in/ft"])
def test_one_in_forty_over_a_metre(make_plan, fall):
    corners = triangle_with_corner_at(1000.0)
    bed = make_plan(corners, at=(0, 0), size=POINT, shape="even-fall", fall=fall).bed
    assert bed.height(np.array([[-1000.0, 0.0]]))[0] == pytest.approx(1000 / 40, abs=TOLERANCE)
