"""Volumes of beds against their closed forms.

Sources, all derived (A = floor area, a = flange radius; per wall p = the drain's square distance to its line, s0
and s1 = its ends along it from the drain's foot):

- level walls of height H, floor all in sight:
  V = (H/6) [4 A - a sum p (asinh(s1/p) - asinh(s0/p)) - 2 pi a^2]; with a = 0 exactly 2/3 H A
- even fall s, floor all in sight: V = s [I - a A + pi a^3 / 3], I = sum F(s1) - F(s0),
  F(t) = p^3/6 [(t/p) sqrt(1 + t^2/p^2) + asinh(t/p)]
- even fall over floor reached only round a corner at way w: s [w A' + I'], A' and I' of that floor about the corner
- a cone frustum: pi H (R - a)(2 R + a) / 3
- 48 x 48 in at 1/4 in per ft square to the wall, no flange: 768 cu in over the drain's level

The integral of height runs over the whole floor, the flange counting as 0.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

RADIUS = 55.0  # [mm]
FALL = 1 / 48
EXACT = 1e-11  # [-] the engine sums along walls by Gauss to about 1e-12; the rest is rounding
RECTANGLE = [(0, 0), (1500, 0), (1500, 900), (0, 900)]
OUT_OF_SQUARE = [(0, 0), (1480, 35), (1530, 960), (-60, 870)]
ELL = [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)]
SEEN_WHOLE = [  # room and drain
    pytest.param(RECTANGLE, (750, 450), id="rectangle, middle"),
    pytest.param(RECTANGLE, (200, 700), id="rectangle, near a corner"),
    pytest.param(OUT_OF_SQUARE, (610, 500), id="out of square"),
    pytest.param(OUT_OF_SQUARE[::-1], (610, 500), id="out of square, the other way round"),
    pytest.param(ELL, (450, 520), id="L, seen whole"),
]


def walls(corners, place):
    """For each wall the square distance p to its line and s0, s1 along it; all about a place, signed."""
    rows = []
    for (ax, ay), (bx, by) in zip(corners, corners[1:] + corners[:1], strict=True):
        length = math.hypot(bx - ax, by - ay)
        ux, uy = (bx - ax) / length, (by - ay) / length
        first = (ax - place[0]) * ux + (ay - place[1]) * uy
        rows.append(((ax - place[0]) * uy - (ay - place[1]) * ux, first, first + length))
    return rows


def area(corners):
    return abs(sum(p * (s1 - s0) / 2 for p, s0, s1 in walls(corners, (0, 0))))


def first_moment(corners, place):
    """I: the distance from a place summed over a floor it sees; a wall in line with the place adds nothing."""

    def f(p, t):
        return p**3 / 6 * ((t / p) * math.sqrt(1 + t * t / (p * p)) + math.asinh(t / p))

    return abs(sum(f(p, s1) - f(p, s0) for p, s0, s1 in walls(corners, place) if abs(p) > 1e-9))


def level_walls_volume(corners, place, radius, height):
    arc = abs(sum(p * (math.asinh(s1 / p) - math.asinh(s0 / p)) for p, s0, s1 in walls(corners, place)))
    return height / 6 * (4 * area(corners) - radius * arc - 2 * math.pi * radius**2)


def even_fall_volume(corners, place, radius):
    return FALL * (first_moment(corners, place) - radius * area(corners) + math.pi * radius**3 / 3)


@pytest.mark.parametrize(("corners", "place"), SEEN_WHOLE)
def test_level_walls(make_plan, corners, place):
    bed = make_plan(corners, at=place, size=2 * RADIUS, bed="wall_height = 31.25").bed
    assert bed.integral == pytest.approx(level_walls_volume(corners, place, RADIUS, 31.25), rel=EXACT)


@pytest.mark.parametrize(("corners", "place"), SEEN_WHOLE)
def test_even_fall(make_plan, corners, place):
    bed = make_plan(corners, at=place, size=2 * RADIUS, shape="even-fall").bed
    assert bed.integral == pytest.approx(even_fall_volume(corners, place, RADIUS), rel=EXACT)


def test_even_fall_round_a_corner(make_plan):
    """The L's far leg is reached over the line from the drain through the inner corner."""
    place, corner = (1500, 400), (900, 900)
    slope = (corner[1] - place[1]) / (corner[0] - place[0])
    behind = (0, corner[1] + slope * (0 - corner[0]))  # where that line meets the left wall
    seen = [(0, 0), (1800, 0), (1800, 900), corner, behind]
    hidden = [corner, (900, 1800), (0, 1800), behind]
    way = math.dist(place, corner) - RADIUS
    expected = even_fall_volume(seen, place, RADIUS)
    expected += FALL * (way * area(hidden) + first_moment(hidden, corner))
    bed = make_plan(ELL, at=place, size=2 * RADIUS, shape="even-fall").bed
    assert bed.integral == pytest.approx(expected, rel=EXACT)


@pytest.mark.parametrize("place", [(750, 450), (100, 820)])
@pytest.mark.parametrize("kind", ["round", "square"])
def test_flat_facets_rise_two_thirds_on_the_mean(make_plan, place, kind):
    tiny = 0.001  # [mm] its share of the volume is about its size over the room's
    bed = make_plan(RECTANGLE, at=place, size=tiny, kind=kind, bed="wall_height = 24.0").bed
    assert bed.integral == pytest.approx(2 / 3 * 24 * 1500 * 900, rel=10 * tiny / 900)


def test_four_foot_square(make_plan):
    """The depth over a floor at the drain's level is the same 768 cu in."""
    tiny = 0.0001  # [in]
    plan = make_plan(
        'rectangle = ["48 in", "48 in"]',
        units="in",
        at='{ "A-B" = "24 in", "D-A" = "24 in" }',
        size=f"{tiny:.4f} in",
        drop="20 in",
        bed='wall_height = "1/2 in"',  # 24 in from wall to drain at 1/4 in per ft
        readings=[(f'"{corner}"', "20 in") for corner in "ABCD"],
    )
    assert 24 * (1 / 4) / 12 == 1 / 2
    assert 2 / 3 * (1 / 2) * 48 * 48 == 768
    assert plan.bed.integral / 25.4**3 == pytest.approx(768, rel=10 * tiny / 48)
    assert plan.depth.volume / 25.4**3 == pytest.approx(768, rel=10 * tiny / 48)


@pytest.mark.parametrize("shape", ["level-walls", "even-fall"])
def test_a_many_sided_room_is_nearly_a_frustum(make_plan, shape):
    """Inside a circle of radius R by the share of the area that the polygon lacks, which is taken as tolerance."""
    sides, far, height = 200, 800.0, 16.0
    turns = [2 * math.pi * k / sides for k in range(sides)]
    corners = [(far * math.cos(t), far * math.sin(t)) for t in turns]
    lacking = 1 - math.sin(2 * math.pi / sides) / (2 * math.pi / sides)
    fall = height / (far - RADIUS)
    bed = make_plan(
        corners,
        at=(0, 0),
        size=2 * RADIUS,
        shape=shape,
        fall=f"{100 * fall:.12f} %",
        bed=f"wall_height = {height}",
    ).bed
    frustum = math.pi * height * (far - RADIUS) * (2 * far + RADIUS) / 3
    assert bed.integral == pytest.approx(frustum, rel=3 * lacking)
    assert np.isclose(bed.wall_height, height, rtol=lacking)
