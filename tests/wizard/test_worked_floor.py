"""What was read before the floor is worked: a field under the reading, gone once it is emptied or the place is read."""

from __future__ import annotations

from tui.desk import Desk
from tui.steps.readings import ReadingsStep

KEY = "readings[0].before"


def keys(desk):
    desk.plan_now()
    return [row.key for row in ReadingsStep.rows(desk.view)]


def test_its_field_stands_under_the_reading_and_goes_with_it():
    desk = Desk.sample()
    session = desk.session
    assert KEY not in keys(desk)
    session.enter(KEY, "21")
    shown = keys(desk)
    drop = shown[shown.index(KEY) - 1]
    assert drop.startswith("readings@")
    session.enter(KEY, "")
    assert KEY in keys(desk)  # while it is in use
    session.leave()
    assert session.job.readings[0].before is None
    assert KEY not in keys(desk)
    session.enter(KEY, "21")
    session.enter(drop, "20 7/8")
    assert session.job.readings[0].before is None
    assert KEY not in keys(desk)
