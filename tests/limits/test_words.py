"""Figures are rounded so that they never promise what is not so; places are told as a person finds them."""

from __future__ import annotations

import pytest

from engine.job.model import RulebookName
from engine.limits import words
from engine.limits.rulebook import rulebook
from engine.plan import plan
from engine.quantities import Units
from engine.survey.place_words import place_words

INCH, MM = Units.INCH, Units.MM


@pytest.mark.parametrize(
    ("shown", "expected"),
    [
        (words.length_under(31.74, INCH), "1 7/32 in"),
        (words.length_under(31.75, INCH), "1 1/4 in"),
        (words.length_under(31.79, MM), "31.7 mm"),
        (words.length_over(50.81, INCH), "2 1/32 in"),
        (words.length_over(50.8, INCH), "2 in"),
        (words.length_over(50.81, MM), "50.9 mm"),
        (words.worked(0.01, INCH), "1/16 in"),
        (words.worked(7.01, MM), "8 mm"),
        (words.fall_under(1 / 48 - 1e-7, INCH), "0.249 in/ft"),
        (words.fall_under(1 / 48, INCH), "1/4 in/ft"),
        (words.fall_under(1 / 48, MM), "2.08 %"),
        (words.fall_over(1 / 24 + 1e-7, INCH), "0.501 in/ft"),
        (words.fall_over(1 / 48, MM), "2.09 %"),
        (words.fall_over(15 / 16 / 12, INCH), "15/16 in/ft"),
        (words.fall_over(0.9374 / 12, INCH), "15/16 in/ft"),
        (words.fall_over(0.9376 / 12, INCH), "0.938 in/ft"),
        (words.fall_under(1 / 16 / 12, INCH), "1/16 in/ft"),
        (words.fall_under(0.0626 / 12, INCH), "1/16 in/ft"),
        (words.area_under(6.2499 * 304.8**2, INCH), "6.24 sq ft"),
        (words.area_more(0.0001 * 304.8**2, INCH), "0.01 sq ft"),
        (words.area_under(0.5799e6, MM), "0.57 m2"),
    ],
)
def test_a_figure_is_rounded_toward_the_side_it_breaks_a_limit_on(shown, expected):
    assert shown == expected


def test_a_limit_shows_what_its_source_writes_where_the_job_measures_otherwise():
    book, ncc = rulebook(RulebookName.US_MODEL), rulebook(RulebookName.AU_NCC)
    assert words.limit_fall(book.least_fall, INCH) == "1/4 in/ft"
    assert words.limit_fall(book.least_fall, MM) == "2.08 % (1/4 in/ft)"
    assert words.limit_fall(ncc.least_fall, MM) == "1.25 % (1:80)"


@pytest.mark.parametrize(
    ("x", "y", "expected"),
    [
        (0, 0, "at corner A"),
        (48, 48.01, "at corner C"),
        (18, 0, "on A-B, 18 in from A"),
        (48, 10.5, "on B-C, 10 1/2 in from B"),
        (40, 12, "8 in from B-C and 12 in from A-B"),
        (9, 30, "9 in from D-A and 18 in from C-D"),
        (-6, 70, "at x -6 in, y 70 in"),
    ],
)
def test_a_place_is_a_corner_or_along_a_wall_or_off_two_walls(make, x, y, expected):
    floor = plan(make()).outline
    assert place_words(x * 25.4, y * 25.4, floor, INCH) == expected


def test_a_place_between_walls_that_run_side_by_side_is_told_along_and_off_one(make):
    job = make(readings=[], outline='corners = [["0", "0"], ["100", "0"], ["50", "7"]]', drains=None)
    told = place_words(50 * 25.4, 2 * 25.4, plan(job).outline, INCH)
    assert told == "on A-B, 50 in from A, 2 in off it"
