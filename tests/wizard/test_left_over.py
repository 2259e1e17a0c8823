"""A text that cannot be used never leaves its readable half in the job, and what stands in its stead is told."""

from __future__ import annotations

import pytest

from engine.job.toml_file import parse_job
from tui.desk import Desk
from tui.groups import Walls
from tui.session import Session
from tui.step_names import StepName, StepState
from tui.steps.all import STEP_CLASSES

ROOM = """format = 1
[job]
name = "a room"
[floor]
kind = "concrete"
[outline]
rectangle = ["48 in", "48 in"]
[[drains]]
kind = "round"
size = "6 in"
at = { "A-B" = "24 in", "D-A" = "24 in" }
drop = "20 in"
[[readings]]
at = "A"
drop = "21 1/4 in"
[bed]
shape = "level-walls"
"""
PLACE = "drains[0].at.first"


@pytest.fixture
def desk():
    return Desk(Session(parse_job(ROOM)))


def typed(desk, key, text, after=""):
    """What stands in a field, then more, a character at a time."""
    for end in range(1, len(text) + 1):
        desk.session.enter(key, after + text[:end])


def needs(desk):
    desk.plan_now()
    return {need.key: str(need.says) for need in desk.findings("").needs}


@pytest.mark.parametrize(("key", "was", "more"), [("readings@A", "21 1/4 in", "21 3/16"), (PLACE, "24 in", "x 4")])
def test_a_field_that_is_left_unreadable_leaves_the_job_as_it_was(desk, key, was, more):
    """After 21 1/4 the keys 2 and 1 read as 1/42 and 1/421, of which nothing stays."""
    before = desk.session.job
    typed(desk, key, more, after=was.removesuffix(" in"))
    assert key not in needs(desk)
    assert desk.session.whole == before
    desk.session.leave()
    assert desk.session.job == before
    assert was in needs(desk)[key]
    assert desk.session.half_typed == [was.removesuffix(" in") + more]


def test_what_was_typed_first_is_not_planned_by_its_half(desk):
    typed(desk, "readings@B", "21 1/421 3")
    desk.session.leave()
    assert [reading.drop.text for reading in desk.session.job.readings] == ["21 1/4 in"]
    assert needs(desk)["readings@B"] == "Reading at B: 21 1/421 3 is not used yet"


def test_an_undone_field_is_no_half(desk):
    typed(desk, "readings@A", "2", after="21 1/4")
    desk.session.undo()
    desk.session.leave()
    assert desk.session.job.readings[0].drop.text == "21 1/4 in"


def test_an_emptied_field_of_a_place_is_told_with_what_is_planned(desk):
    desk.session.enter(PLACE, "")
    desk.session.leave()
    assert needs(desk)[PLACE] == "From first wall: planned with 24 in, not with what its field holds"


def test_half_a_corner_of_a_post_is_needed_not_no_more(desk):
    """Three corners are a post; a fourth that is half there is not forgotten."""
    for i, (x, y) in enumerate([(4, 4), (8, 4), (8, 8), (4, "")]):
        for part, value in (("x", x), ("y", y)):
            typed(desk, f"outline.islands[0].corners[{i}].{part}", str(value))
            desk.session.leave()
    key = "outline.islands[0].corners[3]"
    assert "4 is not used yet" in needs(desk)[f"{key}.x"]
    row = next(row for row in STEP_CLASSES[StepName.OUTLINE].rows(desk.view) if row.key == f"{key}.y")
    assert row.left_out == ""
    assert desk.states[1] is StepState.TROUBLE


def test_what_is_not_used_is_looked_for_once_a_key_not_once_a_step(desk, monkeypatch):
    """A walk of many walls waits whole while one length cannot be read: to tell its texts for each takes long."""
    desk.session.enter("outline.form", "walls")
    desk.session.enter("outline.walls[1].length", "48 x")
    asked = []
    texts = Walls.texts
    monkeypatch.setattr(Walls, "texts", lambda self, job: asked.append(job) or texts(self, job))
    for _ in range(2):
        assert desk.states
        assert desk.session.half_typed == ["48 x"]
        assert "outline.walls[1].length" not in desk.session.left_over
    assert len(asked) == 1


async def test_an_emptied_field_is_told_when_the_job_is_saved(wizard, tmp_path):
    path = tmp_path / "room.toml"
    path.write_text(ROOM, encoding="utf-8")
    async with wizard(path) as hand:
        await hand.press("pagedown", "pagedown")
        hand.app.wizard.step.go_to(PLACE)
        await hand.press("ctrl+u", "f2")
        await hand.until(lambda: "Saved with 24 in, though its field is emptied" in hand.screen)


async def test_a_save_in_the_middle_of_a_field_keeps_no_half(wizard, tmp_path):
    path = tmp_path / "room.toml"
    path.write_text(ROOM, encoding="utf-8")
    async with wizard(path) as hand:
        await hand.press("pagedown", "pagedown", "pagedown")
        await hand.type("21 3/16")
        await hand.press("f2")
        await hand.until(lambda: "without the half-typed" in hand.screen)
        assert parse_job(path.read_text(encoding="utf-8")).readings[0].drop.text == "21 1/4 in"
