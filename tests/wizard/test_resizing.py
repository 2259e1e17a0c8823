"""The terminal changes its size in the middle of typing: text, cursor and field stay; too small says so."""

import pytest

from tui.terminal import ASCII, LINES


def field(hand):
    used = hand.app.wizard.focused
    return used.row.key, used.line.text, used.line.cursor


async def test_a_half_typed_field_stays_as_it_is_through_every_size(wizard):
    async with wizard(size=(160, 50)) as hand:
        await hand.press("pagedown", "pagedown", "down", *["down"] * 3)
        await hand.type("7 3/")
        await hand.press("left", "left")
        before = field(hand)
        figures = hand.desk.planner.plan
        assert before[1].endswith("7 3/")
        assert before[2] == len(before[1]) - 2
        for size in ((80, 24), (60, 20), (100, 30), (40, 50), (160, 50)):
            await hand.pilot.resize_terminal(*size)
            await hand.pilot.pause()
            assert field(hand) == before
            assert hand.desk.planner.plan is figures
            is_small = size[0] < 80 or size[1] < 24
            assert ("make it 80 x 24" in hand.screen) is is_small
            assert ("✓Floor" in hand.screen) is not is_small
        await hand.type("9")
        assert field(hand)[1] == before[1][:-2] + "9" + before[1][-2:]


@pytest.mark.parametrize("size", [(79, 24), (80, 23), (30, 10), (12, 3)])
async def test_a_start_in_too_small_a_terminal_says_so_and_takes_keys(wizard, size):
    async with wizard(size=size) as hand:
        assert "80 x 24" in hand.screen
        await hand.press("backspace")
        await hand.pilot.resize_terminal(80, 24)
        await hand.pilot.pause()
        assert "too small" not in hand.screen
        assert any(glyphs.here in hand.screen for glyphs in (LINES, ASCII))
        assert hand.desk.session.is_unsaved
