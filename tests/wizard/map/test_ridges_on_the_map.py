"""The ridges between two drains' parts on the map: where they run, on which layers, and what the legend calls them."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from engine.job.toml_file import parse_job
from engine.plan import plan
from tests.wizard.pictures import plain_text
from tui.widgets.ink import Ink
from tui.widgets.looks import Colours, Looks
from tui.widgets.map_layers import MapLayer
from tui.widgets.map_picture import MapPicture

BATH_HOUSE = Path(__file__).parents[3] / "sample_jobs" / "bath_house.toml"
LAYERS = (MapLayer.DEPTH, MapLayer.BED, MapLayer.FALL, MapLayer.WATER)
SIGNS = {False: "│", True: "&"}


@pytest.fixture(scope="module", params=SIGNS, ids=["signs", "ascii"])
def looks(request):
    return Looks(Colours.NONE, ascii=request.param)


@pytest.fixture(scope="module", params=["level-walls", "even-fall"])
def planned(request):
    text = BATH_HOUSE.read_text(encoding="utf-8")
    return plan(parse_job(text.replace("level-walls", request.param)))


@pytest.mark.parametrize("layer", LAYERS)
def test_it_runs_from_wall_to_wall_midway_between_the_drains(planned, looks, layer):
    """Both drains stand 600 mm from their ends of 2400 mm, equally high: the ridge is at 1200 mm, 900 mm long."""
    cells = MapPicture(planned, layer, 100, 40, looks).cells
    ends = cells.frame.cells(np.array([[1200.0, 0.0], [1200.0, 900.0]]))
    column, (low, high) = round(float(ends[0, 0])), sorted(ends[:, 1])
    rows = np.arange(int(np.ceil(low)) + 1, int(high))  # within the walls
    beside = {(mark.row, mark.column) for mark in cells.marks}
    free = [row for row in rows.tolist() if (row, column) not in beside]
    assert len(free) > 10
    assert {str(cells.characters[row, column]) for row in free} == {SIGNS[looks.ascii]}
    assert {Ink(cells.inks[row, column]) for row in free} == {Ink.EDGE}


def test_the_legend_names_it_and_only_where_there_is_one(planned, looks, jobs):
    assert "ridge" in plain_text(MapPicture(planned, MapLayer.BED, 100, 40, looks).lines())
    assert "ridge" not in plain_text(MapPicture(jobs.rectangle(), MapLayer.BED, 100, 40, looks).lines())
