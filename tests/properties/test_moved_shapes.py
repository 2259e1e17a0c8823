"""Rooms with islands, channels, several drains and valleys, turned, mirrored and shifted; curved walls walked anew."""

from __future__ import annotations

import numpy as np
import pytest

SAME = 1e-5  # [mm]
SAME_FALL = 1e-8  # [-]
SAME_SUM = 2e-4  # [-] volumes over triangles, which lie otherwise in a moved room
MARK = 1.0  # [mm] the mark step: a height at a step's edge may round to either side of it

BOX = [(0, 0), (1870, 0), (1870, 1310), (0, 1310)]
ELL = [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)]
POST = [(1210, 520), (1390, 560), (1330, 760)]
SECOND_POST = [(300, 820), (460, 840), (380, 1010)]


def round_drain(at, drop=500):
    return f'[[drains]]\nkind = "round"\nsize = 90\nat = {place(at)}\ndrop = {drop}\n'


def channel(start, end):
    return f'[[drains]]\nkind = "channel"\nsize = 64\nfrom = {place(start)}\nto = {place(end)}\ndrop = 500\n'


def place(at):
    return f"{{ x = {round(float(at[0]), 9)}, y = {round(float(at[1]), 9)} }}"


# name: corners, islands, the drains' places, how drains are written, and the bed's shape
ROOMS = {
    "two posts, even": (BOX, [POST, SECOND_POST], [(600, 500)], round_drain, "even-fall"),
    "post, valleys": (
        ELL,
        [[(1200, 380), (1290, 380), (1290, 470)]],
        [(1560, 430)],
        round_drain,
        "level-walls",
    ),
    "two drains, level": (BOX, [], [(420, 650), (1400, 560)], round_drain, "level-walls"),
    "two drains, even, post": (BOX, [POST], [(420, 650), (1600, 300)], round_drain, "even-fall"),
    "channel, plane": (BOX, [], [(0, 300), (1870, 300)], channel, "plane"),
    "channel, even, post": (BOX, [POST], [(250, 300), (900, 420)], channel, "even-fall"),
}


def planned(make_plan, name, move):
    corners, islands, places, written, shape = ROOMS[name]

    def moved(points):
        return move(np.array(points, dtype=float))

    spots = moved(places)
    drains = written(*spots) if written is channel else "".join(round_drain(at) for at in spots)
    drops = 540 + 0.013 * np.arange(len(corners)) * np.array([3, 190, 70, 310, 20, 150])[: len(corners)]
    readings = [(tuple(at), drop) for at, drop in zip(moved(corners), drops, strict=True)]
    islands = [moved(island) for island in islands]
    return make_plan(moved(corners), islands=islands, shape=shape, readings=readings, extra=drains)


def turned(degrees, shift=(0.0, 0.0), mirror=1.0):
    turn = np.radians(degrees)
    matrix = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    return lambda places: places * [mirror, 1.0] @ matrix + np.array(shift)


def same_figures(before, after):
    for one, other in (
        (before.depth.least.value, after.depth.least.value),
        (before.depth.most.value, after.depth.most.value),
        (before.bed.longest_run, after.bed.longest_run),
        (before.bed.wall_height, after.bed.wall_height),
    ):
        assert other == pytest.approx(one, abs=SAME)
    assert after.bed.least_fall == pytest.approx(before.bed.least_fall, abs=SAME_FALL)
    assert after.bed.most_fall == pytest.approx(before.bed.most_fall, abs=SAME_FALL)
    assert after.depth.volume == pytest.approx(before.depth.volume, rel=SAME_SUM)
    assert {finding.rule for finding in after.findings} == {finding.rule for finding in before.findings}


@pytest.mark.parametrize("name", sorted(ROOMS))
@pytest.mark.parametrize(
    "move",
    [turned(90, (310, -70)), turned(33.3, (-1250, 480)), turned(0, mirror=-1.0), turned(217, (9, 2), -1.0)],
    ids=["quarter turn", "turned", "mirrored", "mirrored and turned"],
)
def test_moved_rooms_keep_their_figures(make_plan, name, move):
    before, after = planned(make_plan, name, turned(0)), planned(make_plan, name, move)
    same_figures(before, after)
    assert [mark.at for mark in after.marks] == [mark.at for mark in before.marks]
    for one, other in zip(before.marks, after.marks, strict=True):
        assert abs(other.above_drain - one.above_drain) <= MARK + SAME
    for one, other in zip(before.strips, after.strips, strict=True):
        assert (other.wall, other.length) == (one.wall, pytest.approx(one.length, abs=SAME))
        assert other.inner_length == pytest.approx(one.inner_length, abs=SAME)
        assert abs(other.height - one.height) <= MARK + SAME


# each wall's length, its turn at the far end, how far it bows out, and its first corner's reading
CURVED = [(1500, 90, 0, 541), (1100, 90, 140, 544), (1500, 90, 0, 539), (1100, 90, -90, 546)]


def curved(make_plan, walls, at, *, left=True):
    sign = 1 if left else -1
    parts = ", ".join(
        f'{{ length = {length}, turn = "{sign * turn} deg", rise = {rise} }}'
        if rise
        else f'{{ length = {length}, turn = "{sign * turn} deg" }}'
        for length, turn, rise, _ in walls
    )
    readings = [(f'"{"ABCD"[i]}"', wall[3]) for i, wall in enumerate(walls)]
    return make_plan(f"walls = [{parts}]", at=at, drop=500, shape="even-fall", readings=readings)


class TestCurvedWalls:
    def test_from_another_corner(self, make_plan):
        """A room walked from its second corner lies a quarter turn round, shifted."""
        before = curved(make_plan, CURVED, (600, 450))
        same_figures(before, curved(make_plan, [*CURVED[1:], CURVED[0]], (450, 1500 - 600)))

    def test_mirrored(self, make_plan):
        """Walked with the floor on the right, the room lies below A-B."""
        before = curved(make_plan, CURVED, (600, 450))
        same_figures(before, curved(make_plan, CURVED, (600, -450), left=False))
