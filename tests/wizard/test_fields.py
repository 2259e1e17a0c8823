"""Fields: what is understood, what cannot be read, what is offered; and text that tries to be more than text."""

import re

from tui.line import Line


async def to_readings(hand):
    await hand.press("pagedown", "pagedown", "pagedown")
    await hand.until(lambda: "stations read" in hand.screen)


class TestEcho:
    async def test_says_what_was_understood_in_the_jobs_units(self, wizard):
        async with wizard() as hand:
            await to_readings(hand)
            for typed in ('21-1/2"', "1' 9 1/2", "546,1 mm"):
                await hand.press("ctrl+u")
                await hand.type(typed)
                assert "read as 21 1/2 in" in hand.screen

    async def test_each_key_plans_anew(self, wizard):
        async with wizard() as hand:
            await to_readings(hand)
            before = hand.desk.planner.plan.rough.lowest.value
            await hand.press("ctrl+u")
            await hand.type("23")
            assert hand.desk.planner.plan.rough.lowest.value < before


class TestHalfTyped:
    async def test_the_last_good_plan_stays_and_the_field_says_what_it_cannot_read(self, wizard):
        async with wizard() as hand:
            await to_readings(hand)
            await hand.type(" f")
            assert hand.desk.planner.plan.readings[0].drop == 21.625 * 25.4
            fault = hand.desk.session.fault("readings@A")
            assert fault.startswith("two numbers stand side by side")
            assert fault[:30] in hand.screen
            assert "!Readings" in hand.screen

    async def test_the_text_is_still_there_after_another_step(self, wizard):
        async with wizard() as hand:
            await to_readings(hand)
            await hand.type(" f")
            await hand.press("pagedown", "pageup")
            assert "21 5/8 in f" in hand.line

    async def test_an_outline_that_cannot_be_says_so_and_keeps_the_map(self, wizard):
        async with wizard() as hand:
            await hand.press("pagedown")
            await hand.press("down", "ctrl+u")
            assert "needed" in hand.screen
            assert hand.desk.planner.plan.outline.area > 0


class TestOffers:
    async def test_enter_takes_what_is_offered_and_nothing_else_does(self, wizard):
        async with wizard(None) as hand:
            await hand.until(lambda: "blank job" in hand.screen)
            await hand.press("enter")
            await hand.until_ready()
            assert "Enter takes Shower floor" in hand.screen
            await hand.press("down", "up")
            assert hand.desk.session.job.name == ""
            await hand.press("enter")
            assert hand.desk.session.job.name == "Shower floor"


class TestNeeded:
    async def test_enter_on_an_empty_needed_field_moves_on_and_says_so_under_it(self, wizard):
        async with wizard(None) as hand:
            await hand.until(lambda: "blank job" in hand.screen)
            await hand.press("b")
            await hand.until_ready()
            await hand.press("pagedown")
            await hand.until(lambda: "Side A-B" in hand.line)
            assert "still empty" not in hand.screen
            await hand.press("enter")
            assert "Side B-C" in hand.line
            lines = hand.screen.splitlines()
            at = next(i for i, line in enumerate(lines) if "Side A-B" in line)
            assert "needed: this is still empty" in lines[at + 1]
            await hand.press("up")
            await hand.type("4")
            assert "still empty" not in hand.screen.splitlines()[at + 1]

    async def test_the_last_field_of_a_step_is_told_beside_the_findings(self, wizard):
        async with wizard(None) as hand:
            await hand.until(lambda: "blank job" in hand.screen)
            await hand.press("b")
            await hand.until_ready()
            await hand.press("pagedown")
            await hand.until(lambda: "Side A-B" in hand.line)
            await hand.press("down", "enter")
            await hand.until(lambda: "Drain]" in hand.screen)
            assert "Side B-C: needed, and still empty" in hand.screen


class TestChoices:
    async def test_arrows_space_and_first_letters_choose(self, wizard):
        async with wizard() as hand:
            await hand.press("down")
            assert "< concrete >" in hand.line
            await hand.press("right")
            assert "< wood >" in hand.line
            await hand.press("space")
            assert "< concrete >" in hand.line
            await hand.type("w")
            assert "< wood >" in hand.line
            assert "concrete  [wood]" in hand.screen

    async def test_a_letter_that_no_choice_begins_with_is_told_until_the_next_key(self, wizard):
        async with wizard() as hand:
            await hand.press("down")
            await hand.type("[")
            assert 'No choice begins with "["' in hand.screen
            assert "< concrete >" in hand.line
            await hand.type("w")
            assert "No choice begins" not in hand.screen
            assert "< wood >" in hand.line

    async def test_the_field_in_use_tells_the_keys_that_choose(self, wizard):
        async with wizard() as hand:
            await hand.press("down")
            assert "[concrete]  wood   Left, Right choose" in hand.screen

    async def test_from_what_enter_would_take_right_goes_to_the_next(self, wizard, tmp_path):
        async with wizard(tmp_path / "new.toml") as hand:
            await hand.press("enter")
            assert "? concrete" in hand.line
            await hand.press("right")
            assert "< wood >" in hand.line

    async def test_on_wood_enter_takes_what_mud_on_wood_needs(self, wizard, tmp_path):
        async with wizard(tmp_path / "new.toml") as hand:
            await hand.press("enter", "w", "down", "down", "down")
            assert "Bond coat" not in hand.screen
            assert "? felt" in hand.line
            await hand.press("enter")
            assert "? yes" in hand.line
            await hand.press("enter")
            assert [hand.desk.session.text(f"floor.{key}") for key in ("moisture_barrier", "lath")] == [
                "felt",
                "true",
            ]
            assert "No findings" in hand.screen

    async def test_a_bond_coat_that_nothing_bonds_with_says_so(self, wizard):
        async with wizard() as hand:
            assert hand.desk.session.text("floor.bond_coat") == "true"
            await hand.press("down", "w")
            assert "Not used: a bond coat bonds the bed to" in hand.screen

    async def test_a_day_in_words_is_told_how_to_be_written(self, wizard):
        async with wizard() as hand:
            hand.app.wizard.step.go_to("job.start")
            await hand.type("monday")
            assert "this is no date; write year, month,\n" in re.sub(" *│.*", "", hand.screen)

    async def test_what_is_taken_is_told_in_the_job_s_units(self, wizard):
        async with wizard() as hand:
            assert "(2 in)" in hand.screen
            await hand.press("down", "down", "right")
            assert "(50.8 mm)" in hand.screen
            assert "(2 in)" not in hand.screen

    async def test_other_units_change_no_figure(self, wizard):
        async with wizard() as hand:
            area = hand.desk.planner.plan.outline.area
            await hand.press("down", "down", "right")
            assert "< millimetres >" in hand.line
            assert hand.desk.planner.plan.outline.area == area


