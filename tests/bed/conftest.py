"""Random rooms whose drain does not see the whole floor, and beds with valleys in them."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from skimage.morphology import reconstruction

from engine.bed.flange import Flange
from engine.bed.hidden import hidden_part
from engine.bed.reach import Reach
from engine.bed.valley.plan import Wanted, valley_walls
from engine.job.model import DrainKind, EdgeKind
from engine.survey.outline import FloorOutline, corner_names

S = 1 / 48
_NARROWEST = 220.0  # [mm] between walls that do not meet
_SHORTEST = 60.0  # [mm] a wall
_CORNERS = 12
_DRAIN = 40.0  # [mm] radius
_CELL = 20.0  # [mm] of a raster
_ALONG = 200  # places along each crease: closer than cells


def floor_of(corners, islands=()):
    rings = tuple(np.array(ring, dtype=float) for ring in islands)
    walls = (EdgeKind.WALL,) * len(corners)
    return FloorOutline(np.array(corners, dtype=float), corner_names(len(corners)), walls, rings)


def reach_of(corners, at, *, radius=_DRAIN, islands=(), kind=DrainKind.ROUND, axis=(1.0, 0.0), length=0.0):
    flange = Flange(kind, np.array(at, dtype=float), 2 * radius, np.array(axis), length)
    return Reach(floor_of(corners, islands), flange)


def bed_of(reach, *, fall=S, most=None, mark_step=1e-3, height=None, square=False):
    wanted = Wanted(fall, most, mark_step, height, square)
    return valley_walls(reach, hidden_part(reach), wanted)


def _rectangles(rng):
    """Two to four rectangles run together, a room of legs and bays, some of them askew."""
    parts = []
    for _ in range(int(rng.integers(2, 5))):
        half = rng.uniform(200, 900, 2)
        ring = rng.uniform(-700, 700, 2) + half * [[-1, -1], [1, -1], [1, 1], [-1, 1]]
        turn = rng.choice([0.0, 0.0, rng.uniform(0, 90)])
        parts.append(shapely.transform(shapely.Polygon(ring), _turned(np.radians(turn))))
    return shapely.union_all(parts)


def _turned(turn):
    matrix = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    return lambda points: points @ matrix


def _star(rng):
    """Walls once round a middle, near and far."""
    angles = np.sort(rng.uniform(0, 2 * np.pi, int(rng.integers(5, _CORNERS + 1))))
    far = rng.uniform(350, 1500, len(angles))
    return shapely.Polygon(far[:, None] * np.column_stack([np.cos(angles), np.sin(angles)]))


def _is_room(polygon):
    if polygon.geom_type != "Polygon" or len(polygon.interiors) or not polygon.is_valid:
        return False
    ring = shapely.get_coordinates(polygon.exterior)[:-1]
    count = len(ring)
    sides = shapely.linestrings(np.stack([ring, np.roll(ring, -1, axis=0)], axis=1))
    apart = shapely.distance(sides[:, None], sides)
    gap = (np.arange(count)[:, None] - np.arange(count)) % count
    far = apart[(gap > 1) & (gap < count - 1)]
    return (
        count <= _CORNERS and far.min(initial=np.inf) > _NARROWEST and shapely.length(sides).min() > _SHORTEST
    )


def hidden_room(seed):
    """Corners (n, 2) of a room of up to twelve, and a drain's place (2,) from which a part of it is hidden [mm]."""
    rng = np.random.default_rng(seed)
    while True:
        polygon = (_rectangles if rng.random() < 0.6 else _star)(rng).simplify(0.5)
        inner = polygon.buffer(-_DRAIN - 60) if _is_room(polygon) else polygon
        if inner is polygon or inner.is_empty:
            continue
        low, high = np.array(inner.bounds).reshape(2, 2)
        ring = np.round(shapely.get_coordinates(polygon.exterior)[:-1], 1)
        for at in np.round(rng.uniform(low, high, (20, 2)), 1):
            if inner.contains(shapely.Point(at)) and hidden_part(reach_of(ring, at)):
                return ring, at


def flooded(bed):
    """How deep water would stand on a raster of the bed with its creases burned in, by scikit-image [mm].

    Cells next to a crease lean to it only with their middles: without the creases a raster shows ponds that are none.
    """
    low, high = np.array(bed.reach.floor.polygon.bounds).reshape(2, 2)
    columns, rows = np.ceil((high - low) / _CELL).astype(int)
    centres = low + _CELL * (np.stack(np.meshgrid(np.arange(columns), np.arange(rows)), axis=-1) + 0.5)
    on_floor = shapely.contains_xy(bed.reach.floor.polygon, centres[..., 0], centres[..., 1])
    surface = np.full((rows + 2, columns + 2), np.inf)
    surface[1:-1, 1:-1][on_floor] = bed.height(centres[on_floor])
    starts = bed.mesh.corners.reshape(-1, 2)
    ends = np.roll(bed.mesh.corners, -1, axis=1).reshape(-1, 2)
    points = (starts + np.linspace(0, 1, _ALONG)[:, None, None] * (ends - starts)).reshape(-1, 2)
    column, row = np.clip(np.floor((points - low) / _CELL).astype(int), 0, [columns - 1, rows - 1]).T
    np.minimum.at(surface, (row + 1, column + 1), bed.height(points))
    seed = np.where(np.isfinite(surface), surface.max(initial=0.0, where=np.isfinite(surface)), np.inf)
    outlet = np.pad(bed.reach.flange.stretch(centres.reshape(-1, 2)).reshape(rows, columns) <= 1, 1)
    seed[outlet] = surface[outlet]
    top = np.where(np.isfinite(surface), surface, 1e6)
    filled = reconstruction(np.where(np.isfinite(seed), seed, 1e6), top, method="erosion")
    return (filled - top).max()


def pits(found, cell, also_drained=None):
    """The deepest water by depression filling of scikit-image on a raster [mm], seeded at the drains.

    also_drained: tells of places (k, 2) which of them are seeded too.
    """
    bed, polygon = found.bed, found.outline.polygon
    low, high = np.array(shapely.bounds(polygon)).reshape(2, 2)
    x, y = (np.arange(a - cell / 2, b + cell, cell) for a, b in zip(low, high, strict=True))
    grid = np.stack(np.meshgrid(x, y), axis=-1)
    on = shapely.contains_xy(polygon, grid[..., 0], grid[..., 1])
    heights, drained = np.full(on.shape, 1e6), np.zeros_like(on)
    heights[on] = bed.height(grid[on])
    drained[on] = np.min([flange.distance(grid[on]) for flange in bed.reach.flanges], axis=0) == 0
    if also_drained is not None:
        drained[on] |= also_drained(grid[on])
    filled = reconstruction(np.where(drained, heights, 1e6), heights, method="erosion")
    return (filled - heights)[on].max()


@pytest.fixture(scope="session")
def make_reach():
    return reach_of


@pytest.fixture(scope="session")
def make_valleys():
    return bed_of


@pytest.fixture(scope="session")
def make_hidden_room():
    return hidden_room


@pytest.fixture(scope="session", name="flooded")
def make_flooded():
    return flooded


@pytest.fixture(scope="session", name="pits")
def make_pits():
    return pits
