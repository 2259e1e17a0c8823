"""Every step and every page of the results at three sizes, in four kinds of terminals: nothing cut or out of place.

The pictures are characters and style letters: the text, then how it is painted in true colour, in sixteen colours and
without colours, then the text in plain ASCII. Each size has a theme of its own.
"""

import pytest

from tui.results.pages import PAGES
from tui.step_names import STEPS
from tui.themes import DARK, HIGH_CONTRAST, LIGHT

SHOWN = [((80, 24), DARK.name), ((100, 30), LIGHT.name), ((160, 50), HIGH_CONTRAST.name)]
ENHANCED = 7.0  # W3C, WCAG 2.2, success criterion 1.4.6


@pytest.mark.parametrize("shown", SHOWN, ids=["80x24", "100x30", "160x50"])
async def test_every_step_and_page_of_the_results(walked, contrast, style_letters, snapshot, shown):
    walks = await walked(*shown)
    assert len(walks[0]) == len(STEPS) - 1 + len(PAGES)
    for coloured, fewer, bare, plain in zip(*walks, strict=True):
        assert not coloured.cut + plain.cut, coloured.name
        assert coloured.name.removeprefix("Results, ") in coloured.text
        assert coloured.text == fewer.text, coloured.name
        assert plain.text.isascii(), plain.name
        assert not {pair: text for pair, text in coloured.pairs.items() if contrast(*pair) < ENHANCED}
        assert not {pair: text for pair, text in fewer.pairs.items() if pair[0] == pair[1]}
        assert set(bare.pairs) | set(plain.pairs) == {("-", "-")}
        for look in (coloured, fewer, bare, plain):
            assert 0 < sum("bold" in style for _, style in look.rows[-1]) <= 7
        parts = [coloured.text, style_letters([coloured, fewer, bare]), plain.text]
        if bare.text != coloured.text:  # where half a cell cannot be told by its colour, the cut has whole ones
            parts.append(bare.text)
        assert "\n\n".join(parts) == snapshot(name=coloured.name)
