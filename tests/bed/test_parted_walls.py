"""Level walls round several drains: parts, ridges, heights, depth, water, strips and findings by part."""

from __future__ import annotations

import json
import math

import numpy as np
import pytest
import shapely

from engine.bed.catchments import ridge_lines
from engine.bed.parted_walls import PartedWalls
from engine.bed.parts import hiding_parts
from engine.bed.surfaces import valley_parts
from engine.limits.findings import Level
from engine.proof.falls import all_lines
from engine.sheets.json import plan_json
from engine.sheets.page.page import plan_page
from engine.sheets.text import plan_text
from engine.why import explained

LONG = "rectangle = [2400, 900]"
ELL = [(0, 0), (2600, 0), (2600, 900), (1000, 900), (1000, 2400), (0, 2400)]
TEE = [(0, 1000), (0, 0), (3000, 0), (3000, 1000), (2000, 1000), (2000, 2500), (1000, 2500), (1000, 1000)]
DEEP = [(0, 0), (1800, 0), (1800, 2000), (1200, 2000), (1200, 600), (600, 600), (600, 2000), (0, 2000)]
POST = [(1150, 350), (1250, 350), (1250, 550), (1150, 550)]


CELL = 10.0  # [mm] of a raster, which dams up 0.3 x slope x cell of its own where steep facets meet


def inside(found, cell):
    """An even grid (k, 2) on the floor [mm]."""
    low, high = np.array(shapely.bounds(found.outline.polygon)).reshape(2, 2)
    x, y = (np.arange(a + cell / 2, b, cell) for a, b in zip(low, high, strict=True))
    grid = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    return grid[shapely.contains_xy(found.outline.polygon, *grid.T)]


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
        return make_plan(outline, at=(x, y), kind=kind, size=size, drop=drop, shape=shape, extra=extra, **words)

    return build


