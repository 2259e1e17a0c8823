"""More fall never thins a bed, nor lowers any place of it."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

NOISE = 1e-9  # [mm]
FEW = settings().max_examples // 12


@pytest.mark.parametrize("kind", ["rectangles", "stars", "simple"])
@settings(derandomize=True, deadline=None, max_examples=FEW)
@given(data=st.data(), falls=st.lists(st.integers(10, 80), min_size=2, max_size=2))
def test_more_fall_is_nowhere_less_mud(make_plan, rooms, kind, data, falls):
    room = data.draw(getattr(rooms, kind)())
    flat, steep = (room.planned(make_plan, fall=f"1:{run}") for run in sorted(falls, reverse=True))
    points = room.points(1500)
    assert (steep.bed.height(points) >= flat.bed.height(points) - NOISE).all()
    assert steep.bed.wall_height >= flat.bed.wall_height - NOISE
    assert steep.depth.least.value >= flat.depth.least.value - NOISE
    assert steep.depth.most.value >= flat.depth.most.value - NOISE
    assert steep.depth.volume >= flat.depth.volume * (1 - 1e-6)
    for before, after in zip(flat.marks, steep.marks, strict=True):
        assert after.above_drain >= before.above_drain - NOISE
