"""Level walls round several drains: parts, ridges, heights, depth, water, strips and findings by part."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from skimage.morphology import reconstruction

from engine.bed.parted_walls import PartedWalls
from engine.bed.ridge_lines import ridge_lines
from engine.bed.surfaces import Hidden
from engine.limits.findings import Level

LONG = "rectangle = [2400, 900]"
ELL = [(0, 0), (2600, 0), (2600, 900), (1000, 900), (1000, 2400), (0, 2400)]
TEE = [(0, 1000), (0, 0), (3000, 0), (3000, 1000), (2000, 1000), (2000, 2500), (1000, 2500), (1000, 1000)]
POST = [(1150, 350), (1250, 350), (1250, 550), (1150, 550)]


def drain(at, kind="round", size=100, drop=None):
    x, y = at
    end = "" if drop is None else f"drop = {drop}\n"
    return f'[[drains]]\nkind = "{kind}"\nsize = {size}\nat = {{ x = {x}, y = {y} }}\n{end}'


@pytest.fixture(scope="session")
def parted(make_plan):
    """A plan with level walls of a floor with these drains: (place, kind, size) and a drop each."""

    def build(outline, drains, shape="level-walls", **words):
        (x, y), kind, size, drop = drains[0]
        extra = "".join(drain(*more) for more in drains[1:]) + words.pop("extra", "")
        return make_plan(
            outline, at=(x, y), kind=kind, size=size, drop=drop, shape=shape, extra=extra, **words
        )

    return build


LIKE = [((600, 450), "round", 100, 500), ((1800, 450), "round", 100, 500)]
UNLIKE = [((600, 450), "round", 150, 500), ((1700, 400), "square", 100, 497)]
THREE = [
    ((500, 500), "round", 100, 500),
    ((2500, 500), "square", 100, 500),
    ((1500, 1700), "round", 100, 500),
]
IN_ELL = [((600, 600), "round", 100, 500), ((1900, 450), "round", 100, 500)]
ROOMS = [
    pytest.param(LONG, LIKE, id="like drains"),
    pytest.param(LONG, UNLIKE, id="unlike drains at unlike heights"),
    pytest.param("rectangle = [3000, 2200]", THREE, id="three drains"),
    pytest.param(ELL, IN_ELL, id="L: a ridge from the corner that points in"),
]


def test_two_like_drains_part_the_room_in_the_middle(parted):
    """600 x 450 mm to a corner is 750, less the flange's 50: 700 / 48 = 14.58, up to 15 mm."""
    found = parted(LONG, LIKE, readings=[((0, 0), 540)])
    assert isinstance(found.bed, PartedWalls)
    assert found.bed.longest_run == pytest.approx(700)
    assert found.bed.wall_height == 15
    (ridge,) = found.bed.ridges
    assert ridge.drains == (0, 1)
    assert sorted(ridge.points.tolist()) == [pytest.approx([1200, 0]), pytest.approx([1200, 900])]
    assert ridge.heights.tolist() == [15, 15]
    assert found.bed.least_fall == pytest.approx(15 / 700)
    assert found.bed.most_fall == pytest.approx(15 / 400)
    assert {mark.above_drain for mark in found.marks} == {15}


def test_each_half_is_the_bed_of_that_half_alone(parted, make_plan):
    whole = parted(LONG, LIKE, readings=[((0, 0), 540)]).bed
    half = make_plan(
        "rectangle = [1200, 900]", at=(600, 450), size=100, drop=500, readings=[((0, 0), 540)]
    ).bed
    points = np.random.default_rng(4).uniform((0, 0), (1200, 900), (200, 2))
    assert whole.height(points) == pytest.approx(half.height(points))
    assert whole.height(points + np.array([1200, 0])) == pytest.approx(half.height(points))
    assert whole.integral == pytest.approx(2 * half.integral)


def test_the_ridge_gives_way_to_the_wider_and_the_lower_drain(parted):
    """Both flanges' edges count alike: 75 mm and 50 mm to the rims, and 3 mm higher is 48 x 3 = 144 mm longer."""
    drains = [((600, 450), "round", 150, 500), ((1800, 450), "round", 100, 497)]
    found = parted(LONG, drains, readings=[((0, 0), 540)])
    x = found.bed.ridges[0].points[0, 0]
    assert x - 600 - 75 == pytest.approx(1800 - x - 50 + 144)
    far = math.hypot(x - 600, 450) - 75
    assert found.bed.longest_run == pytest.approx(max(far, math.hypot(600, 450) - 50))
    assert found.bed.wall_height == math.ceil(max(far / 48, 3 + (math.hypot(600, 450) - 50) / 48))


