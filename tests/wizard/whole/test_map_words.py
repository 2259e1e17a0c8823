"""The words of the map and of the cut beside a form or a sheet at 80 x 24: none is cut, in either tongue."""

import re
from pathlib import Path

import pytest

from engine.sheets.cut import CutFrom
from tests.wizard.pictures import plain_text
from tui.tongues import Tongue, speak, told
from tui.widgets.looks import Looks
from tui.widgets.map_layers import MapLayer, waits_for
from tui.widgets.map_picture import MapPicture, spot_words
from tui.widgets.side_cells import side_lines

SAMPLES = Path(__file__).parents[3] / "sample_jobs"
BESIDE_FORM, BESIDE_SHEET, OVER_FINDINGS = (38, 19), (33, 19), (38, 13)
ABOUT_A_CUT = re.compile(r"(long|largo)\..*(times|veces|scale|escala)(mayores)?\.")  # its first and its last sentence
NAMES = ["signal_box", "weighbridge", "coopers_yard"]


@pytest.fixture(params=Tongue, ids=lambda tongue: tongue.value)
def tongue(request):
    """Both tongues."""
    speak(request.param)
    return request.param


@pytest.fixture(scope="module", params=NAMES)
def made(plan_of, request):
    """A planned sample."""
    return plan_of(SAMPLES / f"{request.param}.toml")


def bare(text):
    """A text without its spaces."""
    return "".join(text.split())


@pytest.mark.usefixtures("tongue")
@pytest.mark.parametrize("size", [BESIDE_FORM, BESIDE_SHEET, OVER_FINDINGS])
class TestWhole:
    def test_what_each_layer_is_and_what_it_waits_for(self, made, size):
        for layer in MapLayer:
            shown = plain_text(MapPicture(made, layer, *size, Looks()).lines())
            assert bare(told(waits_for(made, layer) or layer.value)) in bare(shown), layer

    def test_the_figures_at_every_spot(self, made, size):
        ring = made.outline.ring
        middles = [(corner + other) / 2 for corner in ring for other in ring]
        for layer in (MapLayer.DEPTH, MapLayer.WATER)[: 2 if made.as_built or len(made.job.drains) > 1 else 1]:
            picture = MapPicture(made, layer, *size, Looks())
            for x, y in {(float(x), float(y)) for x, y in middles}:
                shown = bare(plain_text(picture.lines((x, y))))
                assert any(bare(told(words)) in shown for words in spot_words(made, x, y, layer)), shown

    def test_what_each_cut_is_of(self, made, size):
        for wall in made.outline.walls:
            for start in CutFrom:
                shown = plain_text(side_lines(made, wall, start, size, Looks()))
                assert ABOUT_A_CUT.search(bare(shown)), shown
