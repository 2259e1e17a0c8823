"""Planes to several channels: closed forms, ridges, flats past ends, dead ends, water, and how it is cut."""

from __future__ import annotations

import json
import math

import numpy as np
import pytest
import shapely

from engine.bed.catchments import ridge_lines
from engine.bed.planes import PlaneBed, Planes
from engine.limits.findings import Level
from engine.plan import plan
from engine.remedies import changed, remedies
from engine.sheets.json import plan_json
from engine.sheets.page.page import plan_page
from engine.sheets.text import plan_text
from engine.why import explained

S = 1 / 48
ROOM = "rectangle = [3000, 1800]"
SLANTED = [(0, 0), (3000, 0), (3000, 1200), (1200, 1200), (1600, 2600), (0, 2600)]
CELL = 10.0  # [mm] of a raster


def channel(start, end, drop=500, width=60):
    places = [f"{{ x = {x}, y = {y} }}" for x, y in (start, end)]
    return f'[[drains]]\nkind = "channel"\nsize = {width}\nfrom = {places[0]}\nto = {places[1]}\ndrop = {drop}\n'


@pytest.fixture(scope="session")
def planes(make_plan):
    """A plan with planes to channels: (start, end) and a drop each, if other than 500 mm."""

    def build(outline, *channels, readings=(), **words):
        drains = "".join(channel(*each) for each in channels)
        return make_plan(outline, shape="plane", readings=list(readings), extra=drains, **words)

    return build


SIDES = (((500, 0), (500, 1800)), ((2500, 0), (2500, 1800)))
CORNER = (((0, 30), (3000, 30)), ((2970, 60), (2970, 1800)))
SKEW = (((0, 30), (3000, 30)), ((340, 1700), (2900, 1300)))
UNEVEN = (((500, 0), (500, 1800)), ((2500, 0), (2500, 1800), 490))
THREE = (((30, 0), (30, 1800)), ((2970, 0), (2970, 1800)), ((60, 1770), (2940, 1770)))
ROOMS = [
    pytest.param(ROOM, SIDES, id="side by side"),
    pytest.param(ROOM, CORNER, id="along two walls"),
    pytest.param(ROOM, SKEW, id="askew"),
    pytest.param(ROOM, UNEVEN, id="unlike heights"),
    pytest.param(ROOM, THREE, id="three"),
]


class TestSideBySide:
    """Channels 60 mm wide with middles at 500 and 2500: 470 mm outside, 970 to the ridge between."""

    @pytest.fixture
    def found(self, planes):
        return planes(ROOM, *SIDES, readings=[((0, 0), 540)])

    def test_four_planes_and_a_ridge_in_the_middle(self, found):
        (ridge,) = ridge_lines(found.bed)
        assert sorted(ridge.points.tolist()) == [pytest.approx([1500, 0]), pytest.approx([1500, 1800])]
        assert ridge.heights == pytest.approx([970 * S] * 2)
        assert found.bed.longest_run == pytest.approx(970)
        assert found.bed.wall_height == pytest.approx(970 * S)

    def test_the_volume_is_that_of_four_wedges(self, found):
        assert found.bed.integral == pytest.approx(1800 * S / 2 * (2 * 470**2 + 2 * 970**2))

    def test_straightedges_from_strips_and_from_the_ridge(self, found):
        """470 mm less a 12 mm strip, and 970 from the ridge, each to less than the far edge 60 mm on."""
        long, short = found.straightedges.lengths
        assert 970 <= long < 970 + 60
        assert 470 - 12 <= short < 470 - 12 + 60

    def test_only_the_walls_beside_the_channels_lean(self, found):
        bevel = math.degrees(math.atan(S))
        assert [strip.bevel for strip in found.strips] == pytest.approx([0, bevel, 0, bevel])

    def test_nothing_stops(self, found):
        assert not [finding for finding in found.findings if finding.level is Level.STOP]

    def test_it_is_told_everywhere(self, found):
        assert json.loads(plan_json(found))["ridges"][0]["drains"] == [1, 2]
        assert "RIDGES BETWEEN DRAINS" in plan_text(found)
        assert 'class="ridge"' in plan_page(found)
        assert explained(found, "wall height") is not None


def test_a_higher_channel_gives_way_to_the_lower(planes):
    """10 mm higher counts 480 mm longer: the ridge moves 240 mm towards it."""
    found = planes(ROOM, *UNEVEN)
    assert found.bed.ridges[0].points[:, 0] == pytest.approx([1740, 1740])
    assert found.bed.height(np.array([[2500.0, 900.0]])) == pytest.approx([10.0])
    assert found.bed.wall_height == pytest.approx(1210 * S)


