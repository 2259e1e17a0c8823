"""What is told of a place on the map, in the job's units."""

from __future__ import annotations

import numpy as np
import pytest

from engine.quantities import Units
from tui.widgets.map_layers import felt_fall
from tui.widgets.map_picture import spot_words
from tui.widgets.map_spot import nearest_walls, spot_figures

INCH = 25.4
FALL = 1 / 48


class TestSpot:
    def test_figures_in_closed_form(self, jobs):
        figures = spot_figures(jobs.rectangle("even-fall"), 42 * INCH, 18 * INCH)
        assert figures.bed == pytest.approx(FALL * (24 - 3) * INCH)
        assert figures.fall == pytest.approx(FALL, rel=1e-4)
        assert figures.depth == pytest.approx(figures.bed - figures.rough)
        assert not figures.is_guessed

    def test_words(self, jobs):
        figures = spot_figures(jobs.rectangle("even-fall"), 42 * INCH, 6 * INCH)
        assert figures.words().startswith("6 in from A-B, 18 in from B-C: mud ")
        assert "over the drain" in figures.words()
        assert "slopes 1/4 in/ft" in figures.words()

    def test_millimetres_and_percent(self, jobs):
        words = spot_figures(jobs.rectangle("even-fall", "mm"), 1000.0, 150.0).words()
        assert words.startswith("150 mm from A-B, 524 mm from B-C: mud ")
        assert "slopes 2.08 %" in words

    def test_a_fall_is_told_to_no_more_digits_than_a_person_writes(self):
        assert felt_fall(0.026978, Units.MM) == "2.7 %"
        assert felt_fall(0.033404, Units.INCH) == "0.401 in/ft"
        assert felt_fall(0.4 / 12 + 1e-6, Units.INCH) == "0.4 in/ft"

    def test_on_the_flange_and_off_the_floor(self, jobs):
        assert "flange" in spot_figures(jobs.rectangle(), 18 * INCH, 18 * INCH).words()
        assert "off the floor" in spot_figures(jobs.rectangle(), -50.0, 100.0).words()

    def test_where_rows_are_few_it_is_told_without_the_rough_floor_to_its_end(self, jobs):
        whole, short = spot_words(jobs.rectangle(), 42 * INCH, 6 * INCH)
        assert "rough floor" in whole
        assert "rough floor" not in short
        assert short.endswith(whole[whole.index(", slopes ") :])

    def test_a_place_no_reading_surrounds_is_called_guessed(self, jobs):
        assert "guessed" in spot_figures(jobs.ell(), 400.0, 1500.0).words()

    def test_walls_past_a_corner_are_not_measured_from(self, jobs):
        # In the short leg of the L, 40, 30 in: D-E (x = 36 in) does not reach down here, though its line is nearest.
        walls = nearest_walls(jobs.ell().outline, np.array([40 * INCH, 30 * INCH]))
        assert [(w.wall, round(w.distance / INCH, 6)) for w in walls] == [("C-D", 6.0), ("B-C", 32.0)]