@pytest.mark.parametrize(("outline", "drains"), ROOMS)
class TestAnyRoom:
    @pytest.fixture
    def found(self, parted, outline, drains):
        return parted(outline, drains, readings=[((0, 0), 540), ((900, 0), 548), ((0, 800), 536)])

    def test_walls_and_ridges_stand_at_one_height(self, found):
        bed, floor = found.bed, found.outline
        along = np.linspace(0, 1, 23)[:, None, None]
        walls = (floor.corners + along * (floor.ends - floor.corners)).reshape(-1, 2)
        assert bed.height(walls) == pytest.approx(np.full(len(walls), bed.wall_height), abs=1e-6)
        for ridge in bed.ridges:
            places = ridge.points[0] + along[:, 0] * (ridge.points[1] - ridge.points[0])
            assert bed.height(places) == pytest.approx(np.full(len(places), bed.wall_height), abs=1e-6)

    def test_each_flange_lies_at_its_own_height(self, found):
        for set_drain in found.drains:
            assert found.bed.height(set_drain.flange.centre[None])[0] == pytest.approx(set_drain.height)

    def test_parts_cover_the_floor_once(self, found):
        shapes = [part.shape for part in found.bed.parts]
        assert sum(shapely.area(shapes)) == pytest.approx(found.outline.area)
        assert shapely.area(shapely.union_all(shapes)) == pytest.approx(found.outline.area)

    def test_every_line_falls_to_its_drain_by_at_least_the_fall(self, found):
        bed, rng = found.bed, np.random.default_rng(7)
        low, high = np.array(shapely.bounds(found.outline.polygon)).reshape(2, 2)
        points = rng.uniform(low, high, (4000, 2))
        points = points[shapely.contains_xy(found.outline.polygon, *points.T)]
        for number, flange in enumerate(bed.reach.flanges):
            own = points[bed.owners(points) == number]
            out = own[flange.distance(own) > 1.0]
            step = (flange.centre - out) / np.hypot(*(flange.centre - out).T)[:, None]
            fall = (bed.height(out) - bed.height(out + step * 0.5)) / 0.5
            assert fall.min() >= 1 / 48 - 1e-6

    def test_no_water_stands(self, found):
        """Depression filling by an independent library, seeded at the drains only."""
        bed, polygon, cell = found.bed, found.outline.polygon, 10.0
        low, high = np.array(shapely.bounds(polygon)).reshape(2, 2)
        x, y = (np.arange(a - cell / 2, b + cell, cell) for a, b in zip(low, high, strict=True))
        grid = np.stack(np.meshgrid(x, y), axis=-1)
        on = shapely.contains_xy(polygon, grid[..., 0], grid[..., 1])
        heights, drained = np.full(on.shape, 1e6), np.zeros_like(on)
        heights[on] = bed.height(grid[on])
        drained[on] = np.min([f.distance(grid[on]) for f in bed.reach.flanges], axis=0) == 0
        filled = reconstruction(np.where(drained, heights, 1e6), heights, method="erosion")
        # A raster dams up 0.3 x slope x cell of its own where steep facets meet.
        assert (filled - heights)[on].max() < 0.3 * cell * bed.most_fall

    def test_volume_and_extremes_agree_with_sampling(self, found):
        bed, rough, polygon = found.bed, found.rough, found.outline.polygon
        low, high = np.array(shapely.bounds(polygon)).reshape(2, 2)
        x, y = (np.arange(a + 4.0, b, 8.0) for a, b in zip(low, high, strict=True))
        grid = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
        grid = grid[shapely.contains_xy(polygon, *grid.T)]
        depths = bed.height(grid) - rough.height(grid)
        assert found.depth.volume == pytest.approx(depths.mean() * found.outline.area, rel=2e-3)
        assert found.depth.least.value <= depths.min() + 1e-9
        assert found.depth.most.value >= depths.max() - 1e-9
        assert found.depth.least.value == pytest.approx(depths.min(), abs=0.5)
        assert found.depth.most.value == pytest.approx(depths.max(), abs=0.5)

    def test_every_line_has_a_straightedge(self, found):
        bed, floor = found.bed, found.outline
        along = np.linspace(0.02, 0.98, 41)
        for wall in range(len(floor.names)):
            places = floor.on_wall(wall, along * floor.length(wall))
            for place, number in zip(places, bed.owners(places).tolist(), strict=True):
                flange = bed.reach.flanges[number]
                ray = (flange.centre - place) / np.hypot(*(flange.centre - place))
                start = 12.0 / float(ray @ floor.inward[wall])
                rim = float(flange.rim(ray[None])[0])
                far = float(np.hypot(*(flange.centre - place))) - start
                near, past = far - rim, far + rim
                assert any(near <= length <= past for length in found.straightedges.lengths)

    def test_strips_are_level_all_along(self, found):
        assert [strip.is_sloped for strip in found.strips] == [False] * len(found.outline.names)
        assert [strip.wall for strip in found.strips] == list(found.outline.walls)


def test_bevels_are_the_steepest_of_the_parts_along_a_wall(parted):
    found = parted(LONG, LIKE, readings=[((0, 0), 540)])
    bevels = [strip.bevel for strip in found.strips]
    near, side = (math.degrees(math.atan(15 / run)) for run in (400, 550))
    assert bevels == pytest.approx([near, side, near, side])


