"""Beds with valleys under water: an image library's flood of a raster into which their creases are burned.

Source: reconstruction by erosion in scikit-image (Robinson and Whelan's algorithm), seeded at the drain alone; walls
are closed. It is told heights of cells, and knows no facet.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
import skimage
from hypothesis import settings

ROOMS = 2 * settings().max_examples
BATCH = 20
CELL = 20.0  # [mm]
STEP = CELL / 2  # [mm] along a crease: no cell that it goes through is left out but where it cuts a corner off
DRY = 1e-9  # [mm]
HIGH = 1e6  # [mm] outside the floor
ELL = [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)]
U = [(0, 0), (1800, 0), (1800, 1500), (1200, 1500), (1200, 600), (600, 600), (600, 1500), (0, 1500)]
POST = [(1400, 300), (1500, 300), (1500, 380), (1400, 380)]


def along_creases(mesh):
    """Places (k, 2) [mm] along the sides of all facets, each side once."""
    ends = np.stack([mesh.corners, np.roll(mesh.corners, -1, axis=1)], axis=2).reshape(-1, 4)
    forward = (ends[:, 0] < ends[:, 2]) | ((ends[:, 0] == ends[:, 2]) & (ends[:, 1] < ends[:, 3]))
    sides = np.unique(np.where(forward[:, None], ends, ends[:, [2, 3, 0, 1]]), axis=0)
    return shapely.get_coordinates(shapely.segmentize(shapely.linestrings(sides.reshape(-1, 2, 2)), STEP))


def flooded(bed):
    """How deep water would stand on a raster of the bed with its creases burned in [mm].

    Cells next to a crease lean to it only with their middles: without the creases a raster shows ponds that are none.
    """
    low, high = np.array(bed.reach.floor.polygon.bounds).reshape(2, 2)
    columns, rows = np.ceil((high - low) / CELL).astype(int)
    centres = low + CELL * (np.stack(np.meshgrid(np.arange(columns), np.arange(rows)), axis=-1) + 0.5)
    on_floor = shapely.contains_xy(bed.reach.floor.polygon, centres[..., 0], centres[..., 1])
    surface = np.full((rows, columns), HIGH)
    surface[on_floor] = bed.height(centres[on_floor])
    points = along_creases(bed.mesh)
    column, row = np.clip(np.floor((points - low) / CELL).astype(int), 0, [columns - 1, rows - 1]).T
    np.minimum.at(surface, (row, column), bed.height(points))
    surface = np.pad(surface, 1, constant_values=HIGH)
    outlet = np.pad(bed.reach.flange.stretch(centres.reshape(-1, 2)).reshape(rows, columns) <= 1, 1)
    return (
        skimage.morphology.reconstruction(np.where(outlet, surface, HIGH), surface, method="erosion") - surface
    ).max()


@pytest.mark.parametrize("batch", range(ROOMS // BATCH))
def test_no_water_stands_in_a_random_room(batch, make_hidden_bed):
    for seed in range(batch * BATCH, (batch + 1) * BATCH):
        assert flooded(make_hidden_bed(seed)) < DRY, f"room {seed}"


def test_none_stands_in_random_rooms_round_a_post(make_hidden_room, make_reach, make_valleys):
    """The post stands where the floor is widest past the drain; where no bed is found nothing is claimed."""
    found = 0
    for seed in range(1100, 1106):
        corners, at = make_hidden_room(seed)
        around = shapely.Polygon(corners).difference(shapely.Point(at).buffer(250.0))
        widest = shapely.maximum_inscribed_circle(around, tolerance=5.0)
        (x, y), half = shapely.get_coordinates(widest)[0], shapely.length(widest) / 4
        post = [(x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half)]
        bed = make_valleys(make_reach(corners, at, islands=[post]))
        if bed is not None:
            found += 1
            assert flooded(bed) < 0.05
    assert found >= 4


def test_none_stands_where_two_valleys_meet_behind_a_post(make_reach, make_valleys):
    assert flooded(make_valleys(make_reach(U, (300, 1200), islands=[POST]))) < DRY


def test_none_stands_at_a_level_ridge_from_a_post_to_a_wall(monkeypatch, make_reach, make_valleys):
    monkeypatch.setattr("engine.bed.valley.choice.looped", lambda *_: None)
    bed = make_valleys(make_reach(U, (300, 1200), islands=[POST]))
    assert len(bed.ridges) == 1
    assert flooded(bed) < DRY


def test_the_flood_finds_a_pond_where_there_is_one(make_reach, make_valleys):
    """The relay sunk 5 mm under the drain: it fills up to the drain's height."""
    bed = make_valleys(make_reach(ELL, (1500, 450), radius=50))
    relay = bed.valleys[0].high.value
    sunk = np.where(np.isclose(bed.mesh.heights, relay), -5.0, bed.mesh.heights)
    assert flooded(replace(bed, mesh=replace(bed.mesh, heights=sunk))) == pytest.approx(5.0, abs=0.5)
