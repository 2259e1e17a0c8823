"""The themes: light text on black, dark on white, and high contrast for bright sun and tired eyes.

Text stands out from its ground by 7 to 1 or more (W3C, WCAG 2.2, success criterion 1.4.6); in the last theme nothing is
muted, and the map's shade characters are black on their colours.
"""

from textual.theme import Theme

from engine.phrases import phrase

DARK = Theme(
    name="night",
    dark=True,
    primary="#7fd1ff",
    secondary="#b7c4cf",
    accent="#ffd166",
    warning="#ffb000",
    error="#ff9478",
    success="#8ce99a",
    foreground="#ffffff",
    background="#000000",
    surface="#000000",
    panel="#1a2026",
    variables={"text-muted": "#c3ccd4", "footer-key": "#ffd166"},
)
LIGHT = Theme(
    name="day",
    dark=False,
    primary="#00457a",
    secondary="#37474f",
    accent="#7a2e00",
    warning="#6b4000",
    error="#98000e",
    success="#075418",
    foreground="#000000",
    background="#ffffff",
    surface="#ffffff",
    panel="#e6eaee",
    variables={"text-muted": "#3c464e", "footer-key": "#7a2e00"},
)
HIGH_CONTRAST = Theme(
    name="high-contrast",
    dark=True,
    primary="#ffffff",
    secondary="#ffffff",
    accent="#ffff00",
    warning="#ffd700",
    error="#ff9d9d",
    success="#7dff7d",
    foreground="#ffffff",
    background="#000000",
    surface="#000000",
    panel="#00224d",
    variables={"text-muted": "#ffffff", "footer-key": "#ffff00"},
)
THEMES = (DARK, LIGHT, HIGH_CONTRAST)
THEME_WORDS = {DARK.name: phrase("Dark"), LIGHT.name: phrase("Light"), HIGH_CONTRAST.name: phrase("High contrast")}


def following(name: str) -> str:
    """The theme after that one, round and round."""
    names = list(THEME_WORDS)
    return names[(names.index(name) + 1) % len(names)]
