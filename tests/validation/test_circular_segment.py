"""Curved walls against the circular segment.

Source: the circular segment, as in any table of plane figures. Over a chord c with rise h:

- radius R = (c^2 / 4 + h^2) / (2 h), angle t = 4 atan(2 h / c), arc R t, area R^2 (t - sin t) / 2
- four walls c = R sqrt(2) long that each rise R (1 - sqrt(1/2)) stand on one whole circle

and of the cone frustum that a bed on a round floor is: pi H (R - a) (2 R + a) / 3.

The arc is cut into chords none farther than 0.1 mm from it. A chord's own segment holds at most 2/3 of 0.1 mm a
length, so an arc L long takes at most 0.067 L off the floor; every point of the outline is within 0.1 mm of its arc.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

OFF = 0.1  # [mm] the promise
LENGTH, WIDTH = 1524.0, 914.4  # 60 x 36 in
FRACTIONS = [0.001, 0.05, 0.25, 0.5, 0.8]  # of the chord: from next to nothing to beyond a half circle
RADIUS, FLANGE = 800.0, 75.0


def segment(chord, rise):
    """A segment's radius, angle, arc and area."""
    radius = (chord**2 / 4 + rise**2) / (2 * rise)
    angle = 4 * math.atan(2 * rise / chord)
    return radius, angle, radius * angle, radius**2 * (angle - math.sin(angle)) / 2


def walls(rises):
    rows = (f"{{ length = {c}, rise = {h} }}" for c, h in zip((LENGTH, WIDTH) * 2, rises, strict=True))
    return f"walls = [{', '.join(rows)}]"


@pytest.fixture(params=FRACTIONS, scope="module")
def rise(request):
    return round(request.param * WIDTH, 6)


@pytest.fixture(scope="module")
def bowed(make_plan, rise):
    return make_plan(walls([0, rise, 0, 0]), at=(750, 450), drop=500, readings=[((0, 0), 530)])


def test_area_perimeter_and_length(bowed, rise):
    _, _, arc, area = segment(WIDTH, rise)
    floor = bowed.outline
    assert floor.length(1) == pytest.approx(arc, rel=1e-12)
    assert floor.perimeter == pytest.approx(2 * LENGTH + WIDTH + arc, rel=1e-12)
    missing = LENGTH * WIDTH + area - floor.area
    assert 0 <= missing <= 2 / 3 * OFF * arc


def test_every_chord_keeps_to_its_arc(bowed, rise):
    radius = segment(WIDTH, rise)[0]
    centre = np.array([LENGTH + rise - radius, WIDTH / 2])
    sides = bowed.outline.sides
    own = sides.walls == 1
    middles = (sides.starts[own] + sides.ends[own]) / 2
    away = radius - np.hypot(*(middles - centre).T)
    assert (away >= -1e-9).all()
    assert (away <= OFF + 1e-9).all()
    assert np.hypot(*(sides.starts[own] - centre).T) == pytest.approx(np.full(own.sum(), radius))
    # and no finer than it need be: half as many chords would not do
    assert own.sum() == 2 or away.max() > OFF / 4 / 1.6


def test_marks_stand_every_300_mm_along_the_arc(bowed, rise):
    radius, angle, arc, _ = segment(WIDTH, rise)
    found = [mark for mark in bowed.marks if mark.at == "B-C"]
    assert [mark.along for mark in found] == pytest.approx(np.arange(300.0, arc - 1e-6, 300.0))
    turns = np.array([mark.along / radius - angle / 2 for mark in found])
    wanted = np.column_stack([LENGTH + rise - radius + radius * np.cos(turns), WIDTH / 2 + radius * np.sin(turns)])
    places = np.array([[mark.x, mark.y] for mark in found]).reshape(-1, 2)
    assert np.hypot(*(places - wanted).T) == pytest.approx(np.zeros(len(found)), abs=OFF)


def test_a_place_off_the_wall_lies_on_the_arcs_own_square(make_plan):
    rise = 200.0
    radius, angle, arc, _ = segment(WIDTH, rise)
    turn = 0.3 * angle - angle / 2
    found = make_plan(
        walls([0, rise, 0, 0]),
        at=(750, 450),
        drop=500,
        readings=[(f'{{ wall = "B-C", along = {0.3 * arc}, off = 250 }}', 530)],
    )
    out = radius - 250
    wanted = (LENGTH + rise - radius + out * math.cos(turn), WIDTH / 2 + out * math.sin(turn))
    station = found.readings[0]
    assert (station.x, station.y) == pytest.approx(wanted, abs=OFF)


@pytest.mark.parametrize("shape", ["level-walls", "even-fall"])
def test_four_arcs_make_a_round_floor_whose_bed_is_a_cone_frustum(make_plan, shape):
    chord, rise = RADIUS * math.sqrt(2), RADIUS * (1 - math.sqrt(0.5))
    middle = (chord / 2, chord / 2)
    text = f"walls = [{', '.join([f'{{ length = {chord!r}, rise = {rise!r} }}'] * 4)}]"
    found = make_plan(text, at=middle, size=2 * FLANGE, shape=shape, drop=500, readings=[(middle, 530)])
    height = found.bed.wall_height
    if shape == "even-fall":
        assert height == pytest.approx((RADIUS - FLANGE) / 48)
    volume = math.pi * height * (RADIUS - FLANGE) * (2 * RADIUS + FLANGE) / 3
    # An inscribed floor is at most 0.1 mm narrower all round; level walls then stand that much nearer.
    assert found.bed.integral == pytest.approx(volume, rel=3 * OFF / RADIUS)
    assert found.bed.integral < volume
    assert [mark.above_drain for mark in found.marks] == [math.ceil(height - 1e-9)] * len(found.marks)
    strip = found.strips[0]
    assert strip.miters == pytest.approx((90, 90))
    assert strip.length == pytest.approx(RADIUS * math.pi / 2)
    assert strip.inner_length == pytest.approx((RADIUS - 12) * math.pi / 2)
