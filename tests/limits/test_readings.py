"""readings-few and reading-odd, as the findings tell them."""

from __future__ import annotations

import pytest

from engine.limits.findings import Level

CORNERS = [("A", "22 in"), ("B", "22 in"), ("C", "22 in"), ("D", "22 in")]


@pytest.mark.parametrize(
    ("readings", "words"),
    [
        ([], "there are no readings: the rough floor is taken as level, at the depth that the bed needs"),
        (CORNERS[:1], "there is one reading only"),
        ([CORNERS[0], CORNERS[0]], "there is one reading only"),
        (CORNERS[:2], "there are two readings only"),
        ([CORNERS[0], ((24, 24), "22 in"), CORNERS[2]], "all readings stand on one line"),
        (CORNERS[:3], "50 % of the floor lies outside the readings"),
        ([((8, 0), "22 in"), ((8, 48), "22 in"), CORNERS[1], CORNERS[2]], None),
        ([((13, 0), "22 in"), ((13, 48), "22 in"), CORNERS[1], CORNERS[2]], "28 % of the floor"),
        ([((12, 0), "22 in"), ((12, 48), "22 in"), CORNERS[1], CORNERS[2]], None),
        (CORNERS, None),
    ],
)
def test_what_is_taken_on_trust_is_said(found, readings, words):
    few = found("readings-few", readings)
    assert len(few) == (0 if words is None else 1)
    if words:
        assert few[0].says.startswith(words)
        assert (few[0].level, few[0].source) == (Level.CAUTION, "common practice, no source")


def test_the_corner_that_tells_most_is_named_with_what_it_leaves(found):
    assert found("readings-few", CORNERS[:3])[0].remedy == (
        "read corner D next: it tells most, and leaves 0 % guessed"
    )
    assert found("readings-few", CORNERS[:1])[0].remedy.startswith("read all 4 corners")


def test_an_odd_reading_is_named_with_how_far_it_is_off(found):
    readings = [*CORNERS[:2], ("C", "23 in"), CORNERS[3], ((24, 24), "22 in"), ((24, 0), "22 in")]
    odd = found("reading-odd", readings)
    assert [finding.says for finding in odd] == [
        "the reading at corner C is 1 in lower than the floor around it"
    ]
    assert odd[0].remedy == "read it again: 23 in is entered; 22 in would fit: one whole inch off"
    assert odd[0].source.startswith("statistics: that slip explains it; a sound survey")
    assert (odd[0].level, odd[0].key) == (Level.CAUTION, "readings[2].drop")
    assert (odd[0].x, odd[0].y) == pytest.approx((48 * 25.4, 48 * 25.4))


def test_two_readings_of_one_place_that_disagree_are_odd(found):
    assert found("reading-odd", [*CORNERS, ("D", "22 1/8 in")]) == []
    twice = found("reading-odd", [*CORNERS, ("D", "22 3/16 in")])
    assert [finding.says for finding in twice] == ["two readings at corner D differ by 3/16 in"]
    assert twice[0].key == "readings[4].drop"


def test_a_place_read_again_later_checks_the_line(found):
    assert found("line-moved", [*CORNERS, ("A", "22 1/8 in")]) == []
    assert found("reading-odd", [*CORNERS, ("A", "22 3/16 in")]) == []
    again = found("line-moved", [*CORNERS, ("A", "22 3/16 in")])
    assert [finding.says for finding in again] == [
        "the place at corner A was read again and differs by 3/16 in: the level line may have moved in between"
    ]
    assert (again[0].level, again[0].key) == (Level.CAUTION, "readings[4].drop")


def test_one_reading_alone_is_never_odd(found):
    assert found("reading-odd", CORNERS[:1]) == []
