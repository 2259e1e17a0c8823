"""What stands on the screen as characters and style letters, and what has no place on any screen."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import groupby
from string import ascii_letters
from typing import TYPE_CHECKING, NamedTuple

import pytest
from rich.color import Color, ColorSystem
from textual.content import Content
from textual.events import Key
from textual.strip import Strip

from tui.results.pages import PAGES
from tui.settings import THEME, remember
from tui.step_names import STEPS, StepName
from tui.widgets.height_map import HeightMap
from tui.widgets.looks import Colours
from tui.widgets.ramps import ASCII_SHADES, SHADES
from tui.widgets.side_view import SideView

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Iterator

    from rich.style import Style

# Characters that are areas of a drawing and not text; each tells its height by how much of its cell it covers.
AREAS = {*SHADES, *ASCII_SHADES, *" ▀▄▁▂▃▅▆▇▏▕"}
_ATTRIBUTES = ("bold", "reverse", "underline", "italic", "dim")


class Look(NamedTuple):
    """A kind of terminal: what its environment says, how many colours there are to draw with, and how many arrive."""

    name: str
    environment: dict[str, str]
    colours: Colours
    system: ColorSystem | None


TRUE = Look("true colour", {"COLORTERM": "truecolor", "TERM": "xterm-256color"}, Colours.TRUE, ColorSystem.TRUECOLOR)
SIXTEEN = Look("16 colours", {"COLORTERM": "", "TERM": "xterm"}, Colours.SIXTEEN, ColorSystem.STANDARD)
NONE = Look("no colour", {"NO_COLOR": "1"}, Colours.NONE, None)
ASCII = Look("plain ASCII", {"NO_COLOR": "1", "FALLMARK_ASCII": "1"}, Colours.NONE, None)


class Painted(NamedTuple):
    """A screen as it arrives on a terminal: runs of text and style, row by row."""

    name: str
    rows: list[list[tuple[str, str]]]
    cut: list[str]  # what did not fit

    @property
    def text(self) -> str:
        """The characters alone, row ends trimmed."""
        return "\n".join("".join(text for text, _ in row).rstrip() for row in self.rows)

    @property
    def pairs(self) -> dict[tuple[str, str], str]:
        """Every pair of colours that letters, digits and signs are painted in, with one such text."""
        written = [(style.split(), text) for row in self.rows for text, style in row if set(text) - AREAS]
        return {(words[0], words[1]): text for words, text in written}


@pytest.fixture
def style_letters():
    """The styles of one screen in several looks: how many cells of which letter, and what each letter stands for."""

    def coded(screens: list[Painted]) -> str:
        letters: dict[str, str] = {}
        lines = []
        for rows in zip(*(screen.rows for screen in screens), strict=True):
            cells = zip(*([style for text, style in row for _ in text] for row in rows), strict=True)
            runs = [(" | ".join(styles), len(list(run))) for styles, run in groupby(cells)]
            lines.append("".join(f"{n}{letters.setdefault(s, ascii_letters[len(letters)])}" for s, n in runs))
        repeated = [(line, len(list(same))) for line, same in groupby(lines)]
        legend = [f"{letter} {style}" for style, letter in letters.items()]
        return "\n".join([*legend, *(line if n == 1 else f"{line} x{n}" for line, n in repeated)])

    return coded


def _arriving(colour: Color | None, system: ColorSystem | None) -> str:
    if colour is None or colour.is_default:
        return "-"
    assert system is not None, f"{colour} is painted where there are no colours"
    fewer = colour.downgrade(system)
    return f"{fewer.number:02d}" if system is ColorSystem.STANDARD else fewer.get_truecolor().hex


@cache
def _style_words(style: Style | None, system: ColorSystem | None) -> str:
    if style is None:
        return "- -"
    words = [_arriving(style.color, system), _arriving(style.bgcolor, system)]
    return " ".join([*words, *(name for name in _ATTRIBUTES if getattr(style, name))])


def _cut(app) -> Iterator[str]:
    """Lines of any widget on the screen that are longer than it is wide, and words that are given up."""
    for widget in app.screen.query("*").results():
        made = widget.render() if widget.is_on_screen and not widget.children else None
        if isinstance(made, Content) and widget.size.width:
            for line in made.split("\n"):
                if line.cell_length > widget.size.width:
                    yield f"{type(widget).__name__}: {line.plain}"


def _painted(hand, name: str, look: Look) -> Painted:
    app = hand.app
    for picture in (*app.screen.query(HeightMap), *app.screen.query(SideView)):
        picture.looks = replace(picture.looks, colours=look.colours)
    strips = app.screen._compositor.render_strips()
    for line_filter in app.get_line_filters():
        strips = [Strip(line_filter.apply(list(strip), app.screen.background_colors[1])) for strip in strips]
    rows = [[(s.text, _style_words(s.style, look.system)) for s in strip if s.text] for strip in strips]
    return Painted(name, rows, list(_cut(app)) if look in (TRUE, ASCII) else [])


@pytest.fixture
def walked(wizard, monkeypatch):
    """Walks every step and every page of the results by keys, and gives what stood on each, look by look.

    Only the pictures draw otherwise in sixteen colours, so these two looks share a walk.
    """

    async def walk(size: tuple[int, int], theme: str) -> list[list[Painted]]:
        remember(THEME, theme)
        return [shown for looks in ((TRUE, SIXTEEN), (NONE,), (ASCII,)) for shown in await walk_in(size, *looks)]

    async def walk_in(size: tuple[int, int], look: Look, *others: Look) -> list[list[Painted]]:
        for name in ("COLORTERM", "TERM", "NO_COLOR", "FALLMARK_ASCII"):
            monkeypatch.delenv(name, raising=False)
        for name, value in look.environment.items():
            monkeypatch.setenv(name, value)
        async with wizard(size=size) as hand:
            screens = [[_painted(hand, name, each) for each in (look, *others)] async for name in _screens(hand)]
        return [list(shown) for shown in zip(*screens, strict=True)]

    return walk


async def _screens(hand) -> AsyncIterator[str]:
    """The names of the screens, each while it is there."""
    for step in STEPS:
        await hand.until(lambda step=step: _is_on(hand, step))
        if step is StepName.RESULTS:
            for page in PAGES:
                yield f"{step.value}, {page.name}"
                await _press(hand, "right")
        else:
            yield step.value
        await _press(hand, "pagedown")


def _is_on(hand, step: StepName) -> bool:
    wizard = hand.app.wizard
    return wizard._current is step and wizard.focused is not None and hand.desk.is_planned


async def _press(hand, key: str) -> None:
    hand.app.post_message(Key(key, None))
    await hand.pause()
    await hand.until_marked()


@pytest.fixture
def contrast():
    """The contrast of two colours, each #rrggbb, by the definitions of WCAG 2.2."""

    def found(one: str, other: str) -> float:
        dark, light = sorted([_luminance(one), _luminance(other)])
        return (light + 0.05) / (dark + 0.05)

    return found


def _luminance(colour: str) -> float:
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
