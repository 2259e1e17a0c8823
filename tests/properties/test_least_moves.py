"""The least move of a drain, over many places at once, against the floor planned with the drain at each."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from engine.bed.flange import Flange
from engine.bed.hidden import hidden_part
from engine.bed.level_walls import LevelWalls
from engine.bed.parted_walls import PartedWalls
from engine.bed.parts import CLEAR, square_parts
from engine.bed.reach import Reach, SharedReach
from engine.bed.surfaces import Terms, parted_walls
from engine.bed.valley.bed import ValleyWalls
from engine.bed.valley.plan import valley_walls
from engine.job.model import DrainKind, EdgeKind
from engine.remedies.any_parting import AnyParting
from engine.remedies.nearest import Lattice, Look, nearest
from engine.remedies.parted_moves import Parting, walls_at, walls_on_step
from engine.remedies.regions import clear_places
from engine.survey.outline import FloorOutline, corner_names

FALL, STEP = 1 / 48, 1.0
TINY = 1e-6  # [mm]
SOUGHT = 1e-3  # [mm] what a square flange's least run is found to
ELL = [(0, 0), (2900, 0), (2900, 1100), (1150, 1100), (1150, 2300), (0, 2300)]
YOU = [(0, 0), (3000, 0), (3000, 1700), (1900, 1700), (1900, 800), (1000, 800), (1000, 1600), (0, 1600)]
TEE = [(900, 0), (1900, 0), (1900, 1300), (2800, 1300), (2800, 2200), (0, 2200), (0, 1250), (900, 1250)]
LEGS = [(0, 0), (4000, 0), (4000, 1000), (1000, 1000), (1000, 4000), (0, 4000)]
SEVEN = [*((500 + 1000 * i, 500, 0) for i in range(4)), *((500, 500 + 1000 * i, 0) for i in range(1, 4))]
HALL = [(0, 0), (4000, 0), (4000, 2000), (0, 2000)]
EIGHT = [(500 + 1000 * i, 500 + 1000 * j, 0) for i in range(4) for j in range(2)]
IN_YOU = [(1450, 400, 0), (2450, 400, 0), (500, 1250, 0), (2450, 1250, 0)]  # ridges meet the corners C and F
FOUR = [(0, 0), (2000, 0), (2000, 2000), (0, 2000)]
POST = [(900, 640), (1050, 660), (1000, 800)]
LEANING = [(0, 0), (2300, -60), (2420, 1500), (1150, 1330), (-50, 1420)]
# floor, islands, kind, the drains' places and heads [mm], the most fall, whether fall is measured square
ROOMS = {
    "L": (ELL, [], "round", [(2000, 500, 0), (600, 1500, 0)], 1 / 16, False),
    "L, three, unlike": (ELL, [], "round", [(2300, 500, 0), (1000, 600, 4), (500, 1700, -3)], 1 / 24, False),
    "U": (YOU, [], "round", [(500, 900, 0), (1500, 400, 3), (2450, 1000, 0)], 1 / 16, False),
    "T, square flanges": (TEE, [], "square", [(1400, 500, 0), (900, 1800, 0), (2100, 1750, 0)], 1 / 12, False),
    "island": (LEANING, [POST], "round", [(500, 700, 0), (1700, 700, 2)], 1 / 12, False),
    "island, square flanges": (LEANING, [POST], "square", [(450, 600, 0), (1750, 800, 0)], 1 / 12, False),
    "L, seven": (LEGS, [], "round", SEVEN, 1 / 16, False),
    "island, eight": (HALL, [[(900, 900), (1100, 900), (1000, 1100)]], "round", EIGHT, 1 / 12, False),
    "leaning": (LEANING, [], "round", [(600, 700, 0), (1500, 620, 3)], 1 / 24, False),
    "leaning, measured square": (LEANING, [], "round", [(500, 700, 0), (1150, 400, 0), (1800, 900, 2)], 1 / 24, True),
    "four, measured square": (
        FOUR,
        [],
        "round",
        [(500, 1500, 0), (500, 500, 0), (1500, 500, 0), (1419, 1513, 0)],
        1 / 24,
        True,
    ),
    "U, measured square": (YOU, [], "round", [(510, 491, 0), *IN_YOU], 1 / 24, True),
    "eight, measured square": (HALL, [], "round", EIGHT, 1 / 24, True),
    "L, measured square": (ELL, [], "square", [(2100, 500, 0), (600, 1500, 0)], 1 / 24, True),
}


@pytest.fixture(params=sorted(ROOMS), scope="module")
def parting(request):
    ring, islands, kind, drains, most, square = ROOMS[request.param]
    corners = np.array(ring, dtype=float)
    floor = FloorOutline(
        corners, corner_names(len(ring)), (EdgeKind.WALL,) * len(ring), tuple(np.array(i, float) for i in islands)
    )
    axis = np.array([np.cos(0.2), np.sin(0.2)])
    flanges = tuple(Flange(DrainKind(kind), np.array([x, y], dtype=float), 110.0, axis) for x, y, _ in drains)
    heads = tuple(float(head) for *_, head in drains)
    return Parting(floor, flanges, heads, FALL, (most,) * len(drains), walls_on_step(STEP), square)


@pytest.fixture(scope="module")
def places(parting):
    """Places of the first drain (k, 2)."""
    low, high = parting.floor.ring.min(axis=0), parting.floor.ring.max(axis=0)
    found = np.random.default_rng(5).uniform(low, high, (60, 2))
    return found[shapely.intersects_xy(clear_places(parting.floor, parting.flanges[0]), *found.T)][:14]


def built(parting, place, own=None):
    """The bed with the first drain at a place; None where there is none."""
    flanges = (replace(parting.flanges[0], centre=place), *parting.flanges[1:])
    reaches = tuple(Reach(parting.floor, flange) for flange in flanges)
    terms = Terms(parting.fall, STEP, parting.square, parting.heads, parting.most[0])
    bed = parted_walls(own, SharedReach(reaches, tuple(head / parting.fall for head in parting.heads)), terms)
    return bed if isinstance(bed, PartedWalls) else None


def beside_a_wall(parting, place):
    """Whether a flange of the first drain's size stands there so near a wall that no bed is laid."""
    return shapely.distance(parting.floor.polygon.boundary, replace(parting.flanges[0], centre=place).polygon) < CLEAR


