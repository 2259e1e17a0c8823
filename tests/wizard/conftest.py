"""A hand on the keyboard: the wizard driven by keys alone, and what stands on its screen as plain text."""

from __future__ import annotations

import asyncio
from contextlib import asynccontextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from textual._context import visible_screen_stack
from textual._wait import wait_for_idle
from textual.app import ScreenStackError
from textual.css.stylesheet import Stylesheet
from textual.events import Key
from textual.geometry import Region
from textual.screen import Screen
from textual.strip import Strip

from tui.app import FallmarkApp
from tui.tongues import Tongue, speak
from tui.widgets.bars import Divider

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Callable
    from contextlib import AbstractAsyncContextManager

    from textual.pilot import Pilot

    from tui.desk import Desk

SAMPLE = Path(__file__).parents[2] / "tui" / "samples" / "ferry_street.toml"
_NAMES = {
    " ": "space",
    "/": "slash",
    "'": "apostrophe",
    '"': "quotation_mark",
    ".": "full_stop",
    ",": "comma",
}
_NAMES |= {
    "-": "minus",
    "+": "plus",
    "[": "left_square_bracket",
    "]": "right_square_bracket",
    "(": "left_parenthesis",
}
_CHARACTERS = {name: character for character, name in _NAMES.items()}
_PATIENCE = 20.0  # [s]
_LOOKED_FOR = 0.01  # [s] how long a pause looks whether the wizard still works; the framework's own is twice that
_IDLE = _LOOKED_FOR / 20  # [s] of the processor's time in it, at most: the framework's own share


class Hand:
    """Presses keys, counts them, and reads the screen."""

    def __init__(self, app: FallmarkApp, pilot: Pilot[None]) -> None:
        self.app = app
        self.pilot = pilot
        self.count = 0

    async def press(self, *keys: str) -> None:
        """Presses keys by name, one after the other."""
        for key in keys:
            character = _CHARACTERS.get(key, key if len(key) == 1 else None)
            self.app.post_message(Key(_NAMES.get(key, key), character))
            await self.pause()
        self.count += len(keys)
        await self._until_planned()

    async def _until_planned(self) -> None:
        desk = self.app.wizard.desk
        if desk is not None and not self._is_planned(desk):
            await self.until(lambda: self._is_planned(desk))

    def _is_planned(self, desk: Desk) -> bool:
        return desk.is_planned and not self.app.holds_keys

    async def type(self, text: str) -> None:
        """Types a text, a key a character, as fast as a terminal hands it over when it is pasted."""
        for character in text:
            self.app.post_message(Key(_NAMES.get(character, character), character))
            self.count += 1
        await self.pause()
        await self._until_planned()

    async def pause(self) -> None:
        """Waits until all that was sent is dealt with; the pilot's own sends one more message to every widget."""
        with suppress(ScreenStackError):  # the wizard was left
            async with asyncio.timeout(_PATIENCE):
                await self._until_quiet()
                while self.app.screen._callbacks:  # what was to come after the next painting may bring more of both
                    self.app.screen._on_timer_update()
                    await self._until_quiet()
            await self.app.animator.wait_until_complete()
            self.app.screen._on_timer_update()

    async def _until_quiet(self) -> None:
        while self._has_messages():  # noqa: ASYNC110 - the framework has no event for it
            await asyncio.sleep(0)
        await wait_for_idle(0)

    def _has_messages(self) -> bool:
        app = self.app  # nodes that have something to do are few: only these are looked for on the screen
        busy = [node for node in app._registry if node.message_queue_size]
        is_busy = app.message_queue_size or any(app.screen in node.ancestors_with_self for node in busy)
        return app._exception is None and bool(is_busy)

    async def until(self, condition: Callable[[], object]) -> None:
        """Waits until something holds."""
        try:
            async with asyncio.timeout(_PATIENCE):
                while not condition():  # noqa: ASYNC110 - what is waited for is on a screen, not an event
                    await asyncio.sleep(0.01)
        except TimeoutError:
            pytest.fail(f"waited in vain; the screen is:\n{self.screen}")
        await self.pause()

    async def until_ready(self) -> None:
        """Waits until a step can be used."""
        await self.until(lambda: self.app.wizard.desk is not None and self.app.wizard.focused is not None)
        await self.until_marked()

    async def go_on_with_the_draft(self) -> None:
        """Takes the draft that the first page offers."""
        await self.until(lambda: "go on with the draft" in self.screen)
        await self.press("enter")
        await self.until_ready()

    async def until_marked(self) -> None:
        """Waits until the divider's marks say what more the step has above and below."""
        wizard = self.app.wizard
        await self.until(lambda: wizard.step is not None and wizard.query_one(Divider).more == wizard.step.more)

    @property
    def screen(self) -> str:
        """What stands on the screen, line ends trimmed."""
        visible_screen_stack.set(self.app._background_screens)  # what shows beside a dialog
        strips = self.app.screen._compositor.render_strips()
        return "\n".join(strip.text.rstrip() for strip in strips)

    def row(self, number: int, part: Region | None = None) -> str:
        """One row of the screen, counted from 0, or of a part of it, without painting what is not there."""
        visible_screen_stack.set(self.app._background_screens)
        row = Region(0, number, self.app.size.width, 1) if part is None else Region(part.x, number, part.width, 1)
        rows = self.app.screen._compositor._render_chops(row, lambda y: y == number)
        return Strip.join(rows[number].values()).text.rstrip()

    @property
    def line(self) -> str:
        """The line of the screen that the keys act on, as far as the widget goes that it is in."""
        used = self.app.screen.focused
        part = Region() if used is None else used.region.intersection(self.app.screen.region)
        rows = (self.row(number, part) for number in part.line_range)
        shown = next((row for row in rows if "▸" in row), None)
        return shown or next(line for line in self.screen.splitlines() if "▸" in line)

    @property
    def desk(self) -> Desk:
        """The job behind the screen."""
        desk = self.app.wizard.desk
        assert desk is not None
        return desk