def test_two_channels_on_one_line_are_one_plane(planes):
    halves = (((0, 100), (1500, 100)), ((1500, 100), (3000, 100)))
    found, whole = planes(ROOM, *halves), planes(ROOM, ((0, 100), (3000, 100)))
    assert isinstance(whole.bed, PlaneBed)
    assert ridge_lines(found.bed) == ()
    assert found.bed.integral == pytest.approx(whole.bed.integral)
    assert found.straightedges.lengths == whole.straightedges.lengths
    assert not [finding for finding in found.findings if finding.rule == "channel-short"]


@pytest.mark.parametrize("off", [30.3, 40.0])
def test_ridges_too_short_to_set_out_are_not_listed(planes, off):
    """Behind two channels that meet in a corner the ridges are as long as their edges' gap to the walls x sqrt 2."""
    found = planes("rectangle = [1200, 900]", ((off + 31, off), (1200, off)), ((off, off + 31), (off, 900)))
    lengths = [math.dist(*ridge.points) for ridge in found.bed.ridges]
    gap = (off - 30) * math.sqrt(2)
    assert lengths == pytest.approx([gap, gap, gap, (900 - off - 30) * math.sqrt(2)], abs=1e-6)
    assert [math.dist(*ridge.points) for ridge in ridge_lines(found.bed)] == [each for each in lengths if each > 2]


def test_specks_that_ridges_leave_between_them_are_no_trouble(planes):
    """Of four channels three ridges all but meet in one place, and a part has a hole there of no size."""
    ends = (
        ((974, 299), (1374, 299)),
        ((1289, 1884), (1589, 1884)),
        ((1021, 1398), (1321, 1398)),
        ((457, 1136), (457, 1636)),
    )
    found = planes("rectangle = [1600, 2000]", *((*each, 500, 80) for each in ends), readings=[((0, 0), 560)])
    assert sum(part.shape.area for part in found.bed.parts) == pytest.approx(1600 * 2000)
    assert len(json.loads(plan_json(found))["catchments"]) == len(ends)


class TestChannelShort:
    def test_a_gap_between_two_on_a_line(self, planes):
        found = planes(ROOM, ((0, 100), (1400, 100)), ((1600, 100), (3000, 100)))
        says = [finding.says for finding in found.findings if finding.rule == "channel-short"]
        assert says == [f"past the end of drain {n} the floor is flat for 200 mm: water stands there" for n in (1, 2)]

    def test_made_longer_to_the_next_it_is_gone(self, planes):
        found = planes(ROOM, ((0, 100), (1400, 100)), ((1600, 100), (3000, 100)))
        at = next(i for i, finding in enumerate(found.findings) if finding.rule == "channel-short")
        longer = remedies(found)[at].remedies[0]
        assert longer.figure == pytest.approx(200 - 25)  # a gap of an inch is as near as a channel comes
        after = plan(changed(found.job, longer.change))
        assert not [finding for finding in after.findings if finding.rule == "channel-short"]

    def test_the_cure_comes_near_enough_to_both_walls(self, planes):
        """100 mm from a wall at one end and 300 at the other, 25.4 left at each: 74.6 and 274.6 longer."""
        found = planes(ROOM, ((100, 100), (2700, 100)), ((0, 1700), (3000, 1700)))
        (short,) = [finding for finding in found.findings if finding.rule == "channel-short"]
        assert "is flat for 300 mm" in short.says
        assert short.remedy.startswith("make the channel at least 350 mm longer")

    def test_it_is_flat_only_to_where_a_lower_plane_crosses_its_line(self, planes):
        """Drain 2 stands 35 mm higher: drain 1's plane is as high 48 x 35 mm off its edge at 60."""
        found = planes(ROOM, ((30, 0), (30, 1800)), ((2000, 900), (3000, 900), 465))
        (short,) = [finding for finding in found.findings if finding.rule == "channel-short"]
        assert f"past the end of drain 2 the floor is flat for {2000 - 60 - 48 * 35} mm" in short.says


def test_a_channel_above_the_plane_to_another_is_asked_to_be_lowered(planes):
    """970 mm off the other's edge the plane is 20.2 mm high: 21 mm stands over it."""
    (need,) = [need for need in planes(ROOM, SIDES[0], (*SIDES[1], 440)).needs if "drop" in need.key]
    assert need.key == "drains[1].drop"
    assert "drain 2 stands higher than the plane to drain 1" in need.says


def test_a_dead_end_behind_a_corner_is_a_stop(planes):
    """In the upper leg water runs to the right, along the slanted wall into corner E: both channels lie below."""
    found = planes(SLANTED, ((2970, 0), (2970, 1200)), ((2000, 0), (2000, 1200)))
    (blocked,) = [finding for finding in found.findings if finding.rule == "plane-blocked"]
    assert (blocked.level, blocked.x, blocked.y) == (Level.STOP, 1600, 2600)