def test_falls_are_judged_by_part(parted):
    """The walls stand at 19 mm for the second drain's far corner: 19 / 100 beside it, 19 / 400 beside the first."""
    drains = [((600, 450), "round", 100, 500), ((1800, 150), "round", 100, 500)]
    found = parted(LONG, drains, readings=[((0, 0), 540)])
    steep = [finding for finding in found.findings if finding.rule == "fall-steep"]
    assert found.bed.wall_height == math.ceil((math.hypot(600, 750) - 50) / 48)
    assert [finding.level for finding in steep] == [Level.STOP, Level.STOP]
    assert [finding.x for finding in steep] == pytest.approx([600, 1800])
    assert "4.75 %" in steep[0].says
    assert "19 %" in steep[1].says


def test_an_island_on_the_ridge_hides_floor_and_is_said_to(parted):
    found = parted(LONG, LIKE, islands=[POST], readings=[((0, 0), 540)])
    assert isinstance(found.bed, Hidden)
    (finding,) = [finding for finding in found.findings if finding.rule == "hidden-floor"]
    assert finding.change == (("bed.shape", "even-fall"),)


def test_a_tee_with_two_drains_says_what_is_hidden(parted):
    found = parted(TEE, [((300, 500), "round", 100, 500), ((2700, 500), "round", 100, 500)])
    assert isinstance(found.bed, Hidden)


def test_drains_that_nearly_touch_are_asked_to_move_apart(parted):
    found = parted(LONG, [((1149, 450), "round", 100, 500), ((1250, 450), "round", 100, 500)])
    assert any("too near each other" in need.says for need in found.needs)


def test_a_wall_height_below_a_drain_is_asked_for_again(parted):
    drains = [((600, 450), "round", 100, 500), ((1800, 450), "round", 100, 480)]
    found = parted(LONG, drains, bed="wall_height = 15", readings=[((0, 0), 540)])
    assert [need.key for need in found.needs] == ["bed.wall_height"]


class TestEvenFallRidges:
    def test_like_drains_part_in_the_middle(self, parted):
        bed = parted(LONG, LIKE, shape="even-fall", readings=[((0, 0), 540)]).bed
        (ridge,) = ridge_lines(bed)
        assert ridge.points[:, 0] == pytest.approx(np.full(len(ridge.points), 1200), abs=0.01)
        assert sorted(ridge.points[:, 1])[:: len(ridge.points) - 1] == pytest.approx([0, 900])
        assert ridge.heights == pytest.approx(bed.height(ridge.points))

    def test_unlike_drains_part_along_a_hyperbola(self, parted):
        """|x - c1| - r1 + 48 h1 = |x - c2| - r2 + 48 h2 everywhere on it."""
        drains = [((600, 450), "round", 150, 500), ((1700, 400), "round", 100, 497)]
        bed = parted(LONG, drains, shape="even-fall", readings=[((0, 0), 540)]).bed
        (ridge,) = ridge_lines(bed)
        first = np.hypot(*(ridge.points - (600, 450)).T) - 75
        second = np.hypot(*(ridge.points - (1700, 400)).T) - 50 + 48 * 3
        assert first == pytest.approx(second, abs=0.01)

    def test_a_ridge_that_ends_at_an_island_ends_on_the_floor(self, parted):
        # At odd places, so that no point lies where joining rounds it to; off the floor there is no way and no height.
        post = [(1523.7, 1016.3), (1828.9, 1016.3), (1828.9, 1320.7), (1523.7, 1320.7)]
        drains = [((762, 1371.6), "round", 150, 500), ((2438.4, 1524), "square", 127, 497)]
        bed = parted("rectangle = [3048, 2743]", drains, shape="even-fall", islands=[post]).bed
        found = ridge_lines(bed)
        assert len(found) == 2
        assert all(np.isfinite(ridge.heights).all() for ridge in found)

    def test_one_drain_has_none(self, make_plan):
        assert ridge_lines(make_plan(LONG, at=(600, 450), drop=500, readings=[((0, 0), 540)]).bed) == ()


def test_a_bed_built_as_planned_holds_no_water(parted):
    """The proof against the readings of a bed built to plan: nothing ponds, and the falls are the planned ones."""
    marks = "".join(f'[[as_built]]\nat = "{corner}"\ndrop = 485\n' for corner in "ABCD")
    found = parted(LONG, LIKE, readings=[((0, 0), 540)], extra=marks)
    assert found.bed.wall_height == 15
    rules = {finding.rule for finding in found.findings}
    assert not {rule for rule in rules if rule.startswith(("built-", "ponding"))}


def test_two_drains_at_one_place_are_told_to_move_apart(make_plan):
    second = '[[drains]]\nkind = "round"\nsize = 100\nat = { x = 600, y = 400 }\ndrop = 480\n'
    found = make_plan("rectangle = [1500, 900]", at=(600, 400), drop=480.0, extra=second)
    assert found.bed.key == "drains[1].at"
    assert "move them apart" in found.bed.says
