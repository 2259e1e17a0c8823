"""The water layer: arrows run to the drain, standing water is shaded, each drain's floor tells its number."""

from __future__ import annotations

import re
from itertools import product
from pathlib import Path

import numpy as np
import pytest

from tests.wizard.pictures import plain_text
from tui.widgets.looks import Colours, Looks
from tui.widgets.map_layers import MapLayer, waits_for
from tui.widgets.map_marks import read_on
from tui.widgets.map_picture import MapPicture, spot_words
from tui.widgets.map_water import ARROWS, arrows, standing

SAMPLE = Path(__file__).parents[3] / "sample_jobs" / "coopers_yard.toml"
INCH = 25.4


@pytest.fixture(scope="module")
def built(plan_of):
    return plan_of(SAMPLE)


def places_of(cells, text):
    """Rows and columns, each as an array of one, of the cells where a text begins on the map."""
    for row, characters in enumerate(cells.characters):
        for found in re.finditer(re.escape(text), "".join(characters)):
            yield np.array([row]), np.array([found.start()])


def test_arrows_point_to_the_drain_from_all_sides(make_plan):
    found = make_plan("rectangle = [1500, 1200]", at=(750, 600), shape="even-fall")
    places = np.array([(100.0, 600.0), (1400.0, 600.0), (750.0, 100.0), (750.0, 1100.0), (400.0, 250.0)])
    assert "".join(arrows(found, places, ascii_only=False)) == "→←↑↓↗"
    assert "".join(arrows(found, places, ascii_only=True)) == "><^v/"


def test_water_stands_where_the_pond_is_and_nowhere_else(built):
    pond = built.as_built.ponds[0]
    depths = standing(built, np.array([(pond.x, pond.y), (10 * INCH, 40 * INCH)]))
    assert depths[0] == pytest.approx(pond.depth)
    assert np.isnan(depths[1])


def test_the_map_tells_the_deepest_and_shades_it(built):
    picture = MapPicture(built, MapLayer.WATER, 48, 24, Looks(Colours.NONE, ascii=False))
    assert picture.cells.bands.most == pytest.approx(3 / 16 * INCH)
    assert (picture.cells.levels >= 0).any()
    assert set(ARROWS) & set(picture.cells.characters.ravel().tolist())


def test_of_two_drains_the_floor_of_each_tells_its_number(make_plan):
    drain = '[[drains]]\nkind = "round"\nsize = 100\nat = { x = 1600, y = 500 }\n'
    found = make_plan("rectangle = [2000, 1000]", at=(400, 500), shape="even-fall", extra=drain)
    cells = MapPicture(found, MapLayer.WATER, 76, 24, Looks(Colours.NONE, ascii=True)).cells
    told = [(number, cells.frame.under(*at)[0, 0]) for number in "12" for at in places_of(cells, f"({number})")]
    assert len(told) > 4
    assert {number == "1" for number, x in told if x < 1000} == {True}
    assert {number == "1" for number, x in told if x > 1000} == {False}


def test_a_bare_number_on_the_map_is_a_findings_and_one_in_brackets_a_drains(make_plan):
    """The bed is too steep, and the lone reading 60 mm up is odd: findings with places beside each drain's number."""
    drain = '[[drains]]\nkind = "round"\nsize = 100\nat = { x = 1600, y = 500 }\n'
    found = make_plan("rectangle = [2000, 1000]", at=(400, 500), fall="1:10", extra=drain)
    placed = {str(i) for i, finding in enumerate(found.findings, start=1) if finding.x is not None}
    assert placed
    for layer, size in product(MapLayer, ((38, 15), (76, 24))):
        picture = MapPicture(found, layer, *size, Looks(Colours.NONE, ascii=True))
        on_map = "\n".join("".join(row) for row in picture.cells.characters)
        assert {"(1)", "(2)"} <= set(re.findall(r"\(\d\)", on_map))
        assert set(re.findall(r"\d", re.sub(r"\(\d\)", "", on_map))) == placed
        assert "O(1) drain 1" in plain_text(picture.lines())


def test_a_place_in_a_corner_is_told_by_its_letter(make_plan):
    found = make_plan("rectangle = [2000, 1000]", at=(400, 500))
    assert spot_words(found, 2000, 0)[-1].startswith("Corner B: mud ")
    assert spot_words(found, 2000, 30)[-1].startswith("On B-C, 30 mm from A-B: mud ")


def test_before_the_bed_is_read_the_layer_says_what_would_tell(make_plan):
    assert "readings of the finished bed" in waits_for(
        make_plan("rectangle = [1500, 1200]", at=(750, 600)), MapLayer.WATER
    )


def test_the_legend_tells_each_drains_share_of_the_floor(make_plan):
    """A ridge half way between the flanges' edges, 1000 of 2000 mm from the wall: half the floor each."""
    drain = '[[drains]]\nkind = "round"\nsize = 100\nat = { x = 1600, y = 500 }\n'
    found = make_plan("rectangle = [2000, 1000]", at=(400, 500), shape="even-fall", extra=drain)
    looks = Looks(Colours.NONE, ascii=True)
    told = plain_text(MapPicture(found, MapLayer.WATER, 76, 24, looks).lines())
    assert "(1) drain 1 takes 50 %" in told
    assert "(2) drain 2 takes 50 %" in told
    other = plain_text(MapPicture(found, MapLayer.BED, 76, 24, looks).lines())
    assert "takes" not in other


def test_the_layers_of_the_finished_bed_show_its_readings_and_tell_its_figures(built):
    """Planned 9/32 in over the drain 13 1/2 in from A-B, read 15/32 in lower: 3/16 in under it."""
    pond = built.as_built.ponds[0]
    looks = Looks(Colours.NONE, ascii=True)
    for layer, count, told in (
        (MapLayer.WATER, 7, "water 3/16 in deep, 7/16 in low, bed 3/16 in under the drain"),
        (MapLayer.ERROR, 7, "7/16 in low"),
        (MapLayer.DEPTH, len(built.readings), "mud 1 27/32"),
    ):
        assert len(read_on(built, layer)) == count
        assert told in spot_words(built, pond.x, pond.y, layer)[-1]
        legend = plain_text(MapPicture(built, layer, 90, 30, looks).lines())
        assert ("+ reading of the bed" in legend) is (layer is not MapLayer.DEPTH)


def test_at_a_spot_the_water_layer_tells_which_drain_its_water_runs_to(make_plan):
    drain = '[[drains]]\nkind = "round"\nsize = 100\nat = { x = 1600, y = 500 }\n'
    found = make_plan("rectangle = [2000, 1000]", at=(400, 500), shape="even-fall", extra=drain)
    assert "runs to drain 1, bed " in spot_words(found, 700, 200, MapLayer.WATER)[-1]
    assert "runs to drain 2, bed " in spot_words(found, 1100, 200, MapLayer.WATER)[-1]
    assert "runs to" not in spot_words(found, 1100, 200, MapLayer.BED)[-1]
