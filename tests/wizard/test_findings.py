"""Findings: counted, told in words, and cleared at a key that undo takes back."""

import pytest

ODD = """
format = 1
[job]
name = "L-shaped"
[floor]
kind = "wood"
[outline]
corners = [["0", "0"], ["60", "0"], ["60", "36"], ["30", "36"], ["30", "48"], ["0", "48"]]
[[drains]]
kind = "round"
size = "6 in"
at = { "A-B" = "18 in", "F-A" = "20 in" }
drop = "20 1/4 in"
[[readings]]
at = "A"
drop = "21 1/16"
[[readings]]
at = "B"
drop = "21 1/8"
[[readings]]
at = "C"
drop = "25"
[[readings]]
at = "D"
drop = "21 1/8"
[[readings]]
at = "E"
drop = "21 1/8"
[[readings]]
at = "F"
drop = "21 1/4"
[[readings]]
at = { wall = "A-B", along = "30" }
drop = "21"
[bed]
shape = "even-fall"
"""


@pytest.fixture
def odd(tmp_path):
    path = tmp_path / "odd.toml"
    path.write_text(ODD, encoding="utf-8")
    return path


class TestFindings:
    async def test_the_first_is_always_there_with_the_count(self, wizard, odd):
        async with wizard(odd) as hand:
            lines = hand.screen.splitlines()
            assert lines[-4].startswith("4 stops, 1 caution")
            assert lines[-3].startswith("STOP The bed is")

    async def test_enter_makes_the_change_and_undo_takes_it_back(self, wizard, odd):
        async with wizard(odd) as hand:
            before = hand.desk.session.job
            await hand.press("f6")
            assert "Enter makes this change" in hand.screen
            await hand.press("enter")
            assert hand.desk.session.job != before
            assert "Flange drop is now" in hand.screen
            assert "3 stops" in hand.screen
            await hand.press("f9")
            assert hand.desk.session.job == before

    async def test_escape_goes_back_to_the_field(self, wizard, odd):
        async with wizard(odd) as hand:
            await hand.press("down", "f6", "escape")
            assert "Rough floor" in hand.line

    async def test_an_odd_reading_is_marked_at_its_row(self, wizard, odd):
        async with wizard(odd) as hand:
            await hand.press("pagedown", "pagedown", "pagedown")
            rows = hand.screen.splitlines()
            at = next(i for i, row in enumerate(rows) if row.startswith("  C  "))
            assert "The reading at corner C is" in rows[at + 1]

    async def test_what_is_needed_is_told_and_enter_goes_there(self, wizard, tmp_path):
        path = tmp_path / "few.toml"
        path.write_text(
            'format = 1\n[floor]\nkind = "wood"\n[outline]\nrectangle = ["60", "36"]\n', encoding="utf-8"
        )
        async with wizard(path) as hand:
            assert "2 stops, 2 still needed" in hand.screen
            await hand.press("f6", "down", "down")
            assert "NEEDED" in hand.screen
            await hand.press("enter")
            assert "[·Drain]" in hand.screen
