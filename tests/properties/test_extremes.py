"""Least and most depth are never beaten by any point of the floor, and are found at their places."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

FINE = 1e-6  # [mm]
SAMPLES = 3000
SOME = settings().max_examples // 7


def check(plan, room):
    points = room.points(SAMPLES)
    depths = plan.bed.height(points) - plan.rough.height(points)
    assert np.isfinite(depths).all()
    least, most = plan.depth.least, plan.depth.most
    assert least.value <= depths.min() + FINE
    assert most.value >= depths.max() - FINE
    places = np.array([[spot.x, spot.y] for spot in (least, most)])
    at_places = plan.bed.height(places) - plan.rough.height(places)
    assert np.abs(at_places - [least.value, most.value]).max() <= FINE
    heights = plan.rough.height(points)
    assert plan.rough.lowest.value <= heights.min() + FINE
    assert plan.rough.highest.value >= heights.max() - FINE


@settings(derandomize=True, deadline=None, max_examples=SOME)
@given(data=st.data())
def test_in_rectangles(make_plan, rooms, data):
    room = data.draw(rooms.rectangles())
    check(room.planned(make_plan), room)


@settings(derandomize=True, deadline=None, max_examples=SOME)
@given(data=st.data())
def test_in_rooms_seen_whole(make_plan, rooms, data):
    room = data.draw(rooms.stars(shape=st.sampled_from(["level-walls", "even-fall"])))
    check(room.planned(make_plan), room)


@settings(derandomize=True, deadline=None, max_examples=SOME)
@given(data=st.data())
def test_in_any_room_with_posts(make_plan, rooms, data):
    room = data.draw(rooms.simple())
    check(room.planned(make_plan), room)


@settings(derandomize=True, deadline=None, max_examples=SOME)
@given(data=st.data())
def test_where_the_drains_height_is_planned_the_least_depth_is_just_kept(make_plan, rooms, data):
    room = data.draw(rooms.simple(most_posts=1) | rooms.rectangles())
    plan = room.planned(make_plan, drop=None, bed="least_depth = 30.0")
    assert abs(plan.depth.least.value - 30.0) <= FINE
    check(plan, room)