@pytest.mark.parametrize("channels", [SIDES, UNEVEN, THREE], ids=["side by side", "unlike heights", "three"])
def test_a_room_turned_askew_takes_as_much(planes, channels):
    """Creases that end on slanted walls part the floor there too, whatever the last digits of where they meet."""
    room = np.array([(0, 0), (3000, 0), (3000, 1800), (0, 1800)])
    square = planes(room.tolist(), *channels).bed.integral
    for degrees in range(7, 90, 12):
        turn = math.radians(degrees)
        by = np.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]])
        turned = [
            (*(np.array(ends) @ by).tolist(), *drop) for *ends, drop in ((*each[:2], each[2:]) for each in channels)
        ]
        assert planes((room @ by).tolist(), *turned).bed.integral == pytest.approx(square, rel=1e-9), degrees


def test_every_ridge_is_as_far_from_both_its_channels(planes):
    """Two flats cross in this one, and nearly meet the ridges at one place."""
    askew = [(-947.8, -1207.0), (-2434.2, -39.7), (-1486.4, 1167.2), (0.0, 0.0)]
    ends = ((-1039.0, -2.0), (-944.0, -107.8)), ((-1206.7, -614.7), (-1442.7, -766.5))
    bed = planes(askew, *ends).bed
    assert len(bed.ridges) == 4
    for ridge in bed.ridges:
        first, second = bed.each(ridge.points)
        assert first == pytest.approx(second, abs=1e-6)


@pytest.mark.parametrize(("outline", "channels"), ROOMS)
class TestAnyRoom:
    @pytest.fixture
    def found(self, planes, outline, channels):
        return planes(outline, *channels, readings=[((0, 0), 540), ((900, 0), 548), ((0, 800), 536)])

    @pytest.fixture
    def grid(self):
        x, y = np.arange(4.0, 3000, 8.0), np.arange(4.0, 1800, 8.0)
        return np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)

    def test_every_place_is_as_high_as_the_lowest_of_its_planes(self, found, channels, grid):
        heights = []
        for start, end, *drop in channels:
            along = np.subtract(end, start) / math.dist(start, end)
            off = np.abs((grid - start) @ [-along[1], along[0]]) - 30
            heights.append(S * np.maximum(off, 0) + 500 - (drop[0] if drop else 500))
        assert isinstance(found.bed, Planes)
        assert np.abs(found.bed.height(grid) - np.min(heights, axis=0)).max() < 1e-9

    def test_volume_and_extremes_agree_with_sampling(self, found, grid):
        depths = found.bed.height(grid) - found.rough.height(grid)
        assert found.depth.volume == pytest.approx(depths.mean() * 3000 * 1800, rel=1e-3)
        assert found.depth.least.value <= depths.min() + 1e-9
        assert found.depth.most.value >= depths.max() - 1e-9
        assert found.depth.least.value == pytest.approx(depths.min(), abs=0.4)
        assert found.depth.most.value == pytest.approx(depths.max(), abs=0.4)

    def test_pieces_cover_the_floor_once_and_ridges_part_them(self, found):
        pieces = [piece for _, piece in found.bed.shares]
        assert sum(shapely.area(pieces)) == pytest.approx(found.outline.area)
        for ridge in found.bed.ridges:
            across = np.diff(ridge.points, axis=0)[0][::-1] * [-1, 1]
            middle, step = ridge.points.mean(axis=0), across / np.hypot(*across)
            sides = np.array([middle + step, middle - step])
            assert set(found.bed.owners(sides).tolist()) == set(ridge.drains)

    def test_no_water_stands_but_past_a_channels_end(self, found, pits):
        """Depression filling by an independent library, seeded at the channels and at what is said to be flat."""
        short = [finding for finding in found.findings if finding.rule == "channel-short"]
        flat = [found.bed.reach.flanges[int(finding.key[7])] for finding in short]

        def is_flat(points):
            offs = [np.abs((points - each.centre) @ each.frame[1]) - each.half for each in flat]
            return np.any(np.array(offs).reshape(-1, len(points)) <= 0, axis=0)

        assert pits(found, CELL, is_flat) < 0.3 * CELL * S

    def test_walls_marks_and_strips_hold(self, found):
        floor, marks = found.outline, found.marks
        assert all(mark.above_drain >= found.bed.height(np.array([[mark.x, mark.y]]))[0] - 1e-9 for mark in marks)
        along = np.linspace(0.001, 0.999, 301)
        for wall, strip in enumerate(found.strips):
            places = floor.on_wall(wall, along * floor.length(wall))
            room = (found.bed.height(places) - found.rough.height(places)).min()
            assert strip.height <= room + 1e-9
