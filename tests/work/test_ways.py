"""Other ways to build the floor: what fits, what levels it, what each weighs and waits for."""

from __future__ import annotations

import pytest

from engine.quantities import INCH
from engine.work.alternatives import Fits, WayName, levelling

LEVEL = [(f'"{name}"', 520.0) for name in "ABCD"]


def ways(make_plan, outline, readings=LEVEL, **words):
    words = {"at": (600, 400), "drop": 470.0, "shape": "even-fall", **words}
    return {way.name: way for way in make_plan(outline, readings=readings, **words).work.ways}


def test_three_ways_of_which_the_mortar_bed_always_fits(make_plan):
    found = ways(make_plan, [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)])
    assert list(found) == [WayName.MORTAR_BED, WayName.LEVELLED_AND_TRAY, WayName.RECEPTOR]
    assert found[WayName.MORTAR_BED].fits is Fits.YES
    assert found[WayName.RECEPTOR].fits is Fits.NO
    assert "no rectangle" in found[WayName.RECEPTOR].why.text


@pytest.mark.parametrize(
    ("a", "b", "fits"),
    [
        (1200, 900, Fits.ASK),
        (900, 1200, Fits.ASK),
        (1213, 913, Fits.ASK),
        (1214, 900, Fits.NO),
        (1199, 900, Fits.NO),
    ],
)
def test_a_receptor_goes_in_where_the_room_is_a_little_larger(make_plan, a, b, fits):
    assert ways(make_plan, f"rectangle = [{a}, {b}]")[WayName.RECEPTOR].fits is fits


def test_levelling_a_sloped_floor_by_hand(make_plan):
    # 20 mm lower at C and D than at A and B: a wedge of 10 mm on average, and 3 mm over the highest spot.
    sloped = [('"A"', 520.0), ('"B"', 520.0), ('"C"', 540.0), ('"D"', 540.0)]
    work = make_plan("rectangle = [1200, 900]", at=(600, 400), drop=470.0, readings=sloped).work
    poured = levelling(work.site)
    assert poured.volume == pytest.approx(1200 * 900 * (10 + 3))
    assert (poured.least, poured.most) == (3, pytest.approx(23))
    by_name = {way.name: way for way in work.ways}
    assert by_name[WayName.LEVELLED_AND_TRAY].volume == poured.volume
    # 20 mm are more than 1/4 in in 10 ft: a receptor wants the floor levelled too, and waits for it.
    assert by_name[WayName.RECEPTOR].volume == poured.volume
    assert by_name[WayName.RECEPTOR].waits == 48
    for way in (by_name[WayName.LEVELLED_AND_TRAY], by_name[WayName.RECEPTOR]):
        assert (way.primed, way.bedded) == (1200 * 900, 1200 * 900)
        needs = " ".join(said.text for said in way.needs)
        assert "primer under the leveller over 1.08 m2: how much that takes stands on its maker's sheet" in needs
        assert "bedding mortar under the" in needs


def test_a_floor_within_a_quarter_inch_needs_no_levelling_under_a_receptor(make_plan):
    within = [('"A"', 520.0), ('"B"', 520.0), ('"C"', 520 + INCH / 4), ('"D"', 520 + INCH / 4)]
    receptor = ways(make_plan, "rectangle = [1200, 900]", within)[WayName.RECEPTOR]
    assert (receptor.volume, receptor.waits) == (0, 24)
    assert (receptor.primed, receptor.bedded) == (0, 1200 * 900)
    assert not any("primer" in said.text for said in receptor.needs)


def test_two_beds_cure_twice(make_plan):
    one = ways(make_plan, "rectangle = [1200, 900]")[WayName.MORTAR_BED]
    two = ways(make_plan, "rectangle = [1200, 900]", extra='[build]\nwaterproofing = "between-beds"')[
        WayName.MORTAR_BED
    ]
    assert (one.waits, two.waits) == (24, 48)
    assert two.mass > one.mass
