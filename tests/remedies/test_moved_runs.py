"""Runs from a flange at many places, by hand."""

from __future__ import annotations

import numpy as np
import pytest


@pytest.mark.parametrize("kind", ["round", "square"])
def test_to_the_flange_s_middle_a_run_is_all_rim(make_plan, kind):
    flange = make_plan("rectangle = [1000, 1000]", at=(500, 500), size=100, drop=500, kind=kind).drains[0].flange
    assert flange.runs_off(np.array([[0.0, 0.0], [120.0, 0.0]])) == pytest.approx([-50, 70])
