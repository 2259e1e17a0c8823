"""ASTM C847: metal lath in sheets of 27 x 96 in, 18 sq ft each; laps of 2 in from memory."""

from __future__ import annotations

import pytest
import shapely

from engine.job.model import RulebookName
from engine.limits.work_rules import work_rules
from engine.quantities import FOOT, INCH
from engine.work.lath import lath, piece_box

LAP = 2 * INCH


def laid(make_plan, a, b, **words):
    site = make_plan(f'rectangle = ["{a} in", "{b} in"]', at=(300, 300), units="mm", **words).work.site
    return lath(site), site


def test_a_sheet_covers_18_square_feet():
    rules = work_rules(RulebookName.US_MODEL)
    assert rules.lath_sheet_width.value * rules.lath_sheet_length.value == pytest.approx(18 * FOOT**2)
    assert "ASTM C847" in rules.lath_sheet_width.source


@pytest.mark.parametrize(
    ("a", "b", "sheets"),
    [
        (96, 27, 1),  # one sheet
        (96, 27.5, 2),  # half an inch more takes a second row
        (96, 52, 2),  # 27 + 27 less a lap of 2
        (190, 27, 2),  # 96 + 96 less a lap
        (96, 77, 3),  # 27 + 25 + 25
        (40, 36, 1),  # two rows of 40 in off one sheet
    ],
)
def test_whole_sheets_by_hand(make_plan, a, b, sheets):
    assert laid(make_plan, a, b)[0].sheets == sheets


@pytest.mark.parametrize(("a", "b"), [(60, 36), (130, 90), (200, 120)])
def test_sheets_cover_the_floor_and_lap(make_plan, a, b):
    found, site = laid(make_plan, a, b)
    pieces = [shapely.Polygon(piece.corners) for piece in found.pieces]
    assert shapely.union_all(pieces).buffer(1e-3).covers(site.floor.polygon)
    assert found.sheets * 18 * FOOT**2 >= site.floor.area
    for piece in found.pieces:
        assert piece.length <= 96 * INCH + 1e-6
        assert piece.width <= 27 * INCH + 1e-6
    for i, one in enumerate(pieces):  # neighbours lie over each other by a lap, no more
        for other in pieces[i + 1 :]:
            shared = shapely.intersection(one, other)
            if shared.area > 1:
                left, low, right, high = shared.bounds
                assert min(right - left, high - low) == pytest.approx(LAP, abs=1e-3)
    by_sheet = [sum(p.length for p in found.pieces if p.sheet == k + 1) for k in range(found.sheets)]
    assert all(0 < used <= 96 * INCH + 1e-6 for used in by_sheet)


def test_a_pieces_place_is_told_along_and_off_the_first_wall(make_plan):
    found, site = laid(make_plan, 60, 36)
    (left, low), (right, high) = piece_box(found.pieces[0], site)
    assert (left, low) == pytest.approx((0, 0), abs=1e-6)
    assert (right - left) * (high - low) == pytest.approx(found.pieces[0].length * found.pieces[0].width)


def test_no_lath_lies_where_an_island_stands(make_plan):
    post = [(-500, 900), (1500, 900), (1500, 2900), (-500, 2900)]
    site = make_plan(
        [(-1500, 0), (2500, 0), (2500, 3800), (-1500, 3800)], at=(500, 450), islands=[post], shape="even-fall"
    ).work.site
    found = lath(site)
    pieces = shapely.union_all([shapely.Polygon(piece.corners) for piece in found.pieces])
    assert pieces.buffer(1e-3).covers(site.floor.polygon)
    assert shapely.intersection(pieces, shapely.Polygon(post)).area < 0.9 * shapely.Polygon(post).area
