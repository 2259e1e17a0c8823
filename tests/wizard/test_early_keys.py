"""Keys pressed while the engine is still being loaded: none is lost, and each is done in its turn."""

import gc
import time
from contextlib import asynccontextmanager

import pytest
from textual.events import Key, Paste

import tui.begin
from tests.wizard.conftest import SAMPLE, Hand
from tui.app import FallmarkApp
from tui.asking import AskingScreen


@pytest.fixture(autouse=True)
def _slow_engine(monkeypatch):
    """The engine takes its time, as on a cold disk."""
    load = tui.begin._load

    def slowly():
        time.sleep(0.2)
        return load()

    monkeypatch.setattr("tui.begin._load", slowly)


@asynccontextmanager
async def _hurried(path, *early):
    """A wizard that is given keys and pasted text before it can act on any; waits until it is ready."""
    app = FallmarkApp(path)
    async with app.run_test(size=(80, 24)) as pilot:
        hand = Hand(app, pilot)
        assert app.wizard.desk is None
        for event in early:
            app.post_message(event)
        await hand.until_ready()
        await hand._until_planned()
        yield hand


def _keys(*names):
    return [Key(name, name if len(name) == 1 else None) for name in names]


class TestOnAFile:
    @pytest.mark.parametrize("key", ["pagedown", "f8"])
    async def test_a_step_key_is_done_once_the_engine_is_there(self, key):
        async with _hurried(str(SAMPLE), *_keys(key)) as hand:
            await hand.until(lambda: "[✓Outline]" in hand.screen)

    async def test_every_other_key_too(self):
        async with _hurried(str(SAMPLE), *_keys("f1")) as hand:
            await hand.until(lambda: "What you call this floor" in hand.screen)

    async def test_keys_and_pasted_text_keep_their_order(self):
        early = [
            *_keys("ctrl+e", "ctrl+u", "O", "x"),
            Paste("bow"),
            *_keys("pagedown", "down", "ctrl+e", "9"),
        ]
        async with _hurried(str(SAMPLE), *early) as hand:
            await hand.until(lambda: "[!Outline]" in hand.screen)
            assert hand.desk.session.text("job.name") == "Oxbow"
            assert hand.app.wizard.focused.text.endswith("9")

    async def test_quitting_waits_for_nothing(self):
        app = FallmarkApp(str(SAMPLE))
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.press("f10")
            assert app.return_code == 0

    @pytest.mark.parametrize(("owner", "start"), [(FallmarkApp, "_begin"), (AskingScreen, "_ask")])
    async def test_what_is_ended_before_it_began_leaves_no_coroutine_behind(self, monkeypatch, owner, start):
        """Such a one warns as it is thrown away, which no caller can catch: here it fails the test."""
        started = getattr(owner, start)

        def ended(self, *arguments):
            started(self, *arguments)
            self.workers.cancel_all()

        monkeypatch.setattr(owner, start, ended)
        app = FallmarkApp(str(SAMPLE))
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            if owner is AskingScreen:
                await Hand(app, pilot).until_ready()
                await pilot.press("f2")
        gc.collect()


class TestOnTheFirstPage:
    async def test_a_letter_and_a_step_key_in_one_burst_choose_and_go_on(self):
        async with _hurried(None, *_keys("w", "f8", "f8")) as hand:
            await hand.until(lambda: "[✓Drain]" in hand.screen)

    async def test_so_do_they_once_the_page_is_there(self):
        app = FallmarkApp()
        async with app.run_test(size=(80, 24)) as pilot:
            hand = Hand(app, pilot)
            await hand.until(lambda: "blank job" in hand.screen)
            for event in _keys("b", "M", "i", "l", "l", "enter", "w", "f8"):
                app.post_message(event)
            await hand.until_ready()
            await hand.until(lambda: "[·Outline]" in hand.screen)
            assert hand.desk.session.text("job.name") == "Mill"
            assert hand.desk.session.text("floor.kind") == "wood"
