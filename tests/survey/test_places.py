"""Places: each way to say one, and the ones that are none."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from engine.errors import JobError
from engine.job.model import AtCorner, AtOffsets, AtPoint, AtWall, EdgeKind, Typed
from engine.quantities import Units
from engine.survey.outline import FloorOutline
from engine.survey.places import locate, locate_all

KEY = "readings[3].at"


def mm(value):
    return Typed(f"{value} mm", float(value))


def floor(corners):
    names = tuple("ABCDEF"[: len(corners)])
    return FloorOutline(np.array(corners, dtype=float), names, (EdgeKind.WALL,) * len(corners))


RECTANGLE = [(0, 0), (1500, 0), (1500, 900), (0, 900)]
ELL = [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)]
LEANING = [(0, 0), (1500, 0), (1300, 900), (100, 800)]


@pytest.mark.parametrize(
    ("place", "expected"),
    [
        (AtCorner("C"), (1500, 900)),
        (AtWall("A-B", mm(450)), (450, 0)),
        (AtWall("A-B", mm(450), mm(100)), (450, 100)),
        (AtWall("B-C", mm(200), mm(50)), (1450, 200)),
        (AtWall("C-D", mm(200), mm(50)), (1300, 850)),
        (AtWall("D-A", mm(900)), (0, 0)),
        (AtOffsets("A-B", mm(300), "B-C", mm(200)), (1300, 300)),
        (AtOffsets("C-D", mm(300), "D-A", mm(200)), (200, 600)),
        (AtPoint(mm(-5), mm(2000)), (-5, 2000)),
    ],
)
def test_every_form(place, expected):
    assert locate(place, floor(RECTANGLE), KEY) == pytest.approx(np.array(expected, dtype=float))


@pytest.mark.parametrize("corners", [RECTANGLE, RECTANGLE[::-1], ELL, ELL[::-1], LEANING, LEANING[::-1]])
def test_off_and_offsets_go_into_the_floor_either_way_round(corners):
    room = floor(corners)
    for i, wall in enumerate(room.walls):
        along, off = room.length(i) * 0.4, 37.0
        point = locate(AtWall(wall, mm(along), mm(off)), room, KEY)
        assert room.polygon.buffer(1e-9).contains_properly(shapely.Point(point))
        line = room.corners[i]
        assert (point - line) @ room.inward[i] == pytest.approx(off)
        assert (point - line) @ room.directions[i] == pytest.approx(along)


def test_offsets_from_leaning_walls_are_square_to_each():
    room = floor(LEANING)
    point = locate(AtOffsets("B-C", mm(120), "C-D", mm(210)), room, KEY)
    for wall, off in ((1, 120), (2, 210)):
        assert (point - room.corners[wall]) @ room.inward[wall] == pytest.approx(off)


def test_offsets_may_name_walls_that_do_not_meet():
    point = locate(AtOffsets("A-B", mm(100), "D-E", mm(200)), floor(ELL), KEY)
    assert point == pytest.approx([700, 100])


@pytest.mark.parametrize(
    ("place", "key", "words"),
    [
        (AtCorner("E"), KEY, "no such corner"),
        (AtWall("A-C", mm(1)), f"{KEY}.wall", "no such wall"),
        (AtWall("B-A", mm(1)), f"{KEY}.wall", "no such wall"),
        (AtWall("A-B", mm(1500.1)), f"{KEY}.along", "only 1500 mm long"),
        (AtWall("A-B", mm(-1)), f"{KEY}.along", "mm long"),
        (AtOffsets("A-B", mm(1), "C-D", mm(1)), KEY, "side by side"),
        (AtOffsets("A-B", mm(1), "A-B", mm(1)), KEY, "side by side"),
        (AtOffsets("A-B", mm(1), "D-B", mm(1)), f'{KEY}."D-B"', "no such wall"),
    ],
)
def test_refused_in_words(place, key, words):
    with pytest.raises(JobError) as caught:
        locate(place, floor(RECTANGLE), KEY)
    assert caught.value.key == key
    assert words in caught.value.fault
    assert caught.value.remedy


@pytest.mark.parametrize(("units", "words"), [(Units.INCH, "only 59 1/16 in long"), (Units.MM, "only 1500.8 mm long")])
def test_a_wall_too_short_is_told_in_the_units_asked_for_and_never_longer_than_it_is(units, words):
    leaning = floor([(0, 0), (1500.87, 0), (1500.87, 900), (0, 900)])
    with pytest.raises(JobError, match=words):
        locate(AtWall("A-B", mm(1600)), leaning, KEY, units)


def test_noise_past_a_walls_end_is_still_on_it():
    assert locate(AtWall("A-B", mm(1500 + 1e-7)), floor(RECTANGLE), KEY) == pytest.approx([1500, 0])


def test_many_places_at_once():
    places = [AtCorner("B"), AtPoint(mm(3), mm(4)), AtWall("D-A", mm(100))]
    assert locate_all(places, floor(RECTANGLE), "readings[{}].at") == pytest.approx(
        np.array([[1500.0, 0], [3, 4], [0, 800]])
    )
    assert locate_all([], floor(RECTANGLE), "readings[{}].at").shape == (0, 2)
    with pytest.raises(JobError) as caught:
        locate_all([AtCorner("B"), AtCorner("Z")], floor(RECTANGLE), "readings[{}].at")
    assert caught.value.key == "readings[1].at"
