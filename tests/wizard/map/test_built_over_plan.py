"""The error map: how far the finished bed is over the planned one, by the worked example of the sample's birdbath."""

from __future__ import annotations

from pathlib import Path

import pytest

from tui.widgets.looks import Colours, Looks
from tui.widgets.map_layers import MapLayer, waits_for
from tui.widgets.map_picture import MapPicture

SAMPLE = Path(__file__).parents[3] / "sample_jobs" / "coopers_yard.toml"
INCH = 25.4


@pytest.fixture(scope="module")
def built(plan_of):
    return plan_of(SAMPLE)


def test_its_least_is_how_low_the_birdbath_lies(built):
    """15/56 + 3/16 = 51/112 in low, as worked by hand in the proof's tests; nowhere is the bed too high."""
    cells = MapPicture(built, MapLayer.ERROR, 80, 30, Looks(Colours.NONE, ascii=False)).cells
    assert cells.bands.least == pytest.approx(-51 / 112 * INCH)
    assert cells.bands.most == pytest.approx(0.0, abs=1e-6)
    row, column = cells.frame.cell(30 * INCH, 13.5 * INCH)
    beside = cells.levels[row, column + 1]  # the finding's number stands on the place itself
    assert beside < cells.levels[2, 2]
    assert beside <= cells.levels[cells.levels >= 0].min() + 1


@pytest.mark.parametrize("looks", [Looks(Colours.NONE, ascii=False), Looks(Colours.NONE, ascii=True)])
def test_it_reads_without_colour_and_in_plain_letters_with_numbers(built, looks):
    lines = MapPicture(built, MapLayer.ERROR, 80, 30, looks).lines()
    told = "\n".join("".join(span.text for span in line) for line in lines)
    assert "Built over plan" in told
    assert "minus: too low" in told
    assert "least -15/32 in" in told
    assert not looks.ascii or told.isascii()


def test_before_the_bed_is_read_it_says_what_would_tell(make_plan):
    found = make_plan("rectangle = [1500, 1200]", at=(750, 600))
    assert "Readings of the finished bed tell it" in waits_for(found, MapLayer.ERROR)
