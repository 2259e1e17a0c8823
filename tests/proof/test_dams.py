"""No line of the mesh dams up water that is not there: mended to the plan, no bed of a room such as these holds any."""

from __future__ import annotations

import numpy as np
import pytest


@pytest.fixture(scope="module")
def ell(make_plan):
    """An L-shaped room in inches, read at corners, middles and half ways to a drain in its first leg."""

    def build(seed):
        rng = np.random.default_rng(seed)
        wide, deep = (rng.integers(600, 1300, 2) / 16).tolist()
        leg, foot = round(wide * 0.55 * 16) / 16, round(deep * 0.55 * 16) / 16
        corners = [(0, 0), (wide, 0), (wide, foot), (leg, foot), (leg, deep), (0, deep)]
        at = (round(wide * 0.3 * 16) / 16, round(deep * 0.3 * 16) / 16)
        ends = np.array(corners, dtype=float)
        places = [*corners, *((ends + np.roll(ends, -1, axis=0)) / 2), *(ends * 0.55 + np.array(at) * 0.45)]
        places = [(round(x * 16) / 16, round(y * 16) / 16) for x, y in places]
        drops = rng.normal(18.5, 0.1, len(places)).round(2)
        rows = [
            f"[[as_built]]\nat = {{ x = {x}, y = {y} }}\ndrop = {drop}\n"
            for (x, y), drop in zip(places, drops, strict=True)
        ]
        words = {"at": at, "size": 4.75, "drop": 20, "shape": "even-fall", "fall": "5 %", "mark_step": 0.0625}
        readings = [(corner, 22) for corner in corners]
        return make_plan(corners, units="in", readings=readings, extra="\n".join(rows), **words)

    return build


@pytest.mark.parametrize("seed", range(40))
def test_a_bed_mended_to_the_plan_holds_no_water(ell, seed):
    built = ell(seed).as_built
    assert built.surface.mended(np.zeros(len(built.stations))).ponds == ()