def excess(parting, bed):
    return max(each.wall_height * (1 - parting.most[0] / each.most_fall) for each in bed.beds)


def test_it_is_what_the_bed_comes_to(parting, places):
    over, is_parted = parting.excess(0, places)
    assert is_parted.any() == np.isfinite(over).any()
    for place, by in zip(places[is_parted], over[is_parted], strict=True):
        bed = built(parting, place)
        if bed is None:
            assert beside_a_wall(parting, place)
            continue
        assert all(isinstance(each, LevelWalls) for each in bed.beds)
        noise = TINY if parting.flanges[0].is_round else parting.most[0] * SOUGHT
        assert by == pytest.approx(excess(parting, bed), abs=noise)
    for place in places[np.isinf(over)]:
        flanges = (replace(parting.flanges[0], centre=place), *parting.flanges[1:])
        assert square_parts(parting.floor, flanges, [head / parting.fall for head in parting.heads]) is None


def test_where_more_fall_is_asked_than_planned_a_bed_is_too_flat(parting, places):
    """But for what the walls' height is rounded up; and within a slack of a place that is so others are."""
    count = len(parting.heads)
    own = replace(parting, most=(1e9,) * count, least=(1.3 * FALL,) * count)
    over, is_parted = own.excess(0, places)
    assert (over > 0).any()
    for place, by in zip(places[is_parted], over[is_parted], strict=True):
        bed = built(own, place)
        assert bed is None or by <= 0 or bed.least_fall < 1.3 * FALL
    turns = np.random.default_rng(8).uniform(0, 2 * np.pi, len(places))
    for slack in (1.0, 25.0, 120.0):
        near = own.excess(0, places + slack * np.column_stack([np.cos(turns), np.sin(turns)]))[0]
        assert (near >= own.excess(0, places, slack)[0] - TINY).all()


