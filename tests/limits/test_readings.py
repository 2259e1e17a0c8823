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
    assert found("readings-few", CORNERS[:3])[0].remedy == ("read corner D next: it tells most, and leaves 0 % guessed")
    assert found("readings-few", CORNERS[:1])[0].remedy.startswith("read all 4 corners")


def test_an_odd_reading_is_named_with_how_far_it_is_off(found):
    readings = [*CORNERS[:2], ("C", "23 in"), CORNERS[3], ((24, 24), "22 in"), ((24, 0), "22 in")]
    odd = found("reading-odd", readings)
    assert [finding.says for finding in odd] == ["the reading at corner C is 1 in lower than the floor around it"]
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


def test_one_reading_alone_is_not_odd_by_what_a_bed_makes_up(found):
    assert found("reading-odd", CORNERS[:1]) == []


@pytest.mark.parametrize(
    ("drop", "others", "off"),
    [
        ("222 in", [], "202 in lower"),  # the drain stands at 20 in
        ("222 in", CORNERS[1:2], "200 in lower"),
        ("222 in", CORNERS[1:3], "200 in lower"),
        ("222 in", CORNERS[1:], "200 in lower"),
        ("2 in", CORNERS[1:], "18 in higher"),
        ("38 1/16 in", CORNERS[1:], "16 1/16 in lower"),
    ],
)
def test_of_few_readings_one_that_no_floor_has_is_odd(found, drop, others, off):
    (odd,) = found("reading-odd", [("A", drop), *others])
    assert odd.says == f"the reading at corner A is {off} than the floor around it"
    assert odd.remedy == f"read it again: {drop} is entered"
    assert (odd.level, odd.key, odd.source) == (Level.CAUTION, "readings[0].drop", "common practice, no source")


def test_of_few_readings_a_wild_one_is_told_as_it_was_meant(found):
    drains = 'kind = "round"\nsize = "6 in"\nat = { x = "24 in", y = "24 in" }\ndrop = "40 in"'
    (odd,) = found("reading-odd", [("A", "1600 mm"), ("B", "1060 mm"), ("C", "1061 mm")], drains=drains)
    assert odd.remedy == "read it again: 63 in is entered; 41 23/32 in would fit: two digits swapped"


@pytest.mark.parametrize(
    ("drops", "far"),
    [
        ((22, 22, 36, 36), 48),  # two steps down
        ((22, 22, 22, 37), 48),  # a trench
        ((22, 47, 72, 22), 400),  # a ramp, 1 in 8
    ],
)
def test_what_a_floor_may_have_is_not_odd(found, drops, far):
    readings = [
        ((x * far, y), f"{drop} in") for (x, y), drop in zip(((0, 0), (0.5, 0), (1, 0), (0, 48)), drops, strict=True)
    ]
    assert found("reading-odd", readings, outline=f'rectangle = ["{far} in", "48 in"]') == []


@pytest.mark.parametrize(
    ("place", "off"),
    [
        ((54, 24), None),  # 6 in past the wall: a doorway
        ((54.125, 24), "6 1/8 in"),
        ((480, 24), "432 in"),  # 48 in, with a nought too many
        ((51, -4), None),  # 5 in from the corner
        ((57, -12), "15 in"),  # 9 and 12 past the corner
    ],
)
def test_a_place_far_off_the_floor_is_told(found, place, off):
    odd = found("reading-odd", [*CORNERS, (place, "22 in")])
    assert len(odd) == (0 if off is None else 1)
    for finding in odd:
        assert finding.says == f"reading 5 was taken {off} off the floor, and the rough floor goes by it"
        assert (finding.level, finding.key) == (Level.CAUTION, "readings[4].at")
        assert (finding.x, finding.y) == pytest.approx((place[0] * 25.4, place[1] * 25.4))


def test_a_place_in_the_middle_of_a_large_island_is_off_the_floor(found):
    outline = 'rectangle = ["48 in", "48 in"]\nislands = [{ corners = [[2, 2], [17, 2], [17, 17], [2, 17]] }]'
    odd = found("reading-odd", [*CORNERS, ((9.5, 9.5), "22 in")], outline=outline)
    assert [finding.says for finding in odd] == [
        "reading 5 was taken 7 1/2 in off the floor, and the rough floor goes by it"
    ]
