"""What is typed while a page of words is open goes to the field under it, every character, in its order."""

from textual.events import Key, Paste

from engine.errors import FileError
from tui.filing import Desk


def _burst(hand, *events):
    for event in events:
        hand.app.post_message(event)


def _typed(text):
    names = {" ": "space", "/": "slash"}
    return [Key(names.get(character, character), character) for character in text]


async def _at_an_empty_drop(hand):
    await hand.press("f8", "f8", "f8")
    await hand.press("ctrl+e", "ctrl+u")


async def _explain(hand):
    await hand.press("f1")
    await hand.until(lambda: "Esc closes" in hand.screen)


class TestAnExplanation:
    async def test_typing_closes_it_and_goes_into_the_field(self, wizard):
        async with wizard() as hand:
            await _at_an_empty_drop(hand)
            await _explain(hand)
            await hand.type("21 5/8")
            await hand.until(lambda: "Esc closes" not in hand.screen)
            assert "21 5/8" in hand.line

    async def test_keys_that_come_in_one_burst_with_enter_are_all_done(self, wizard):
        async with wizard() as hand:
            await _at_an_empty_drop(hand)
            first = hand.app.wizard.focused.row.key
            await _explain(hand)
            _burst(hand, *_typed("21 5/8"), Key("enter", "\r"), Key("ctrl+u", None), *_typed("22"))
            await hand.until(lambda: "22" in hand.line and not hand.app.holds_keys)
            assert hand.desk.session.text(first) == "21 5/8"
            assert hand.app.wizard.focused.row.key != first

    async def test_pasted_text_too(self, wizard):
        async with wizard() as hand:
            await _at_an_empty_drop(hand)
            await _explain(hand)
            _burst(hand, Paste("21 1/2"))
            await hand.until(lambda: "21 1/2" in hand.line)

    async def test_the_page_of_all_keys_too(self, wizard):
        async with wizard() as hand:
            await _at_an_empty_drop(hand)
            await _explain(hand)
            await hand.press("f1")
            await hand.until(lambda: "All keys" in hand.screen)
            await hand.type("20")
            await hand.until(lambda: "All keys" not in hand.screen)
            assert "20" in hand.line

    async def test_a_space_leafs_as_long_as_nothing_is_typed(self, wizard):
        async with wizard() as hand:
            await _explain(hand)
            text = hand.desk.session.text("job.name")
            await hand.press("space", "escape")
            assert hand.desk.session.text("job.name") == text

    async def test_two_enters_in_one_burst_close_it_and_take_the_field(self, wizard):
        async with wizard() as hand:
            await _explain(hand)
            _burst(hand, Key("enter", "\r"), Key("enter", "\r"))
            await hand.until(lambda: hand.app.wizard.focused.row.key != "job.name")


class TestAFault:
    async def test_what_is_typed_over_it_is_kept_until_it_is_closed(self, wizard, monkeypatch):
        def full(_, path):
            raise FileError(str(path), "the disk is full", "free some of it")

        monkeypatch.setattr(Desk, "save", full)
        async with wizard() as hand:
            await _at_an_empty_drop(hand)
            await hand.press("f2")
            await hand.until(lambda: "The job is not saved" in hand.screen)
            await hand.type("21 5/8")
            assert "The job is not saved" in hand.screen
            await hand.press("escape")
            await hand.until(lambda: "The job is not saved" not in hand.screen)
            await hand.until(lambda: "21 5/8" in hand.line)
