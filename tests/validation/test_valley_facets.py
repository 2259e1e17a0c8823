"""Valleys in random rooms by an exact check of their facets, from corners and heights alone.

Walls all level, no step between facets, floor covered once, water runs down from everywhere at the fall or more.

Sources: planes through three corners are LAPACK's (numpy.linalg.solve), areas, overlaps and what covers what are GEOS's
(shapely); none of it asks the code that lays the facets out but for the heights that it tells.
"""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from engine.bed.parted_walls import PartedWalls, parted_walls
from engine.bed.reach import Reach, SharedReach
from engine.bed.surfaces import Terms, valley_parts

S = 1 / 48
ROOMS = 200
BATCH = 20
NEAR = 1e-6  # [mm]
NOISE = 1e-9  # [-]


def ruled_height(bed, corners, heights, points):
    """From the flange's edge to the facet's far side along each ray, by the ray's own crossing of that side."""
    centre, start, end = corners
    flange = bed.reach.flange
    offset = points - centre
    far = np.hypot(*offset.T)
    towards = np.where(far[:, None] > NEAR, offset, (start + end) / 2 - centre)
    rays = towards / np.hypot(*towards.T)[:, None]
    side = end - start
    turn = rays[:, 0] * side[1] - rays[:, 1] * side[0]
    to_side = ((start - centre)[0] * side[1] - (start - centre)[1] * side[0]) / turn
    share = ((centre + to_side[:, None] * rays - start) @ side) / (side @ side)
    top = heights[1] + share * (heights[2] - heights[1])
    rim = flange.rim(rays)
    return np.where(far > rim, top * (far - rim) / (to_side - rim), 0.0)


def plane_height(corners, heights, points):
    matrix = np.column_stack([corners, np.ones(3)])
    return np.column_stack([points, np.ones(len(points))]) @ np.linalg.solve(matrix, heights)


def facet_height(bed, k, points):
    mesh = bed.mesh
    if mesh.at_drain[k]:
        return ruled_height(bed, mesh.corners[k], mesh.heights[k], points)
    return plane_height(mesh.corners[k], mesh.heights[k], points)


def run(bed, a, b):
    """Between two of the mesh's places; from the drain's centre only what is outside the flange."""
    flange = bed.reach.flange
    whole = float(np.hypot(*(b - a)))
    for end, other in ((a, b), (b, a)):
        if (end == flange.centre).all():
            return whole - float(flange.rim(((other - end) / whole)[None])[0])
    return whole


def sides(mesh):
    for corners, heights in zip(mesh.corners, mesh.heights, strict=True):
        for k in range(3):
            yield corners[k], corners[(k + 1) % 3], heights[k], heights[(k + 1) % 3]


def covers_the_floor_once(bed):
    floor = bed.reach.floor.polygon
    facets = shapely.polygons(bed.mesh.corners)
    assert shapely.is_ccw(shapely.get_exterior_ring(facets)).all()
    assert shapely.area(facets).sum() == pytest.approx(floor.area, rel=1e-9)
    tree = shapely.STRtree(facets)
    a, b = tree.query(facets, predicate="overlaps")
    assert shapely.area(shapely.intersection(facets[a], facets[b])).max(initial=0.0) < 1e-3
    assert shapely.covers(floor.buffer(NEAR), facets).all()


def walls_are_level(bed):
    """At every corner of a facet on a wall, and all along the walls; nowhere else is the bed so high."""
    ring = shapely.boundary(bed.reach.floor.polygon)
    places, heights = bed.mesh.corners.reshape(-1, 2), bed.mesh.heights.reshape(-1)
    ridges = shapely.linestrings(np.array(bed.cuts).reshape(-1, 2, 2))
    level = shapely.union_all([ring, *ridges])
    on_wall = shapely.distance(level, shapely.points(places)) < NEAR
    assert np.abs(heights[on_wall] - bed.wall_height).max() < 1e-12
    assert heights[~on_wall].max() < bed.wall_height
    along = shapely.get_coordinates(shapely.segmentize(ring, 40))
    assert np.abs(bed.height(along) - bed.wall_height).max() < 1e-7


