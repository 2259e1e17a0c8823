"""Rounding for print: the same figure whichever way float noise fell."""

from __future__ import annotations

import math

import pytest

from engine.sheets.figures import length, ratio, rounded


@pytest.mark.parametrize("noise", [-1e-11, -1e-13, 0.0, 1e-13, 1e-11])
def test_a_tie_is_not_decided_by_noise(noise):
    sixteenth = 25.4 / 16  # 1.5875 mm exactly
    assert length(sixteenth + noise) == 1.588
    assert length(-sixteenth + noise) == -1.588


def test_zero_has_no_sign():
    assert math.copysign(1, length(-0.0)) == 1
    assert math.copysign(1, length(-0.0004)) == 1


def test_falls_keep_six_decimals():
    assert ratio(1 / 48) == 0.020833
    assert ratio(0.02) == 0.02


def test_a_figure_just_under_a_tie_is_not_lifted_over_it():
    assert length(1.58749) == 1.587
    assert ratio(0.0208334) == 0.020833


def test_large_figures_keep_their_whole_part():
    assert rounded(54_663_681.4999, 0) == 54_663_681
