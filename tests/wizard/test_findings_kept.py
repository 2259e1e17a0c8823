"""Which finding the pane shows after a change made, undone or redone; and what a note's own change brings."""

from __future__ import annotations

import pytest

from engine.limits.findings import Level

BASE = """
format = 1
[job]
name = "Base"
[floor]
kind = "concrete"
bond_coat = true
[outline]
rectangle = ["48", "48"]
edges = { "D-A" = "curb" }
[[drains]]
kind = "round"
size = "6"
at = { "A-B" = "24", "D-A" = "24" }
drop = "20"
[[readings]]
at = "A"
drop = "21 1/4"
[[readings]]
at = "B"
drop = "21 3/8"
[[readings]]
at = "C"
drop = "21 5/16"
[[readings]]
at = "D"
drop = "21 1/4"
[bed]
shape = "level-walls"
"""


@pytest.fixture
def base(tmp_path):
    """The file of that floor with more lines of its bed."""

    def written(bed):
        path = tmp_path / "base.toml"
        path.write_text(BASE + bed, encoding="utf-8")
        return path

    return written


async def until_cured(hand):
    await hand.until(lambda: hand.desk.is_planned and hand.desk.curing.is_known(hand.desk.planner.plan))


def level(hand):
    return hand.app.wizard.finding.level


async def test_after_undo_the_stop_that_stands_again_is_shown_and_after_redo_the_gravest(wizard, base):
    async with wizard(base('wall_height = "1/4"\n')) as hand:
        await hand.press("f6")
        await until_cured(hand)
        await hand.press("enter")
        assert level(hand) is Level.NOTE
        await hand.press("f9")
        assert level(hand) is Level.STOP
        assert "1 of 2" in hand.screen
        await hand.press("f12", "escape")
        assert level(hand) is Level.NOTE
        await hand.press("f9")
        assert level(hand) is Level.STOP


async def test_of_several_the_one_whose_change_is_undone_is_shown_again(wizard, base):
    async with wizard(base('wall_height = "1/4"\nleast_depth = "1/2"\n')) as hand:
        await hand.press("f6", "down")
        await until_cured(hand)
        left = hand.app.wizard.finding
        assert left.key == "bed.least_depth"
        await hand.press("enter")
        assert level(hand) is Level.STOP
        await hand.press("down", "f9")
        assert hand.app.wizard.finding == left


async def test_after_a_change_that_brings_a_stop_the_stop_is_shown(wizard, base):
    async with wizard(base('fall = "1 in/ft"\nwall_height = "7/8"\nleast_depth = "1/2"\n')) as hand:
        await hand.press("f6", "down")
        await until_cured(hand)
        assert "1 (would bring: the fall too steep) to go back, leave out the wall height" in hand.screen
        await hand.press("enter")
        assert level(hand) is Level.STOP
        assert "STOP" in hand.screen
