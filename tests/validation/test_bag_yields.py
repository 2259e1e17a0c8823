"""Generic data sheets of bagged deck mud: what a bag makes, and what covers so much floor.

40, 60 and 80 lb make 0.30, 0.45 and 0.60 cu ft in place; 30 kg make 0.014 cu m; 12 sq ft at 1/2 in take 0.5 cu ft.
"""

from __future__ import annotations

import pytest

from engine.job.model import RulebookName
from engine.job.toml_file import parse_job
from engine.limits.work_rules import work_rules
from engine.plan import plan
from engine.quantities import CUBIC_FOOT, POUND
from engine.work.mortar import bags_for

YIELDS = ((40, 0.30), (60, 0.45), (80, 0.60))  # lb, cu ft

# A channel along the whole of a wall of 48 in, with the bed falling to it as good as not at all, half an inch under it:
# 48 x 36 in are 12 sq ft.
FLAT = """
format = 1
[job]
name = "twelve square feet"
units = "in"
[floor]
kind = "concrete"
[outline]
rectangle = ["48 in", "36 in"]
[[drains]]
kind = "round"
size = "2 in"
at = {{ x = "24 in", y = "18 in" }}
drop = "20 in"
[[readings]]
at = "A"
drop = "20 1/2 in"
[bed]
shape = "level-walls"
wall_height = "0.000001 in"
[mortar]
bag = "{bag} lb"
yield = "{makes} ft^3"
waste = "0 %"
"""


@pytest.mark.parametrize(("bag", "makes"), YIELDS)
def test_every_bag_holds_as_much_dry_mix_as_the_density_that_water_is_reckoned_from(bag, makes):
    dry = work_rules(RulebookName.US_MODEL).dry_in_place.value
    assert bag * POUND / (makes * CUBIC_FOOT) == pytest.approx(dry, rel=0.001)


def test_a_bag_of_30_kg_makes_14_litres():
    dry = work_rules(RulebookName.US_MODEL).dry_in_place.value
    assert 30 / dry == pytest.approx(0.014e9, rel=0.005)  # the sheet's figure has two digits


@pytest.mark.parametrize(("bag", "makes"), YIELDS)
def test_12_square_feet_at_half_an_inch_take_half_a_cubic_foot(bag, makes):
    found = plan(parse_job(FLAT.format(bag=bag, makes=makes)))
    assert found.outline.area == pytest.approx(12 * 144 * 25.4**2)
    assert found.work.mortar.ordered == pytest.approx(0.5 * CUBIC_FOOT, rel=1e-4)
    assert found.work.mortar.mix.count == {40: 2, 60: 2, 80: 1}[bag]  # 1.67, 1.11 and 0.83 bags


def test_whole_bags_are_not_rounded_to_one_more():
    assert bags_for(3 * 0.45, 0.45) == 3
    assert bags_for(0.1 + 0.2, 0.3) == 1  # 0.1 + 0.2 is a hair over 0.3
    assert bags_for(3 * 0.45 + 1e-6, 0.45) == 4