_paint = Screen._compositor_refresh


def _forget_output(screen: Screen[object]) -> None:
    """In place of painting on the terminal, which nobody looks at: a screen is read from its widgets."""
    if screen is not screen.app.screen:  # it tells the dialog over it that what shows beside it has changed
        _paint(screen)
    screen._dirty_widgets.clear()
    screen._compositor._dirty_regions.clear()


_parse = Stylesheet._parse_rules
_parsed: dict[object, object] = {}


def _parse_once(sheet: Stylesheet, css: str, *words: object, **named: object) -> object:
    """The rules of a text and a theme, read once for all the wizards that are started in this process."""
    key = (frozenset(sheet._variables.items()), css, words, *sorted(named.items()))
    if key not in _parsed:
        _parsed[key] = _parse(sheet, css, *words, **named)
    return _parsed[key]


@pytest.fixture(autouse=True)
def quiet_terminal(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Drafts and files of a test stay in its own folder, and no setting of the terminal reaches in."""
    for name in ("NO_COLOR", "FALLMARK_ASCII", "LC_ALL", "LC_MESSAGES", "LANG"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.setenv("COLORTERM", "truecolor")
    monkeypatch.setenv("FALLMARK_STATE", str(tmp_path / "state"))
    monkeypatch.setattr("tui.terminal._encoding", lambda: "utf-8")
    monkeypatch.setattr("textual._wait.SLEEP_GRANULARITY", _LOOKED_FOR)
    monkeypatch.setattr("textual._wait.SLEEP_IDLE", _IDLE)
    monkeypatch.setattr(Screen, "_compositor_refresh", _forget_output)
    monkeypatch.setattr(Stylesheet, "_parse_rules", _parse_once)
    (tmp_path / "work").mkdir()
    monkeypatch.chdir(tmp_path / "work")
    speak(Tongue.ENGLISH)


@pytest.fixture
def wizard() -> Callable[..., AbstractAsyncContextManager[Hand]]:
    """Opens the wizard on a file, or on the start page where none is named."""

    @asynccontextmanager
    async def opened(path: Path | None = SAMPLE, size: tuple[int, int] = (80, 24)) -> AsyncIterator[Hand]:
        app = FallmarkApp(None if path is None else str(path))
        async with app.run_test(size=size) as pilot:
            hand = Hand(app, pilot)
            if path is not None:
                await hand.until_ready()
            yield hand

    return opened
