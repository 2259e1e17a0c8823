"""The table of keys: two keys an action, none that terminals confuse, at most seven in the footer."""

import pytest
from textual.events import Key, Paste

from tui.dialogs.tell import says
from tui.keys import KEY_ACTIONS, Where, footer_actions, key_name
from tui.widgets.map_layers import MapLayer

CONFUSED = {"ctrl+j", "ctrl+m", "ctrl+h", "ctrl+at", "ctrl+i"}


class TestTable:
    def test_every_action_has_two_keys(self):
        assert all(len(action.keys) == 2 for action in KEY_ACTIONS)

    def test_no_key_means_two_things(self):
        keys = [key for action in KEY_ACTIONS if action.action for key in action.keys]
        assert len(keys) == len(set(keys))

    def test_no_key_needs_alt_or_is_taken_for_another(self):
        keys = {key for action in KEY_ACTIONS for key in action.keys}
        assert not keys & CONFUSED
        assert not any("alt" in key for key in keys)

    @pytest.mark.parametrize("where", list(Where))
    def test_the_footer_has_at_most_seven_and_fits_eighty_columns(self, where):
        actions = footer_actions(where)
        assert len(actions) <= 7
        assert sum(len(f" {key_name(action.keys[0])} {action.short} ") for action in actions) <= 80

    @pytest.mark.parametrize(
        ("key", "name"),
        [("f1", "F1"), ("ctrl+x", "Ctrl+X"), ("shift+f2", "Shift+F2"), ("pagedown", "PgDn"), ("+", "+")],
    )
    def test_keys_are_named_as_they_are_printed(self, key, name):
        assert key_name(key) == name


class TestReach:
    @pytest.mark.parametrize("key", ["pagedown", "f8"])
    async def test_either_key_works_while_a_field_is_in_use(self, wizard, key):
        async with wizard() as hand:
            await hand.press(key)
            assert "[✓Outline]" in hand.screen

    async def test_every_step_can_be_visited_round_and_round(self, wizard):
        async with wizard(None) as hand:
            await hand.until(lambda: "blank job" in hand.screen)
            await hand.press("b")
            await hand.until_ready()
            await hand.press(*["pagedown"] * 7)
            assert "[·Floor]" in hand.screen
            await hand.press("f7")
            assert "[·As built]" in hand.screen

    async def test_the_help_page_lists_every_action(self, wizard):
        async with wizard(size=(80, 32)) as hand:
            await hand.press("f1", "f1")
            await hand.until(lambda: "All keys" in hand.screen)
            for action in KEY_ACTIONS:
                assert says(action) in hand.screen
            notes = hand.screen.splitlines()
            after = next(i for i, row in enumerate(notes) if "Each action has two keys" in row)
            assert notes[after + 1].split("┃")[1].startswith(" of them")

    async def test_what_is_typed_while_a_step_is_made_is_not_lost(self, wizard):
        async with wizard() as hand:
            await hand.press("pagedown", "pagedown")
            for key, character in (("pagedown", None), ("2", "2"), ("2", "2")):
                hand.app.post_message(Key(key, character))
            await hand.until(lambda: "Readings]" in hand.screen)
            await hand.until(lambda: "22" in hand.line)


class TestMap:
    async def test_the_cursor_tells_a_spots_figures_and_escape_steps_out(self, wizard):
        async with wizard() as hand:
            await hand.press("f5", "right", "up")
            assert "mud" in hand.screen
            await hand.press("escape")
            assert "Job name" in hand.line

    async def test_the_layer_key_goes_round_and_shows_the_cut(self, wizard):
        async with wizard() as hand:
            first = hand.screen
            await hand.press(*["f4"] * len(MapLayer))
            assert "Cut from" in hand.screen
            await hand.press("f4")
            assert hand.screen == first


class TestTypingAhead:
    async def test_readings_and_enters_in_one_burst_land_each_in_its_station(self, wizard):
        called = ["22 1/8", "22 2/8", "22 3/8"]
        async with wizard() as hand:
            await hand.press("pagedown", "pagedown", "pagedown")
            form = hand.app.wizard.step.form
            first = form.fields.index(form.current)
            keys = [field.row.key for field in form.fields[first : first + len(called)]]
            for text in called:
                for key in ("ctrl+e", "ctrl+u", *text, "enter"):
                    name = {" ": "space", "/": "slash"}.get(key, key)
                    hand.app.post_message(Key(name, key if len(key) == 1 else None))
            await hand.until(lambda: not hand.app.holds_keys and form.current.row.key not in keys)
            assert [hand.desk.session.text(key) for key in keys] == called

    async def test_steps_texts_and_enters_in_one_burst_land_where_they_were_meant(self, wizard):
        burst = [
            "pagedown",
            *"4ft",
            "enter",
            *"3ft",
            "enter",
            "pagedown",
            *["enter"] * 5,
            "pagedown",
            *"21",
            "enter",
        ]
        async with wizard(None) as hand:
            await hand.until(lambda: "blank job" in hand.screen)
            await hand.press("b")
            await hand.until_ready()
            for key in burst:
                hand.app.post_message(Key(key, key if len(key) == 1 else None))
            await hand.until(lambda: not hand.app.holds_keys and "Readings]" in hand.screen)
            text = hand.desk.session.text
            assert [text(f"outline.rectangle[{i}]") for i in (0, 1)] == ["4ft", "3ft"]
            assert text("drains[0].size") == "6 in"
            assert [reading.drop.text for reading in hand.desk.session.job.readings] == ["21"]

    @pytest.mark.parametrize("pasted", ["40 1/2\n", "40 1/2\r\n", "\t40 1/2", "40\n1/2"])
    async def test_pasted_line_ends_are_spaces(self, wizard, pasted):
        async with wizard() as hand:
            await hand.press("pagedown", "down", "ctrl+e", "ctrl+u")
            key = hand.app.wizard.focused.row.key
            hand.app.post_message(Paste(pasted))
            await hand.until(lambda: hand.desk.session.text(key) == "40 1/2")

    async def test_a_very_long_pasted_text_is_kept_and_told_and_keeps_the_plan(self, wizard):
        text = "1 [b]in[/b] " * 2000
        async with wizard() as hand:
            await hand.press("pagedown", "down", "ctrl+e", "ctrl+u")
            key, job = hand.app.wizard.focused.row.key, hand.desk.session.job
            hand.app.post_message(Paste(text))
            await hand.until(lambda: hand.desk.session.text(key) == text)
            assert hand.desk.planner.plan.job == hand.desk.session.job == job
            assert hand.desk.session.half_typed
            await hand.press("f9")
            assert hand.desk.session.text(key) != text
