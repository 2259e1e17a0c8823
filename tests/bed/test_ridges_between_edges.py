"""Ridges square across the shortest ways between flanges' edges, where those between their middles would not do."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

ROOM = "rectangle = [3000, 1500]"
CELL = 10.0  # [mm] of a raster, which dams up 0.3 x slope x cell of its own where steep facets meet


def drain(x, y):
    return f'[[drains]]\nkind = "round"\nsize = 100\nat = {{ x = {x}, y = {y} }}\ndrop = 500\n'


def channel(x, y, long):
    """A channel 80 wide with its middle there."""
    ends = f"from = {{ x = {x - long / 2}, y = {y} }}\nto = {{ x = {x + long / 2}, y = {y} }}\n"
    return f'[[drains]]\nkind = "channel"\nsize = 80\ndrop = 500\n{ends}'


@pytest.fixture(scope="module")
def parted(make_plan):
    return lambda *drains: make_plan(ROOM, shape="level-walls", readings=[((0, 0), 560)], extra="".join(drains))


def test_a_channel_past_two_drains_beside_its_ends_has_a_ridge_to_each(parted, pits):
    """Their edges are 510 apart; lines square across the ways between the middles would run through the channel."""
    found = parted(drain(500, 600), drain(2500, 600), channel(1500, 1200, 2000))
    bed = found.bed
    assert sum(part.shape.area for part in bed.parts) == pytest.approx(found.outline.area)
    assert {ridge.drains for ridge in bed.ridges} == {(0, 1), (0, 2), (1, 2)}
    across = [ridge.points for ridge in bed.ridges if 2 in ridge.drains]
    assert np.concatenate(across)[:, 1] == pytest.approx((650 + 1160) / 2)
    corners = found.outline.corners
    walls = np.vstack([corners, (corners + np.roll(corners, 1, axis=0)) / 2])
    assert bed.height(walls) == pytest.approx(bed.wall_height)
    assert pits(found, CELL) < 0.3 * CELL * bed.steepest


def test_what_lies_between_all_ridges_joins_a_part(parted):
    """Of five drains, two of them channels, the lines between each two leave floor over."""
    found = parted(
        channel(880, 360, 600), drain(330, 1160), drain(2590, 220), channel(1690, 470, 600), drain(2070, 1030)
    )
    shapes = [part.shape for part in found.bed.parts]
    assert sum(shapely.area(shapes)) == pytest.approx(found.outline.area, abs=5)
    assert shapely.area(shapely.union_all(shapes)) == pytest.approx(found.outline.area, abs=5)
