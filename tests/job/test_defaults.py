"""What is taken where a job leaves a thing out: the contract's own figures, word for word."""

import pytest

from engine.job import defaults
from engine.job.edit import with_entry
from engine.job.model import Barrier, Job, Supply, Waterproofing
from engine.quantities import Units

INCH = Job()
MM = Job(units=Units.MM)


@pytest.mark.parametrize(
    ("take", "inch", "mm"),
    [
        (defaults.upper_bed, 1.5 * 25.4, 1.5 * 25.4),
        (defaults.tile_edge, 2 * 25.4, 2 * 25.4),
        (defaults.tile, 5 / 16 * 25.4, 5 / 16 * 25.4),
        (defaults.tile_setting, 25.4 / 8, 25.4 / 8),
        (defaults.mark_step, 25.4 / 16, 1.0),
        (defaults.strip_thickness, 12.7, 12.0),
        (defaults.strip_short, 25.4 / 8, 3.0),
        (defaults.strip_stock, 48 * 25.4, 1200.0),
        (defaults.kerf, 25.4 / 8, 3.0),
        (defaults.bag, 60 * 0.45359237, 25.0),
        (defaults.bag_yield, 0.45 * 304.8**3, 12.5e6),
        (defaults.parts, 5.0, 5.0),
        (defaults.waste, 0.1, 0.1),
    ],
)
def test_figures(take, inch, mm):
    assert take(INCH) == pytest.approx(inch, rel=1e-12)
    assert take(MM) == pytest.approx(mm, rel=1e-12)


@pytest.mark.parametrize(
    ("take", "left_out", "key", "text", "given"),
    [
        (defaults.barrier, Barrier.NONE, "floor.moisture_barrier", "felt", Barrier.FELT),
        (defaults.has_lath, False, "floor.lath", "true", True),
        (defaults.has_bond_coat, False, "floor.bond_coat", "true", True),
        (
            defaults.waterproofing,
            Waterproofing.OVER_BED,
            "build.waterproofing",
            "between-beds",
            Waterproofing.BETWEEN_BEDS,
        ),
        (defaults.supply, Supply.BAG, "mortar.supply", "site", Supply.SITE),
        (defaults.mark_step, 25.4 / 16, "bed.mark_step", "1/8 in", 25.4 / 8),
        (defaults.waste, 0.1, "mortar.waste", "0 %", 0.0),
        (defaults.tile_setting, 25.4 / 8, "build.tile_setting", "0", 0.0),
    ],
)
def test_what_is_given_comes_first(take, left_out, key, text, given):
    assert take(INCH) == left_out
    assert take(with_entry(INCH, key, text)) == given


def test_the_text_of_a_default_can_be_shown():
    assert defaults.default_text(INCH, "strips.stock") == "48 in"
    assert defaults.default_text(MM, "strips.stock") == "1200 mm"
    assert defaults.default_text(MM, "floor.dead_load_allowance") == ""
