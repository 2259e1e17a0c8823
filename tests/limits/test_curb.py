"""curb-low and curb-high: the finished curb over the finished drain, and the threshold over the finished floor."""

from __future__ import annotations

import pytest

from engine.limits.findings import Level

CURBED = 'rectangle = ["48 in", "48 in"]\nedges = { "D-A" = "curb" }'
EVEN = 'shape = "even-fall"'
# Over the flange, 20 in under the line, come 1/8 in of setting and 5/16 in of tile: the finished drain is 19 9/16 in
# under the line.


def _curb(found, rule, drop, **tables):
    return found(rule, **{"outline": CURBED, "bed": EVEN, "curb": f'drop = "{drop}"', **tables})


@pytest.mark.parametrize(
    ("drop", "low", "high"),
    [
        ("17 9/16 in", False, False),
        ("17 19/32 in", True, False),
        ("10 9/16 in", False, False),
        ("10 17/32 in", False, True),
    ],
)
def test_two_and_nine_inches_are_the_ends(found, drop, low, high):
    assert bool(_curb(found, "curb-low", drop)) is low
    assert bool(_curb(found, "curb-high", drop)) is high


def test_a_low_curb_is_told_how_much_higher(found):
    low = _curb(found, "curb-low", "18 in")[0]
    assert low.level is Level.STOP
    assert low.says == "the curb at D-A: its top is 1 9/16 in above the finished drain, less than 2 in"
    assert low.remedy == "build the curb 7/16 in higher"
    assert low.change == (("curb.drop", "17 9/16 in"),)
    assert (low.x, low.y) == pytest.approx((0.0, 24 * 25.4))


def test_a_curb_under_the_drain_is_told_so(found):
    assert "5/16 in below the finished drain" in _curb(found, "curb-low", "19 7/8 in")[0].says


def test_a_high_curb_is_told_how_much_lower(found):
    high = _curb(found, "curb-high", "10 in")[0]
    assert high.says == "the curb at D-A: its top is 9 9/16 in above the finished drain, more than 9 in"
    assert high.remedy == "make the curb 9/16 in lower"


def test_a_bed_over_a_liner_raises_the_finished_drain(found):
    build = 'waterproofing = "between-beds"\nupper_bed = "2 in"'
    assert _curb(found, "curb-low", "15 9/16 in", build=build) == []
    assert _curb(found, "curb-low", "15 19/32 in", build=build)


def test_nothing_is_said_where_the_curb_or_the_line_is_not_known(found):
    assert _curb(found, "curb-low", "19 in", outline='rectangle = ["48 in", "48 in"]') == []
    assert found("curb-low", outline=CURBED, bed=EVEN) == []
    unset = 'kind = "round"\nsize = "6 in"\nat = { x = "24 in", y = "24 in" }'
    assert _curb(found, "curb-low", "19 in", readings=[], drains=unset) == []


def test_other_books_have_no_curb_heights(found):
    assert _curb(found, "curb-low", "19 in", job='name = "x"\nrulebook = "nz-e3"') == []


@pytest.mark.parametrize(("rise", "high"), [("1/2 in", False), ("17/32 in", True)])
def test_an_accessible_threshold_is_half_an_inch_over_the_floor_beside_it(found, rise, high):
    # Even fall: beside the curb the floor is lowest square off the drain, 21 in from the flange: 21 / 48 in up.
    drop = {"1/2 in": 19.5625 - 0.4375 - 0.5, "17/32 in": 19.5625 - 0.4375 - 0.53125}[rise]
    accessible = 'name = "x"\nrulebook = "us-accessible"'
    findings = _curb(found, "curb-high", f"{drop} in", job=accessible)
    assert bool(findings) is high
    assert _curb(found, "curb-low", f"{drop} in", job=accessible) == []
    if high:
        assert findings[0].level is Level.STOP
        assert "17/32 in above the finished floor beside it, more than 1/2 in" in findings[0].says
