"""Room for the hand against simulation: strips set wrong over and over, their lines looked at every 5 mm.

Source: Monte Carlo (JCGM 101:2008) with numpy alone, in rooms whose ways to the drain are known by hand.
"""

from __future__ import annotations

from statistics import NormalDist

import numpy as np
import pytest

TRUE = NormalDist().inv_cdf(0.975)
SAMPLES = 20_000
LEVEL = 609.6  # [mm] 2 ft: an end nearer to the drain is out in proportion (common practice, no source)
SURE = 0.012  # three standard errors of a chance by so many, on either side
LEAST = 1 / 48
ROOM = [(0, 0), (1500, 0), (1500, 1200), (0, 1200)]
ELL = [(0, 0), (1800, 0), (1800, 800), (900, 800), (900, 1600), (0, 1600)]
OBLONG = [(0, 0), (2500, 0), (2500, 1200), (0, 1200)]  # 1250 is no mark
TWO = '[[drains]]\nkind = "round"\nsize = 100\nat = { x = 2100, y = 600 }\ndrop = 500\n'
DRAINS = np.array([(400.0, 600.0), (2100.0, 600.0)])


def straight(points, drain, half):
    return np.hypot(*(points - drain).T) - half


def round_the_corner(points):
    """The way to a 100 mm drain at (450, 400) in the ell: past its corner (900, 800) from beyond the line of sight."""
    drain, corner = np.array([450.0, 400.0]), np.array([900.0, 800.0])
    bent = np.hypot(*(points - corner).T) + np.hypot(*(corner - drain))
    turn = (corner - drain)[0] * (points - drain)[:, 1] - (corner - drain)[1] * (points - drain)[:, 0]
    past = (points[:, 0] > 900) & (points[:, 1] > 0) & (turn > 0) & (points[:, 0] > 900)
    up = (points[:, 1] > 800) & (turn < 0)
    return np.where(past | up, bent, np.hypot(*(points - drain).T)) - 50


def nearest(points):
    return np.min([straight(points, drain, 50.0) for drain in DRAINS], axis=0)


def simulated(ends, way, tops, trueness, seed):
    """How often some line is too flat: each strip straight between its ends, which err alone."""
    rng = np.random.default_rng(seed)
    errors = rng.normal(0.0, trueness / TRUE, (SAMPLES, len(ends))) * np.minimum(way(ends) / LEVEL, 1.0)
    failed = np.zeros(SAMPLES, dtype=bool)
    for i, (start, end) in enumerate(zip(ends, np.roll(ends, -1, axis=0), strict=True)):
        k = (i + 1) % len(ends)
        part = np.linspace(0, 1, int(np.hypot(*(end - start)) / 5) + 1)
        wanted = LEAST * way(start + part[:, None] * (end - start)) - (tops[i] * (1 - part) + tops[k] * part)
        bent = np.flatnonzero(wanted > -5 * trueness)
        off = errors[:, [i]] * (1 - part[bent]) + errors[:, [k]] * part[bent]
        failed |= (off < wanted[bent]).any(axis=1)
    return failed.mean()


def by_marks(plan):
    return np.array([[mark.x, mark.y] for mark in plan.marks]), np.array([mark.above_drain for mark in plan.marks])


def by_corners(plan):
    corners = np.asarray(plan.outline.corners)
    return corners, np.full(len(corners), plan.bed.wall_height)


def to_one(points):
    return straight(points, np.array([650.0, 600.0]), 50.0)


CASES = {
    "level walls round one drain": (ROOM, {"at": (650, 600)}, by_corners, to_one, 0),
    "even fall round a corner": (
        ELL,
        {"at": (450, 400), "shape": "even-fall"},
        by_marks,
        round_the_corner,
        0,
    ),
    "even fall to two drains": (
        OBLONG,
        {"at": (400, 600), "shape": "even-fall", "extra": TWO},
        by_marks,
        nearest,
        1,
    ),
    "level walls round two drains": (OBLONG, {"at": (400, 600), "extra": TWO}, by_corners, nearest, 1),
}