LIKE = [((600, 450), "round", 100, 500), ((1800, 450), "round", 100, 500)]
UNLIKE = [((600, 450), "round", 150, 500), ((1700, 400), "square", 100, 497)]
THREE = [
    ((500, 500), "round", 100, 500),
    ((2500, 500), "square", 100, 500),
    ((1500, 1700), "round", 100, 500),
]
LEGS = [(0, 0), (3000, 0), (3000, 900), (900, 900), (900, 2400), (0, 2400)]
IN_LEGS = [
    ((450, 1700), "round", 100, 500),
    ((1500, 450), "round", 100, 500),
    ((2500, 450), "square", 100, 500),
]
IN_ELL = [((600, 600), "round", 100, 500), ((1900, 450), "round", 100, 500)]
ROOMS = [
    pytest.param(LONG, LIKE, id="like drains"),
    pytest.param(LONG, UNLIKE, id="unlike drains at unlike heights"),
    pytest.param("rectangle = [3000, 2200]", THREE, id="three drains"),
    pytest.param(ELL, IN_ELL, id="L: a ridge from the corner that points in"),
    pytest.param(LEGS, IN_LEGS, id="L: one such ridge, and one square across on its other side"),
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
    half = make_plan("rectangle = [1200, 900]", at=(600, 450), size=100, drop=500, readings=[((0, 0), 540)]).bed
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

    def test_no_water_stands(self, found, pits):
        assert pits(found, CELL) < 0.3 * CELL * found.bed.most_fall

    def test_volume_and_extremes_agree_with_sampling(self, found):
        bed, rough, grid = found.bed, found.rough, inside(found, 8.0)
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


def test_a_flange_just_clear_of_a_wall_has_its_part(parted):
    """A ridge keeps 1 mm off it, a wall need not: the drains are 1,349.7 mm apart."""
    drains = [((600, 500), "round", 100, 500), ((1949.7, 500), "round", 100, 500)]
    bed = parted([(0, 0), (2000, 0), (2000, 1000), (0, 1000)], drains).bed
    assert bed.beds[1].most_fall == pytest.approx(bed.wall_height / 0.3)


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


class TestValleysInParts:
    """Where a drain does not see its part whole, valleys lead that part's water to it."""

    @pytest.fixture
    def tee(self, parted):
        """The stem of a T hides from two drains in its arms, alike on both sides of the ridge in the middle."""
        drains = [((300, 500), "round", 100, 500), ((2700, 500), "round", 100, 497)]
        return parted(TEE, drains, readings=[((0, 0), 540)])

    def test_an_island_on_the_ridge_hides_floor_in_both_parts(self, parted):
        """Each half is a room with a bay: the same two valleys round the post's corners on either side, mirrored."""
        found = parted(LONG, LIKE, islands=[POST], readings=[((0, 0), 540)])
        first, second = valley_parts(found.bed)
        assert len(first.valleys) == len(second.valleys) == 2
        mirrored = sorted((2400 - line.high.x, line.high.y) for line in second.valleys)
        assert sorted((line.high.x, line.high.y) for line in first.valleys) == [
            pytest.approx(place, abs=0.1) for place in mirrored
        ]
        says = [finding.says for finding in found.findings if finding.rule == "hidden-floor"]
        assert "the floor behind the island is hidden from drain 1" in says[0]
        assert "the floor behind the island is hidden from drain 2" in says[1]

    def test_the_corner_and_the_wall_are_the_floors_own(self, tee):
        says = [finding.says for finding in tee.findings if finding.rule == "hidden-floor"]
        assert says[0].startswith("part of the floor along G-H is hidden from drain 1 by corner H")
        assert says[1].startswith("part of the floor along E-F is hidden from drain 2 by corner E")

    def test_heights_are_told_over_the_first_drain(self, tee):
        """The second stands 3 mm higher; its valley begins at its rim, its lowest place."""
        _, second = valley_parts(tee.bed)
        line = second.valleys[0]
        assert (line.drain, line.low.value) == (1, 3.0)
        assert math.hypot(line.low.x - 2700, line.low.y - 500) == pytest.approx(50)
        for each in second.valleys:
            places = np.array([[end.x, end.y] for end in (each.low, each.high)])
            assert tee.bed.height(places) == pytest.approx([each.low.value, each.high.value], abs=1e-6)

    def test_they_are_listed_by_drain(self, tee):
        valleys = json.loads(plan_json(tee))["bed"]["valleys"]
        assert {valley["drain"] for valley in valleys} == {1, 2}
        text = " ".join(plan_text(tee).split())
        assert "from the edge of drain 2's flange, at its height, to" in text
        assert "all valleys to drain 1 fall" in text
        page = plan_page(tee)
        assert "Valleys" in page
        assert 'class="valley"' in page

    def test_the_height_is_told_by_the_part_that_decides(self, tee):
        (_, paragraphs) = explained(tee, "wall height")
        assert paragraphs[0][1].startswith("drain 2 decides: ")
        assert "which stands 3 mm higher than drain 1's" in paragraphs[0][1]

    def test_what_is_pulled_to_a_relay_is_told_as_such(self, tee):
        relays = {(line.high.x, line.high.y) for part in valley_parts(tee.bed) for line in part.valleys}
        assert {(bend.x, bend.y) for bend in tee.straightedges.bends} <= relays
        assert "To the valley's end" in " ".join(plan_text(tee).split())

    def test_strips_lean_as_the_steepest_facet_on_their_wall(self, tee):
        """F-G closes the stem, on both sides of the ridge: the steeper facet counts, by heights just off the wall."""
        strip = next(strip for strip in tee.strips if strip.wall == "F-G")
        along = np.linspace(5, 995, 199)
        wall = np.column_stack([1000 + along, np.full(199, 2500.0)])
        fall = (tee.bed.height(wall) - tee.bed.height(wall - [0, 1.0])).max()
        assert math.tan(math.radians(strip.bevel)) == pytest.approx(fall, rel=1e-3)

    def test_too_steep_is_told_of_the_part(self, tee):
        steep = [finding.says for finding in tee.findings if finding.rule == "fall-steep"]
        assert len(steep) == 2
        assert all("with the ridges where they are" in each for each in steep)

    def test_no_water_stands_by_an_image_librarys_flood(self, tee, pits):
        assert pits(tee, CELL) < 0.3 * CELL * tee.bed.most_fall

    def test_volume_and_extremes_agree_with_sampling(self, tee):
        grid = inside(tee, 8.0)
        depths = tee.bed.height(grid) - tee.rough.height(grid)
        assert tee.depth.volume == pytest.approx(depths.mean() * tee.outline.area, rel=2e-3)
        assert depths.min() - 0.5 <= tee.depth.least.value <= depths.min() + 1e-9
        assert depths.max() - 1e-9 <= tee.depth.most.value <= depths.max() + 0.5

    def test_built_as_planned_it_holds_no_water(self, parted):
        found = parted(LONG, LIKE, islands=[POST], readings=[((0, 0), 540)])
        height = found.bed.wall_height
        marks = "".join(f'[[as_built]]\nat = "{corner}"\ndrop = {500 - height}\n' for corner in "ABCD")
        built = parted(LONG, LIKE, islands=[POST], readings=[((0, 0), 540)], extra=marks)
        assert built.as_built.ponds == ()


def test_measured_square_only_parts_with_valleys_are_judged_along_every_line(parted):
    """Of a part seen whole there is one line an edge, square to it; of the one with a valley one from all places."""
    room = [(0, 0), (3800, 0), (3800, 1400), (3400, 1400), (3400, 800), (3000, 800), (3000, 3000), (0, 3000)]
    bed = parted(room, [((1500, 1500), "round", 100, 500), ((3200, 400), "round", 100, 500)]).bed
    assert [part.drain for part in valley_parts(bed)] == [1]
    lines = all_lines(bed, np.empty((0, 2)), square=True)
    of_first = lines.starts[bed.owners(lines.starts) == 0]
    feet = [(0, 1500), (1500, 0), (1500, 3000)]
    assert len(of_first) <= len(bed.beds[0].reach.edges.starts)
    assert all((np.hypot(*(of_first - foot).T) < 1e-6).any() for foot in feet)
    assert len(lines.starts) > len(of_first) + 100


def test_a_piece_cut_off_by_the_ridges_joins_the_part_beside_it(parted):
    """The line between the drains crosses both legs of a U: the far leg's end is the near drain's."""
    reach = parted(DEEP, [((300, 1700), "round", 100, 500), ((1500, 300), "round", 100, 500)]).bed.reach
    upper, lower = hiding_parts(reach.floor, reach.flanges, (0.0, 0.0))
    assert upper.shape.area + lower.shape.area == pytest.approx(reach.floor.area)
    far_end = shapely.Point(1500, 1990)
    assert math.hypot(1500 - 300, 1990 - 1700) < 1990 - 300
    assert lower.shape.contains(far_end)
    assert not upper.shape.intersects(far_end)


def test_unlike_drains_near_each_other_part_midway(parted):
    """250 apart and 30 unlike no line between them counts alike to both: 30 x 48 is more than the way between them.

    The walls stand over the higher drain as its farthest corner needs them.
    """
    drains = [((900, 450), "round", 100, 500), ((1150, 450), "round", 100, 530)]
    bed = parted(LONG, drains, readings=[((0, 0), 560)]).bed
    (ridge,) = bed.ridges
    assert ridge.points[:, 0] == pytest.approx([1025, 1025])
    assert bed.wall_height == math.ceil((math.hypot(900, 450) - 50) / 48)
    assert bed.beds[1].most_fall == pytest.approx((bed.wall_height + 30) / (125 - 50))


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


def test_a_piece_joins_a_part_whatever_the_last_digits_of_the_side_in_common(make_plan):
    """Drain 2's part takes in the U's other leg, which lies in drain 1's cell: nothing hangs on a hair's breadth."""
    u = [(0, 0), (3577.6, 0), (3577.6, 2324.9), (2506, 2324.9), (2506, 1071.6), (1253.3, 1071.6), (1253.3, 2506)]
    other = '[[drains]]\nkind = "square"\nsize = 123.47\nat = { x = 3240.8, y = 181.7 }\ndrop = 400.32\n'
    beds = [make_plan([*u, (0, 2506)], at=(x, 2009.7), drop=401.06, extra=other).bed for x in (3408.4, 3408.40001)]
    (ridge,), (moved,) = (bed.ridges for bed in beds)
    assert moved.points == pytest.approx(ridge.points, abs=0.01)
    assert all(len(bed.parts[1].reach.floor.ring) == 8 for bed in beds)