class TestStationOfOnesOwn:
    async def test_once_added_it_is_in_use_and_the_key_for_another_is_next(self, wizard):
        async with wizard() as hand:
            await hand.press("pagedown", "pagedown", "pagedown", "plus")
            await hand.press("enter")
            for text in ("20", "11", "21 1/4"):
                await hand.type(text)
                await hand.press("enter")
            assert "A-B 20 off 11" in hand.line
            await hand.press("insert")
            assert "Wall" in hand.line


class TestHarmlessText:
    async def test_markup_and_control_characters_are_shown_as_they_are(self, wizard, tmp_path):
        path = tmp_path / "job.toml"
        path.write_text('format = 1\n[job]\nname = "[red]one[/] \\u001b[31m \\u0007"\n', encoding="utf-8")
        async with wizard(path) as hand:
            await hand.press("down")
            assert "[red]one[/] \\x1b[31m \\x07" in hand.screen
            assert "\x1b" not in hand.screen

    async def test_brackets_can_be_typed(self, wizard):
        async with wizard() as hand:
            await hand.press("ctrl+u")
            await hand.type("a [b] [/c] +")
            assert hand.desk.session.job.name == "a [b] [/c] +"
            assert "a [b] [/c] +" in hand.screen


class TestLines:
    """Notes of several lines are shown, typed and pasted as lines."""

    NOTES = "The key hangs in [the] meter box.\nBring the long level."

    async def test_notes_are_shown_line_by_line_and_a_key_begins_another(self, wizard, tmp_path):
        path = tmp_path / "noted.toml"
        path.write_text(f'format = 1\n[job]\nname = "Noted"\nnotes = """{self.NOTES}"""\n', encoding="utf-8")
        async with wizard(path) as hand:
            await hand.press("up")  # from the field that is open to the one before
            while "Notes" not in hand.line:
                await hand.press("down")
            lines = [line.split("│")[0].strip(" ▼") for line in hand.screen.splitlines()]
            at = next(i for i, line in enumerate(lines) if line.endswith("Notes"))
            assert lines[at + 1 : at + 3] == self.NOTES.split("\n")
            await hand.press("insert")
            await hand.type("Ask Ruth")
            assert hand.desk.session.job.notes == f"{self.NOTES}\nAsk Ruth"
            await hand.press("ctrl+u")
            assert hand.desk.session.job.notes == ""

    def test_pasted_lines_stay_lines_where_they_may(self):
        pasted = "one\r\ntwo\tthree\n"
        assert Line.of("").insert(pasted, keeps_lines=True).text == "one\ntwo three"
        assert Line.of("").insert(pasted).text == "one two three"

    def test_the_cursor_is_in_one_line(self):
        lines, at = Line("ab\ncd\n", 4).lines()
        assert (at, [(line.text, line.cursor) for line in lines]) == (1, [("ab", 2), ("cd", 1), ("", 0)])
        assert Line("ab", 1).broken() == Line("a\nb", 2)


class TestClearing:
    async def test_the_field_in_use_names_the_key_that_clears_it(self, wizard):
        async with wizard() as hand:
            await hand.press("f8", "f8", "f8")
            lines = hand.screen.splitlines()
            at = next(i for i, line in enumerate(lines) if line.startswith("▸"))
            assert "Ctrl+U clears" in lines[at + 1]
            await hand.press("ctrl+u")
            await hand.type("21 1/2")
            assert "21 1/2 " in hand.line
            assert hand.desk.session.fault(hand.app.wizard.focused.row.key) == ""
            await hand.press("enter")
            lines = hand.screen.splitlines()
            assert sum("Ctrl+U clears" in line for line in lines) == 1

    async def test_it_takes_no_line_more(self, wizard):
        async with wizard() as hand:
            await hand.press("f8", "f8", "f8")
            rows = hand.screen.splitlines()
            at = next(i for i, line in enumerate(rows) if line.startswith("▸"))
            assert not rows[at + 2].startswith("  Ctrl")