@pytest.mark.parametrize("name", CASES)
def test_the_chance_is_what_simulated_strips_show(make_plan, name):
    outline, words, ends_of, way, is_simulated = CASES[name]
    found = make_plan(outline, drop=500.0, size=100.0, **{"fall": "1:44", "mark_step": 0.5, **words})
    ends, tops = ends_of(found)
    if ends_of is by_marks:  # the ways by hand are the plan's
        assert found.bed.height(ends) == pytest.approx(way(ends) / 44, abs=1e-3)
    for room in found.rooms:
        assert bool(room.simulated) == bool(is_simulated)
        assert room.chance == pytest.approx(simulated(ends, way, tops, room.trueness, 5), abs=SURE)


@pytest.mark.parametrize("name", CASES)
def test_with_the_fall_to_plan_all_pass_19_times_in_20(make_plan, name):
    """Planned anew with that fall, marks rounded so finely that it is no help."""
    outline, words, ends_of, way, _ = CASES[name]
    words = {"drop": 500.0, "size": 100.0, "mark_step": 0.01, **words}
    wanted = make_plan(outline, fall="1:48", **words).rooms[0].fall
    found = make_plan(outline, fall=f"{100 * wanted:.6f} %", **words)
    assert simulated(*(part for part in (ends_of(found)[0], way, ends_of(found)[1])), 1.5, 6) == pytest.approx(
        0.05, abs=0.006
    )


def test_measured_square_to_the_walls_only_those_lines_count(make_plan):
    """1500 x 1200, a 100 mm drain in the middle: one line a wall, from its middle; by hand the mean of two errors."""
    found = make_plan(
        "rectangle = [1500, 1200]",
        at=(750, 600),
        size=100.0,
        drop=500.0,
        rulebook="au-ncc",
        fall="1:79",
        mark_step=0.01,
    )
    least = found.rulebook.least_fall.value
    rng = np.random.default_rng(9)
    corners = rng.normal(0.0, 1.5 / TRUE, (SAMPLES, 4))
    middles = (corners + np.roll(corners, -1, axis=1)) / 2
    margins = found.bed.wall_height - least * np.array([550.0, 700.0, 550.0, 700.0])
    room = found.rooms[0]
    assert room.simulated
    assert room.chance == pytest.approx((middles + margins < 0).any(axis=1).mean(), abs=SURE)


def test_a_wall_that_the_drain_faces_beside_its_end_is_judged_over_its_square_distance(make_plan):
    """The chamfer x + y = 2600 in a corner, faced from (300, 600) beyond its end: by hand 1700 / sqrt(2) - 50 away."""
    corners = [(0, 0), (1500, 0), (1500, 1100), (1400, 1200), (0, 1200)]
    words = {"at": (300, 600), "size": 100.0, "drop": 500.0, "mark_step": 0.01, "bed": "trueness = 9"}
    found = make_plan(corners, rulebook="au-ncc", fall="1:75", **words)
    least, room = found.rulebook.least_fall.value, found.rooms[0]
    ways = straight(np.array(corners), np.array([300.0, 600.0]), 50.0)
    errors = np.random.default_rng(4).normal(0.0, 9 / TRUE, (SAMPLES, 5)) * np.minimum(ways / LEVEL, 1.0)
    squares = {
        (0, 1): (0.2, 550),
        (1, 2): (6 / 11, 1150),
        (2, 3): (1, 1700 / 2**0.5 - 50),
        (3, 4): (11 / 14, 550),
    }
    too_flat = np.zeros(SAMPLES, dtype=bool)
    for (first, second), (part, square) in {**squares, (4, 0): (0.5, 250)}.items():
        off = (1 - part) * errors[:, first] + part * errors[:, second]
        too_flat |= found.bed.wall_height + off < least * square
    assert found.bed.longest_run == pytest.approx(1700 / 2**0.5 - 50)
    assert room.chance == pytest.approx(too_flat.mean(), abs=SURE)
    assert 0.05 < room.chance < 0.9


def test_the_same_digits_every_time(make_plan):
    rooms = [make_plan(OBLONG, at=(400, 600), size=100.0, drop=500.0, fall="1:44", extra=TWO).rooms for _ in range(2)]
    assert rooms[0] == rooms[1]
