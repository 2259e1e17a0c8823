"""Every text of every theme stands out from its ground by 7 to 1; what is painted is held to it in test_every_look.py.

Source: W3C, Web Content Accessibility Guidelines (WCAG) 2.2, success criterion 1.4.6 (contrast, enhanced: at least
7:1), with its definitions of contrast ratio and relative luminance.
"""

import re
from pathlib import Path

import pytest

import tui
from tui.themes import DARK, HIGH_CONTRAST, LIGHT, THEME_WORDS, THEMES

ENHANCED = 7.0
GROUNDS = {"background", "panel"}
TEXTS = {"foreground", "accent", "warning", "error", "success", "text-muted", "footer-key"}


def of(theme, role: str) -> str:
    return theme.variables.get(role) or getattr(theme, role)


def test_the_formula_on_known_pairs(contrast):
    # W3C, understanding success criterion 1.4.3: #777777 on white is 4.47:1, #767676 passes 4.5; black on white 21:1.
    assert contrast("#777777", "#ffffff") == pytest.approx(4.478, abs=1e-3)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.542, abs=1e-3)
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)


def test_no_other_role_is_used_than_those_held_to_the_contrast():
    folder = Path(tui.__file__).parent
    written = [p.read_text(encoding="utf-8") for p in [*folder.rglob("*.py"), *folder.rglob("*.tcss")]]
    used = {role for text in written for role in re.findall(r"\$([a-z][a-z-]+)", text)}
    assert used == GROUNDS | TEXTS


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize("ground", sorted(GROUNDS))
@pytest.mark.parametrize("text", sorted(TEXTS))
def test_every_text_on_every_ground(contrast, theme, ground, text):
    assert contrast(of(theme, text), of(theme, ground)) >= ENHANCED


def test_high_contrast_mutes_nothing_and_is_the_strongest_in_all_but_the_loudest_words(contrast):
    assert of(HIGH_CONTRAST, "text-muted") == of(HIGH_CONTRAST, "foreground")
    for text in ("text-muted", "accent", "footer-key"):
        for ground in GROUNDS:
            mine = contrast(of(HIGH_CONTRAST, text), of(HIGH_CONTRAST, ground))
            assert mine >= max(contrast(of(t, text), of(t, ground)) for t in (DARK, LIGHT))


async def test_the_theme_key_says_which_theme_it_is(wizard):
    async with wizard() as hand:
        for theme in (*THEMES[1:], THEMES[0]):
            await hand.press("f11")
            assert THEME_WORDS[theme.name] in hand.screen