def has_no_step(bed):
    """Along every side of a facet, whatever facet is asked, and by the bed itself."""
    mesh = bed.mesh
    facets = shapely.polygons(mesh.corners)
    parts = np.linspace(0.0, 1.0, 7)[:, None]
    points = np.vstack([a + parts * (b - a) for a, b, *_ in sides(mesh)])
    near, k = shapely.STRtree(facets).query(shapely.points(points), predicate="dwithin", distance=NEAR)
    told = bed.height(points)
    for facet in range(len(facets)):
        rows = near[k == facet]
        assert np.abs(facet_height(bed, facet, points[rows]) - told[rows]).max() < 1e-6


def every_place_has_a_lower_one(bed):
    """From each corner of a facet some side runs down at the fall or more; on a facet its own slope does."""
    best: dict[tuple[float, float], float] = {}
    for a, b, za, zb in sides(bed.mesh):
        span = run(bed, a, b)
        for end, drop in ((a, za - zb), (b, zb - za)):
            key = (round(float(end[0]), 5), round(float(end[1]), 5))
            best[key] = max(best.get(key, 0.0), drop / span)
    centre = bed.reach.flange.centre
    del best[round(float(centre[0]), 5), round(float(centre[1]), 5)]
    assert min(best.values()) >= S * (1 - NOISE)


def falls_enough(bed):
    mesh = bed.mesh
    for k, (corners, heights) in enumerate(zip(mesh.corners, mesh.heights, strict=True)):
        if not mesh.at_drain[k]:
            gradient = np.linalg.solve(np.column_stack([corners, np.ones(3)]), heights)[:2]
            assert np.hypot(*gradient) >= S * (1 - NOISE)
            continue
        far = corners[1] + np.linspace(0, 1, 9)[:, None] * (corners[2] - corners[1])
        tops = heights[1] + np.linspace(0, 1, 9) * (heights[2] - heights[1])
        runs = np.array([run(bed, corners[0], place) for place in far])
        assert (tops / runs).min() >= S * (1 - NOISE)
    for line in bed.valleys:
        span = np.hypot(line.high.x - line.low.x, line.high.y - line.low.y)
        assert line.high.value - line.low.value >= S * span * (1 - NOISE)


def none_is_steeper_than_told(bed):
    """Of the facets ruled to the flange, by the heights round 400 places just inside each one's far side."""
    mesh, step = bed.mesh, 1e-4
    for corners, heights in zip(mesh.corners[mesh.at_drain], mesh.heights[mesh.at_drain], strict=True):
        far = corners[1] + np.linspace(0.001, 0.999, 400)[:, None] * (corners[2] - corners[1])
        places = far + (corners[0] - far) / 100
        sides = [
            ruled_height(bed, corners, heights, places + way) - ruled_height(bed, corners, heights, places - way)
            for way in step * np.eye(2)
        ]
        assert np.hypot(*sides).max() / (2 * step) <= bed.most_fall * (1 + 2e-6)


def is_a_bed(bed):
    covers_the_floor_once(bed)
    none_is_steeper_than_told(bed)
    walls_are_level(bed)
    has_no_step(bed)
    every_place_has_a_lower_one(bed)
    falls_enough(bed)


