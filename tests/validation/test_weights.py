"""Weights by published figures: a bed's by the inch, standing water's, loose cement's and sand's.

- Mortar bed: 12 lb per sq ft per inch, 144 lb per cu ft (TileLetter, as cited by others).
- Water: 5.19 psf per inch of depth (ASTM D5957, note 1); water at 62.4 lb per cu ft weighs 62.4 / 12 = 5.2.
- Cement 94 lb and damp loose sand 80 lb (dry) per cu ft (ASTM C270, from memory).
"""

from __future__ import annotations

import pytest

from engine.job.model import RulebookName
from engine.limits.work_rules import work_rules
from engine.quantities import CUBIC_FOOT, FOOT, INCH, POUND, PSF
from engine.work.mortar import site_mix
from engine.work.rules import load_of, mass_under

SURE = 1e-6


@pytest.fixture(params=list(RulebookName))
def rules(request):
    return work_rules(request.param)


def test_a_bed_of_two_inches_weighs_24_psf(rules):
    mass = 2 * INCH * FOOT**2 * rules.mud_density
    assert mass == pytest.approx(24 * POUND, rel=SURE)
    assert load_of(mass, FOOT**2) == pytest.approx(24 * PSF, rel=SURE)
    assert rules.mud_density * CUBIC_FOOT == pytest.approx(144 * POUND, rel=SURE)


def test_water_weighs_5_19_psf_an_inch(rules):
    assert rules.water_load_an_inch.value == pytest.approx(5.19 * PSF, rel=SURE)
    assert rules.water_density * CUBIC_FOOT == pytest.approx(12 * 5.19 * POUND, rel=SURE)
    assert rules.water_density == pytest.approx(1e-6, rel=0.003)  # a litre weighs a kilogram
    assert "ASTM D5957" in rules.water_load_an_inch.source


def test_a_load_and_the_mass_under_it_undo_each_other():
    assert load_of(mass_under(1.25) * 7e5, 7e5) == pytest.approx(1.25)


@pytest.mark.parametrize("parts", [4, 5, 6])
def test_site_mix_by_parts_holds_the_dry_mass_of_what_it_packs_to(rules, parts):
    # One cubic foot in place is 133.3 lb dry (the bags' data sheets). A cubic foot of cement with its sand weighs
    # 94 + 80 parts lb, so that much cement makes (94 + 80 parts) / 133.3 cu ft.
    mix = site_mix(CUBIC_FOOT, parts, rules)
    assert mix.cement == pytest.approx(133.3 / (94 + 80 * parts) * CUBIC_FOOT, rel=SURE)
    assert mix.sand == pytest.approx(parts * mix.cement)
    assert mix.cement_mass == pytest.approx(94 * mix.cement / CUBIC_FOOT * POUND, rel=SURE)
    assert mix.sand_mass == pytest.approx(80 * mix.sand / CUBIC_FOOT * POUND, rel=SURE)
    assert mix.dry == pytest.approx(133.3 * POUND, rel=SURE)


def test_loose_sand_and_cement_take_more_room_than_the_mud_they_pack_to(rules):
    mix = site_mix(CUBIC_FOOT, 5, rules)
    assert mix.cement + mix.sand > 1.5 * CUBIC_FOOT


def test_one_bag_of_cement_to_five_of_sand_is_3_7_cubic_feet_of_mud(rules):
    # 94 + 5 x 80 = 494 lb by 133.3 lb per cu ft.
    assert site_mix(494 / 133.3 * CUBIC_FOOT, 5, rules).cement_mass == pytest.approx(94 * POUND, rel=SURE)
