"""What every widget tells beside what of it keys bring into view, row by row."""

from __future__ import annotations

import importlib
import pkgutil
import sys
from itertools import combinations
from typing import TYPE_CHECKING

import pytest

import tui
from engine.phrases import Phrase
from tui import tongues
from tui.terminal import harmless
from tui.widgets.bars import Divider
from tui.widgets.field import Field

if TYPE_CHECKING:
    from textual.widget import Widget

_MARK = "▸"
_ONE_OF_SEVERAL = {  # told beside a longer or shorter form of the same words; the longest that fits is painted
    ", steps of {step}",
    "{layer}: not yet",
    "Left, Right choose",  # only where it takes no line more
    "Ctrl+U clears",  # likewise
}


class Shown:
    """One widget: its rows as it paints them, which of them were in view, and the texts it told to paint them."""

    def __init__(self, widget: Widget, heard: list[str]) -> None:
        heard.clear()
        self.name = type(widget).__name__
        self.size = widget.size
        widget.refresh()
        self._rows = [widget.render_line(y).text for y in range(widget.size.height)]
        self._told = set(heard)
        self.in_view: set[int] = set()

    def faults(self) -> list[str]:
        """Rows that never came into view, and texts that those in view do not show from end to end."""
        rows = [row for y, row in enumerate(self._rows) if y in self.in_view]
        across, down = squeezed("".join(rows)), squeezed("".join(map("".join, zip(*rows, strict=False))))
        hidden = len(self._rows) - len(rows)
        cut = [text for text in self._told if squeezed(text) not in across and squeezed(text) not in down]
        return [f"{self.name}: {hidden} rows out of reach"] * bool(hidden) + [f"{self.name}: {t}" for t in cut]


class Seen:
    """What stood on the screen of a walk by keys; a field in use is told apart from the same field at rest."""

    def __init__(self, hand, heard: list[str]) -> None:
        self._hand = hand
        self._heard = heard
        self._shown: dict[tuple[Widget, object], Shown] = {}

    def look(self, *kinds: type[Widget]) -> None:
        """Takes in what is on the screen now; of these kinds of widgets only, where any are named."""
        screen = self._hand.app.screen
        parts = []
        for widget, (region, clip) in screen._compositor.visible_widgets.items():
            part = region.intersection(clip)
            if widget.children or not part.area or isinstance(widget, Divider):
                continue
            parts.append(part)
            if not kinds or isinstance(widget, kinds):
                self._take(widget, region, part)
        assert not any(one.intersection(other).area for one, other in combinations(parts, 2))

    def take_whole(self, widget: Widget) -> None:
        """Takes in all rows of a widget, whether they are in view or not."""
        shown = Shown(widget, self._heard)
        shown.in_view = set(range(widget.size.height))
        self._shown[widget, shown] = shown

    def _take(self, widget: Widget, region, part) -> None:
        key = (widget, isinstance(widget, Field) and widget.has_focus)
        shown = self._shown.get(key)
        if shown is None or shown.size != widget.size:
            shown = self._shown[key] = Shown(widget, self._heard)
        if part.width == region.width:
            shown.in_view |= {y - region.y for y in part.line_range}

    def faults(self) -> list[str]:
        """All that is cut or out of reach."""
        return [fault for shown in self._shown.values() for fault in shown.faults()]


def squeezed(text: str) -> str:
    """A text without its spaces and the marker, for what is wrapped breaks anywhere."""
    return "".join(harmless(word) for word in text.replace(_MARK, "").split()).casefold()


@pytest.fixture
def seen_by(monkeypatch):
    """Makes what takes in a hand's screens; every text that a widget tells is overheard."""
    heard: list[str] = []
    tell = tongues.told

    def told(text: str) -> str:
        words = tell(text)
        if words and not (isinstance(text, Phrase) and text.pattern in _ONE_OF_SEVERAL):
            heard.append(words)
        return words

    for module in pkgutil.walk_packages(tui.__path__, "tui."):
        if not module.name.endswith("__main__"):
            importlib.import_module(module.name)
    for name, module in list(sys.modules.items()):
        if name.startswith("tui") and getattr(module, "told", None) is tell:
            monkeypatch.setattr(module, "told", told)
    return lambda hand: Seen(hand, heard)
