"""Where lines of words may end: never inside a figure, between it and its unit, or inside a wall's name."""

import pytest

from tui.widgets.lines import wrapped

WORDS = "a 1 3/8 in bajo el piso, 0.45 cu ft o 2.5 % en A-B, 24 h antes de 3 sacos de 60 lb"
FIGURES = ["1 3/8 in", "0.45 cu ft", "2.5 %", "A-B", "24 h", "60 lb"]


@pytest.mark.parametrize("width", range(10, 40))
def test_a_figure_stays_whole(width):
    lines = wrapped(WORDS, width)
    assert all(len(line) <= width for line in lines)
    assert " ".join(lines) == WORDS
    assert [figure for figure in FIGURES if not any(figure in line for line in lines)] == []


def test_later_lines_hang_and_a_word_longer_than_a_line_is_broken():
    assert wrapped("aaa bbb ccc", 6, "  ") == ["aaa", "  bbb", "  ccc"]
    assert wrapped("cccccccc", 6, "  ") == ["cccccc", "  cc"]
