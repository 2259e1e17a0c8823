"""Every text of every theme stands out from its ground by 7 to 1, in what is written and in what is painted.

Source: W3C, Web Content Accessibility Guidelines (WCAG) 2.2, success criterion 1.4.6 (contrast, enhanced: at least
7:1), with its definitions of contrast ratio and relative luminance.
"""

import re
from pathlib import Path

import pytest

import tui
from tui.step_names import STEPS
from tui.themes import DARK, HIGH_CONTRAST, LIGHT, THEME_WORDS, THEMES
from tui.widgets.ramps import ASCII_SHADES, SHADES

ENHANCED = 7.0
GROUNDS = {"background", "panel"}
TEXTS = {"foreground", "accent", "warning", "error", "success", "text-muted", "footer-key"}
# Characters that are areas of a drawing and not text; each tells its height by how much of its cell it covers.
AREAS = {*SHADES, *ASCII_SHADES, *" ▀▄▁▂▃▅▆▇▏▕"}


def luminance(colour: tuple[int, int, int]) -> float:
    red, green, blue = (
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in (part / 255 for part in colour)
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: tuple[int, int, int], other: tuple[int, int, int]) -> float:
    dark, light = sorted([luminance(one), luminance(other)])
    return (light + 0.05) / (dark + 0.05)


def parts(colour: str) -> tuple[int, int, int]:
    red, green, blue = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
    return red, green, blue


def of(theme, role: str) -> tuple[int, int, int]:
    return parts(theme.variables.get(role) or getattr(theme, role))


def test_the_formula_on_known_pairs():
    # W3C, understanding success criterion 1.4.3: #777777 on white is 4.47:1, #767676 passes 4.5; black on white 21:1.
    assert contrast(parts("#777777"), parts("#ffffff")) == pytest.approx(4.478, abs=1e-3)
    assert contrast(parts("#767676"), parts("#ffffff")) == pytest.approx(4.542, abs=1e-3)
    assert contrast(parts("#000000"), parts("#ffffff")) == pytest.approx(21.0)


def test_no_other_role_is_used_than_those_held_to_the_contrast():
    folder = Path(tui.__file__).parent
    written = [p.read_text(encoding="utf-8") for p in [*folder.rglob("*.py"), *folder.rglob("*.tcss")]]
    used = {role for text in written for role in re.findall(r"\$([a-z][a-z-]+)", text)}
    assert used == GROUNDS | TEXTS


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize("ground", sorted(GROUNDS))
@pytest.mark.parametrize("text", sorted(TEXTS))
def test_every_text_on_every_ground(theme, ground, text):
    assert contrast(of(theme, text), of(theme, ground)) >= ENHANCED


def test_high_contrast_mutes_nothing_and_is_the_strongest_in_all_but_the_loudest_words():
    assert of(HIGH_CONTRAST, "text-muted") == of(HIGH_CONTRAST, "foreground")
    for text in ("text-muted", "accent", "footer-key"):
        for ground in GROUNDS:
            mine = contrast(of(HIGH_CONTRAST, text), of(HIGH_CONTRAST, ground))
            assert mine >= max(contrast(of(t, text), of(t, ground)) for t in (DARK, LIGHT))


async def test_every_pair_that_is_painted_on_any_step_in_any_theme(wizard):
    async with wizard(size=(120, 46)) as hand:
        seen = {}
        for theme in THEMES:
            assert hand.app.theme == theme.name
            for step in STEPS:
                await hand.until(lambda step=step: f"{step.value}]" in hand.screen)
                seen |= {pair: (theme.name, step.value, text) for pair, text in painted(hand.app)}
                await hand.press("f4", "pagedown")
            await hand.press("f11")
    low = {
        pair: (where, round(contrast(*pair), 2)) for pair, where in seen.items() if contrast(*pair) < ENHANCED
    }
    assert not low
    assert len(seen) > 30


async def test_the_theme_key_says_which_theme_it_is(wizard):
    async with wizard() as hand:
        for theme in (*THEMES[1:], THEMES[0]):
            await hand.press("f11")
            assert THEME_WORDS[theme.name] in hand.screen


def painted(app):
    for strip in app.screen._compositor.render_strips():
        for segment in strip:
            style, text = segment.style, segment.text
            if style is None or not set(text) - AREAS:
                continue
            pair = [tuple(colour.get_truecolor()) for colour in (style.color, style.bgcolor)]
            yield (pair[1], pair[0]) if style.reverse else tuple(pair), text
