"""The valleys of level walls on the map: where they run, on which layers, and what the legend calls them."""

from __future__ import annotations

import numpy as np
import pytest

from tests.wizard.pictures import plain_text
from tui.widgets.ink import Ink
from tui.widgets.looks import Colours, Looks
from tui.widgets.map_layers import MapLayer
from tui.widgets.map_picture import MapPicture
from tui.widgets.map_strokes import draw_valleys

JOB = """
[outline]
corners = [["0 in","0 in"], ["72 in","0 in"], ["72 in","36 in"], ["36 in","36 in"], ["36 in","72 in"], ["0 in","72 in"]]
[[drains]]
kind = "round"
size = "4 in"
drop = "20 in"
at = { x = "60 in", y = "18 in" }
[[readings]]
at = "A"
drop = "21 1/4 in"
[bed]
shape = "level-walls"
"""


@pytest.fixture(scope="module", params=[False, True], ids=["signs", "ascii"])
def looks(request):
    return Looks(Colours.NONE, ascii=request.param)


@pytest.fixture
def plan(jobs):
    return jobs.planned(JOB)


@pytest.mark.parametrize("layer", [MapLayer.DEPTH, MapLayer.BED, MapLayer.FALL, MapLayer.WATER])
def test_it_runs_from_the_drain_to_its_relay_over_free_cells(plan, looks, layer):
    cells = MapPicture(plan, layer, 100, 40, looks).cells
    (line,) = plan.bed.valleys
    ends = np.array([[[line.low.x, line.low.y], [line.high.x, line.high.y]]])
    drawn = draw_valleys(cells.frame.cells(ends[0])[None], looks)
    marked = {(mark.row, mark.column) for mark in cells.marks}
    places = list(zip(drawn.rows.tolist(), drawn.columns.tolist(), strict=True))
    assert len(places) > 10
    for (row, column), character in zip(places, drawn.characters.tolist(), strict=True):
        if (row, column) not in marked:
            assert cells.characters[row, column] == character
            assert cells.inks[row, column] == Ink.EDGE


def test_the_legend_names_it_and_only_where_there_is_one(plan, looks, jobs):
    told = plain_text(MapPicture(plan, MapLayer.BED, 100, 40, looks).lines())
    assert "valley" in told
    assert told.index("valley") < told.index("wall"), "what is rare stands first, where rows may run out"
    assert "valley" not in plain_text(MapPicture(jobs.rectangle(), MapLayer.BED, 100, 40, looks).lines())
