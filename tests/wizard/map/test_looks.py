"""What the terminal can show, told from its environment."""

from __future__ import annotations

import pytest

from tui.widgets.looks import Colours, Looks


@pytest.fixture
def environment(monkeypatch):
    for name in ("NO_COLOR", "TERM", "COLORTERM", "FALLMARK_ASCII", "WT_SESSION"):
        monkeypatch.delenv(name, raising=False)

    def given(**values: str) -> Looks:
        for name, value in values.items():
            monkeypatch.setenv(name, value)
        return Looks.detect()

    return given


@pytest.mark.parametrize(
    ("values", "colours"),
    [
        ({"TERM": "xterm-256color"}, Colours.TRUE),
        ({"TERM": "xterm", "COLORTERM": "truecolor"}, Colours.TRUE),
        ({"TERM": "xterm"}, Colours.SIXTEEN),
        ({"TERM": "linux"}, Colours.SIXTEEN),
        ({"TERM": "dumb"}, Colours.NONE),
        ({"TERM": "vt100"}, Colours.NONE),
        ({"TERM": "xterm-256color", "NO_COLOR": "1"}, Colours.NONE),
        ({"TERM": "xterm-256color", "NO_COLOR": ""}, Colours.TRUE),
    ],
)
def test_colours(environment, values, colours):
    assert environment(**values).colours is colours


def test_plain_ascii_on_demand(environment):
    assert environment(TERM="xterm", FALLMARK_ASCII="1").ascii


def test_plain_ascii_on_a_dumb_terminal(environment):
    assert environment(TERM="dumb").ascii
