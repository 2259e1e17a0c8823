"""What holds of the work on any floor: sums, more waste, and rooms that are moved, turned or mirrored."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

ROOMS = {
    "rectangle": ([(0, 0), (1500, 0), (1500, 900), (0, 900)], (600, 400)),
    "skew": ([(0, 0), (1600, 100), (1500, 1100), (-100, 900)], (700, 500)),
    "ell": ([(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)], (450, 450)),
}
DROPS = (520.0, 514.0, 527.0, 531.0, 518.0, 522.0)


def worked(make_plan, room, change=lambda points: points, extra="", shape="even-fall"):
    corners, at = (change(np.array(part, dtype=float)) for part in ROOMS[room])
    names = "ABCDEF"[: len(corners)]
    readings = [(f'"{name}"', drop) for name, drop in zip(names, DROPS, strict=False)]
    return make_plan(
        corners.tolist(),
        at=tuple(at.tolist()),
        drop=470.0,
        readings=readings,
        shape=shape,
        outline_extra='edges = { "A-B" = "curb" }',
        extra=extra,
    ).work


def turned(points, angle=0.7):
    cos, sin = np.cos(angle), np.sin(angle)
    return np.round(points @ np.array([[cos, sin], [-sin, cos]]), 9)


MOVES = {
    "moved": lambda points: points + np.array([437.5, -812.25]),
    "turned": turned,
    "mirrored": lambda points: points * np.array([-1, 1]),
}


@pytest.mark.parametrize("room", ROOMS)
@pytest.mark.parametrize("move", MOVES)
def test_moving_the_room_changes_no_quantity(make_plan, room, move):
    first, second = worked(make_plan, room), worked(make_plan, room, MOVES[move])
    bought = [(purchase.item, purchase.quantity, purchase.of) for purchase in first.shopping]
    assert bought == [(purchase.item, purchase.quantity, purchase.of) for purchase in second.shopping]
    assert second.mortar.ordered == pytest.approx(first.mortar.ordered, rel=1e-4)
    assert second.load.mean == pytest.approx(first.load.mean, rel=1e-4)
    assert second.load.worst.value == pytest.approx(first.load.worst.value, rel=1e-6)
    assert second.flood.volume == pytest.approx(first.flood.volume, rel=1e-3)
    assert second.lining.area == pytest.approx(first.lining.area, rel=1e-6)
    assert [step.day for step in second.order] == [step.day for step in first.order]
    for one, other in zip(first.portions.parts, second.portions.parts, strict=True):
        assert other.corners == one.corners
        assert other.volume == pytest.approx(one.volume, rel=5e-3)


@pytest.mark.parametrize("room", ROOMS)
def test_portions_volumes_add_up_to_the_beds(make_plan, room):
    work = worked(make_plan, room)
    assert sum(part.volume for part in work.portions.parts) == pytest.approx(work.mortar.bed, rel=1e-9)
    assert sum(part.area for part in work.portions.parts) == pytest.approx(work.site.floor.area, rel=1e-9)


@settings(max_examples=12, deadline=None)
@given(wastes=st.tuples(st.integers(0, 100), st.integers(0, 100)), supply=st.sampled_from(["bag", "site"]))
def test_more_waste_never_buys_less(make_plan, wastes, supply):
    less, more = (
        worked(make_plan, "rectangle", extra=f'[mortar]\nsupply = "{supply}"\nwaste = "{waste} %"\n')
        for waste in sorted(wastes)
    )
    for one, other in zip(less.shopping, more.shopping, strict=True):
        assert other.item is one.item
        assert other.quantity >= one.quantity
    assert more.mortar.batches >= less.mortar.batches
    assert more.mortar.weight == less.mortar.weight  # what lies on the floor is the same


@settings(max_examples=12, deadline=None)
@given(upper=st.integers(20, 80), more=st.integers(0, 40))
def test_a_thicker_upper_bed_weighs_more_and_never_buys_less(make_plan, upper, more):
    build = '[build]\nwaterproofing = "between-beds"\nupper_bed = {}\n'
    thin, thick = (worked(make_plan, "rectangle", extra=build.format(each)) for each in (upper, upper + more))
    assert thick.load.mean >= thin.load.mean
    assert thick.mortar.mix.count >= thin.mortar.mix.count
    assert thick.heights.grate - thin.heights.grate == pytest.approx(more)