def test_no_place_within_the_slack_has_less(parting, places):
    turns = np.random.default_rng(6).uniform(0, 2 * np.pi, len(places))
    ways = np.column_stack([np.cos(turns), np.sin(turns)])
    for slack in (3.0, 40.0, 300.0):
        least, is_parted = parting.excess(0, places, slack)
        near, near_parted = parting.excess(0, places + slack * ways)
        assert (near >= least - parting.most[0] * SOUGHT).all()
        assert near_parted[is_parted].all()


def test_no_bed_betters_what_holds_of_any(parting, places):
    bound = AnyParting(parting, 0).excess(places, np.zeros(len(places)), np.zeros(len(places), dtype=bool))
    _, is_parted = parting.excess(0, places)
    for place, least in zip(places[~is_parted][:2], bound[~is_parted], strict=False):
        bed = built(parting, place)
        assert bed is None or excess(parting, bed) >= least - TINY


@pytest.mark.parametrize("ring", [ELL, YOU, TEE])
@pytest.mark.parametrize("islands", [[], [[(500, 1330), (620, 1350), (560, 1500)]]])
@pytest.mark.parametrize("square", [False, True])
def test_no_bed_with_valleys_to_one_drain_betters_it(ring, islands, square):
    """The drain at random places, near corners too, that do not see the whole floor."""
    rings = tuple(np.array(island, float) for island in islands)
    floor = FloorOutline(np.array(ring, float), corner_names(len(ring)), (EdgeKind.WALL,) * len(ring), rings)
    flange = Flange(DrainKind.ROUND, np.array([500.0, 1300.0]), 110.0, np.array([1.0, 0.0]))
    most, still, judged = 1 / 24, np.zeros(1), 0
    own = Parting(floor, (flange,), (0.0,), FALL, (most,), walls_on_step(STEP), square)
    spots = np.random.default_rng(9).uniform(floor.ring.min(axis=0), floor.ring.max(axis=0), (80, 2))
    for place in spots[shapely.intersects_xy(clear_places(floor, flange), *spots.T)][:12]:
        reach = Reach(floor, replace(flange, centre=place))
        hidden = hidden_part(reach)
        bed = hidden is not None and valley_walls(None, reach, hidden, Terms(FALL, STEP, square, (0.0,), most))
        if isinstance(bed, ValleyWalls):
            bound = AnyParting(own, 0).excess(place[None], still, still == 0)[0]
            assert bed.wall_height * (1 - most / bed.most_fall) >= bound - TINY
            judged += 1
    assert judged > 5


def test_no_nearer_place_on_the_step_will_do(parting):
    """Every place of a lattice of 20 mm that is nearer than the one found, and some farther."""
    step, region, home = 20.0, clear_places(parting.floor, parting.flanges[0]), parting.flanges[0].centre
    lattice = Lattice(np.array([3.0, 7.0]), np.array([[1.0, 0.5], [0.0, 0.9]]), step)
    found = nearest(
        lattice, region, lambda at, slack: (parting.excess(0, at, slack)[0], at[:, 0] + np.inf), Look(home, 1e9, 1, 0)
    )
    far = float(found.far[0]) if len(found.far) else 900.0
    pairs = np.stack(np.meshgrid(np.arange(-75, 165), np.arange(-5, 135)), axis=-1).reshape(-1, 2)
    spots = lattice.spots(pairs)
    spots = spots[np.hypot(*(spots - home).T) < far - TINY]
    spots = spots[shapely.intersects_xy(region, *spots.T)]
    assert (parting.excess(0, spots)[0] > 0).all()
    if len(found.far):
        assert parting.excess(0, lattice.spots(found.pairs))[0] <= TINY


def test_walls_at_a_height_of_ones_own_fall_neither_too_much_nor_too_little(parting, places):
    height, most = 22.0, 0.15
    own = replace(parting, height=walls_at(height), least=(FALL,), most=(most,) * len(parting.heads))
    over, is_parted = own.excess(0, places)
    for place, by in zip(places[is_parted], over[is_parted], strict=True):
        bed = built(own, place, height)
        if bed is None:
            assert beside_a_wall(parting, place)
            continue
        assert (by <= 0) == (bed.most_fall <= most and bed.least_fall >= FALL)