@pytest.mark.parametrize("batch", range(ROOMS // BATCH))
def test_every_random_room_has_a_bed(batch, make_hidden_bed):
    for seed in range(batch * BATCH, (batch + 1) * BATCH):
        bed = make_hidden_bed(seed)
        assert bed is not None, f"room {seed}"
        is_a_bed(bed)
        assert bed.wall_height >= S * bed.reach.way(bed.reach.floor.corners).max()
        assert bed.most_fall >= bed.bound * (1 - NOISE)


def posts_in(corners, at, count, rng):
    """So many posts in a room, at all angles, 150 mm off its walls and its drain and 200 mm apart."""
    room = shapely.Polygon(corners)
    low, high = np.array(room.bounds).reshape(2, 2)
    found = []
    while len(found) < count:
        turn = rng.choice([0.0, rng.uniform(0, 1.5)])
        axes = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
        ring = rng.uniform(40, 150, 2) * [[-1, -1], [1, -1], [1, 1], [-1, 1]] @ axes + rng.uniform(low, high)
        post = shapely.Polygon(np.round(ring, 1))
        clear = room.buffer(-150).contains(post) and post.distance(shapely.Point(at)) > 150
        if clear and all(post.distance(other) > 200 for other in found):
            found.append(post)
    return [shapely.get_coordinates(post.exterior)[:-1] for post in found]


@pytest.mark.parametrize("seed", range(5))
def test_a_rectangle_with_two_posts_has_a_bed(seed, make_reach, make_valleys):
    """The exact check holds along the level ridges to the posts, too: a ridge is a wall without a room behind it."""
    rng = np.random.default_rng(500 + seed)
    wide, deep = rng.uniform(1800, 4000), rng.uniform(1400, 2600)
    at = np.round(rng.uniform([200, 200], [wide - 200, deep - 200]), 1)
    corners = [(0, 0), (wide, 0), (wide, deep), (0, deep)]
    bed = make_valleys(make_reach(corners, at, islands=posts_in(corners, at, 2, rng)), most=1 / 24)
    is_a_bed(bed)
    assert 1 <= len(bed.ridges) <= 2


def drains_in(corners, first, count, rng):
    """So many drains in a room, the first where it is, the others anywhere clear of walls and of each other."""
    clear = shapely.Polygon(corners).buffer(-100)
    low, high = np.array(clear.bounds).reshape(2, 2)
    places = [first]
    for place in np.round(rng.uniform(low, high, (400, 2)), 1):
        far = min(np.hypot(*(place - other)) for other in places)
        if len(places) < count and far > 250 and clear.contains(shapely.Point(place)):
            places.append(place)
    return places


@pytest.fixture(
    scope="module",
    params=[(seed, 2) for seed in range(24)] + [(seed, 3) for seed in (0, 1, 3, 4, 5, 6)],
    ids=str,
)
def bed(request, make_hidden_room, make_reach):
    seed, count = request.param
    rng = np.random.default_rng(1000 + seed)
    corners, at = make_hidden_room(seed)
    flanges = [make_reach(corners, place).flange for place in drains_in(corners, at, count, rng)]
    heads = (0.0, *np.round(rng.uniform(-3, 3, len(flanges) - 1), 1).tolist())
    floor = make_reach(corners, at).floor
    shared = SharedReach(tuple(Reach(floor, flange) for flange in flanges), tuple(h / S for h in heads))
    return parted_walls(None, shared, Terms(S, 1.0, square=False, heads=heads, most_fall=1 / 24))


class TestSeveralDrains:
    """A random room with a drain more, or two: each part that its drain does not see whole is a bed with valleys."""

    def test_every_part_is_a_bed_and_all_walls_and_ridges_stand_at_one_height(self, bed):
        assert isinstance(bed, PartedWalls)
        floor = bed.reach.floor.polygon
        for part in valley_parts(bed):
            is_a_bed(part.bed)
        assert sum(part.shape.area for part in bed.parts) == pytest.approx(floor.area, rel=1e-9)
        ring = shapely.get_coordinates(shapely.segmentize(shapely.boundary(floor), 40))
        assert bed.height(ring) == pytest.approx(np.full(len(ring), bed.wall_height), abs=1e-6)
        for ridge in bed.ridges:
            along = ridge.points[0] + np.linspace(0, 1, 9)[:, None] * (ridge.points[-1] - ridge.points[0])
            assert bed.height(along) == pytest.approx(np.full(9, bed.wall_height), abs=1e-6)

    def test_the_walls_are_no_higher_than_the_part_that_needs_most(self, bed):
        """Less by one mark, that part would fall too little."""
        falls = [
            (bed.wall_height - 1.0 - head) / (bed.wall_height - head) * own.least_fall
            for own, head in zip(bed.beds, bed.heads, strict=True)
        ]
        assert min(own.least_fall for own in bed.beds) >= S * (1 - NOISE)
        assert min(falls) < S
