"""The volume of mud agrees with a dense quadrature of its own, to 0.01 %."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

RELATIVE = 1e-4  # what the engine promises; the quadrature's own error is about a tenth of it
TRIANGLES = 6_000


def quadrature(polygon, function):
    """The sum over halved triangles by their sides' middles, which is exact for squares of x and y."""
    parts = shapely.get_parts(shapely.constrained_delaunay_triangles(polygon))
    a, b, c = shapely.get_coordinates(parts).reshape(-1, 4, 2)[:, :3].transpose(1, 0, 2)
    while len(a) < TRIANGLES:
        ab, bc, ca = (a + b) / 2, (b + c) / 2, (c + a) / 2
        a, b, c = (np.concatenate(ends) for ends in ((a, ab, ca, ab), (ab, b, bc, bc), (ca, bc, c, ca)))
    areas = np.abs((b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]) / 2
    values = function(np.concatenate([(a + b) / 2, (b + c) / 2, (c + a) / 2])).reshape(3, -1)
    return float(areas @ values.mean(axis=0))


FEW = settings().max_examples // 16


@pytest.mark.parametrize("kind", ["rectangles", "stars", "simple"])
@settings(derandomize=True, deadline=None, max_examples=FEW)
@given(data=st.data())
def test_volume(make_plan, rooms, kind, data):
    room = data.draw(getattr(rooms, kind)())
    plan = room.planned(make_plan)

    def mud(points):
        return np.maximum(plan.bed.height(points) - plan.rough.height(points), 0.0)

    assert plan.bed.integral == pytest.approx(quadrature(room.polygon, plan.bed.height), rel=RELATIVE)
    expected = quadrature(room.polygon, mud)
    scale = max(expected, plan.outline.area)  # [mm3] a millimetre of mud: thinner is not measured
    assert plan.depth.volume == pytest.approx(expected, abs=RELATIVE * scale)


@pytest.mark.parametrize("kind", ["rectangles", "simple"])
@settings(derandomize=True, deadline=None, max_examples=FEW // 2)
@given(data=st.data(), drop=st.sampled_from([495.0, 510.0, 560.0]))
def test_volume_where_the_floor_stands_above_the_bed(make_plan, rooms, kind, data, drop):
    room = data.draw(getattr(rooms, kind)())
    plan = room.planned(make_plan, drop=drop)

    def gap(points):
        return plan.bed.height(points) - plan.rough.height(points)

    expected = quadrature(room.polygon, lambda points: np.maximum(gap(points), 0.0))
    scale = quadrature(room.polygon, lambda points: np.abs(gap(points)))
    assert plan.depth.volume >= 0
    assert plan.depth.volume == pytest.approx(expected, abs=RELATIVE * scale)
