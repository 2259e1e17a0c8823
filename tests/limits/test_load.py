"""floor-load: what bed, tile and test water weigh against what the floor was checked for."""

from __future__ import annotations

import pytest

from engine.limits.findings import Level

WOOD = 'kind = "wood"\nmoisture_barrier = "felt"\nlath = true\n'
CONCRETE = 'kind = "concrete"\nbond_coat = true\n'
# The small job's floor is level, 2 in under the flange, and its bed rises to 11/16 in at the walls: 30.94 in of run at
# 1/4 in per ft are 0.645 in, rounded up to a sixteenth. Where the bed is deepest it is 2 11/16 in: 32.25 psf of mud at
# 12 psf per inch (TileLetter), 7/16 in of tile and mortar at 14 psf per inch (as granite), half a psf of sheets.
DEEPEST = 2.6875 * 12 + 0.4375 * 14 + 0.5  # 38.875 psf


def _allowed(psf):
    return f'{CONCRETE}dead_load_allowance = "{psf} psf"'


def test_without_an_allowance_a_wood_floor_has_a_note_and_concrete_none(found):
    assert found("floor-load", floor=CONCRETE) == []
    note = found("floor-load", floor=WOOD)[0]
    assert note.level is Level.NOTE
    assert f"{DEEPEST:.1f} psf (1.87 kPa) where the bed is deepest" in note.says
    assert "many wood floors are allowed only 10 psf (0.47 kPa)" in note.says
    assert "licensed engineer" in note.remedy
    assert note.key == "floor.dead_load_allowance"


def test_a_2_inch_bed_is_more_than_twice_a_10_psf_allowance(found):
    stop = found("floor-load", floor=_allowed(10))[0]
    assert stop.level is Level.CAUTION
    assert "more than the 10 psf (0.47 kPa) that the floor may bear" in stop.says
    assert "have a licensed engineer check the floor for 38.9 psf (1.87 kPa)" in stop.remedy
    assert "your own figure" in stop.source
    assert "TileLetter" in stop.source


@pytest.mark.parametrize(
    ("psf", "says"),
    [
        (38, "only there it is more than"),  # the mean is below it
        (30, "where the bed is deepest, more than"),
    ],
)
def test_the_mean_and_the_worst_are_told_apart(found, psf, says):
    assert says in found("floor-load", floor=_allowed(psf))[0].says


def test_a_bed_may_be_made_thinner_only_as_far_as_the_limits_let_it(found):
    # 0.875 psf over are 0.073 in of mud: 1/8 in by the next sixteenths. The bonded least is 3/4 in and 2 in are there.
    assert found("floor-load", floor=_allowed(38))[0].remedy.endswith("or make the bed 1/8 in thinner")
    # 28.875 psf over are 2.4 in, which the bed has not.
    assert "thinner" not in found("floor-load", floor=_allowed(10))[0].remedy


def test_water_of_the_flood_test_is_told_where_it_alone_is_too_much(found):
    # Level lining 2 in under water at the walls, 2 11/16 in at the drain, 5.19 psf per inch (ASTM D5957 note 1).
    # Mud is heavier than water, so the most is at the walls: 32.25 + 0.5 + 2 x 5.19 = 43.13 psf.
    note = found("floor-load", floor=_allowed(40))[0]
    assert note.level is Level.NOTE
    assert "while the flood test stands" in note.says
    assert "at most 43.2 psf" in note.says
    assert found("floor-load", floor=_allowed(44)) == []


@pytest.mark.parametrize("book", ["us-accessible", "au-ncc", "nz-e3", "uk-bs5385", "de-din18040"])
def test_every_rulebook_weighs_the_floor(found, book):
    job = f'name = "x"\nrulebook = "{book}"'
    assert len(found("floor-load", job=job, floor=_allowed(10))) == 1


def test_a_floor_without_a_bed_yet_has_no_load(found):
    assert found("floor-load", floor=_allowed(1), bed=None) == []
