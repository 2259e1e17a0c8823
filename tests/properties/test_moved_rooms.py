"""Turning, mirroring and shifting a room, and walking its corners otherwise, change no figure."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

SAME = 1e-6  # [mm]
SAME_VOLUME = 1e-6  # [-]
SAME_SUM = 1e-4  # [-] round posts the volume is summed over triangles, which lie otherwise in a moved room
SAME_FALL = 1e-9  # [-]
SHIFT = st.integers(-5000, 5000)  # [mm]
QUIET = settings(derandomize=True, deadline=None, max_examples=settings().max_examples // 20)


def moved(room, move):
    """The room with every place moved."""
    places = [place for place, _ in room.words["readings"]]
    readings = [(tuple(move(np.array([p]))[0]), d) for p, (_, d) in zip(places, room.words["readings"], strict=True)]
    at = tuple(move(np.array([room.words["at"]]))[0])
    words = {**room.words, "at": at, "readings": readings}
    return dataclasses.replace(
        room, corners=move(room.corners), words=words, islands=[move(island) for island in room.islands]
    )


def figures(plan):
    """All lengths of a plan that do not name a place."""
    bed, depth, rough = plan.bed, plan.depth, plan.rough
    return [
        *(plan.outline.perimeter, bed.wall_height, bed.longest_run, depth.least.value, depth.most.value),
        *(rough.highest.value, rough.lowest.value, plan.drains[0].above_rough, plan.drains[0].drop),
    ]


def same(before, after, *, with_posts):
    assert figures(after) == pytest.approx(figures(before), abs=SAME)
    assert after.bed.least_fall == pytest.approx(before.bed.least_fall, rel=SAME_FALL)
    assert after.bed.most_fall == pytest.approx(before.bed.most_fall, rel=SAME_FALL)
    assert after.outline.area == pytest.approx(before.outline.area, rel=SAME_VOLUME)
    assert after.rough.guessed == pytest.approx(before.rough.guessed, abs=SAME_VOLUME)
    volume = SAME_SUM if with_posts else SAME_VOLUME
    assert after.depth.volume == pytest.approx(before.depth.volume, rel=volume, abs=before.outline.area * volume)
    assert {finding.rule for finding in after.findings} == {finding.rule for finding in before.findings}


def mark_heights(plan):
    return [(mark.above_drain, mark.above_rough, mark.below_line) for mark in plan.marks]


def same_marks(before, after):
    """Marks at the same places; a height at a step's edge may round to either side of it."""
    assert [mark.at for mark in after.marks] == [mark.at for mark in before.marks]
    for one, other in zip(mark_heights(before), mark_heights(after), strict=True):
        assert other == pytest.approx(one, abs=SAME)


@pytest.mark.parametrize("kind", ["rectangles", "stars", "simple"])
@QUIET
@given(
    data=st.data(),
    degrees=st.floats(0, 360),
)
def test_turned_and_shifted(make_plan, rooms, kind, data, degrees):
    room = data.draw(getattr(rooms, kind)())
    turn, shift = np.radians(degrees), data.draw(st.tuples(SHIFT, SHIFT))
    matrix = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    before = room.planned(make_plan)
    after = moved(room, lambda places: np.asarray(places) @ matrix + shift).planned(make_plan)
    same(before, after, with_posts=bool(room.islands))
    same_marks(before, after)


@pytest.mark.parametrize("kind", ["rectangles", "stars", "simple"])
@QUIET
@given(data=st.data())
def test_mirrored(make_plan, rooms, kind, data):
    room = data.draw(getattr(rooms, kind)())
    before = room.planned(make_plan)
    after = moved(room, lambda places: np.asarray(places) * [-1.0, 1.0] + 0.0).planned(make_plan)
    same(before, after, with_posts=bool(room.islands))
    same_marks(before, after)


@pytest.mark.parametrize("kind", ["rectangles", "stars", "simple"])
@QUIET
@given(data=st.data(), start=st.integers(0, 9))
def test_walked_the_other_way_round_from_any_corner(make_plan, rooms, kind, data, start):
    """A square flange lies along the first wall, so its walk may only change in a room of right angles."""
    room = data.draw(getattr(rooms, kind)())
    assume(room.words["kind"] == "round" or kind == "rectangles")
    before = room.planned(make_plan)
    other = dataclasses.replace(
        room,
        corners=np.roll(room.corners, start, axis=0)[::-1],
        islands=[np.asarray(island)[::-1] for island in room.islands],
    )
    after = other.planned(make_plan)
    same(before, after, with_posts=bool(room.islands))
    assert corner_marks(after) == pytest.approx(corner_marks(before), abs=SAME)


def corner_marks(plan):
    """The marks at corners by their places."""
    marks = [mark for mark in plan.marks if mark.along is None]
    rows = [(mark.x, mark.y, mark.above_drain, mark.above_rough, mark.below_line) for mark in marks]
    return np.array(sorted(rows))
