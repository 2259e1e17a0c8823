"""The two themes: black with light text, and white with dark text, both with strong contrast for bright sun."""

from __future__ import annotations

from textual.theme import Theme

DARK = Theme(
    name="night",
    dark=True,
    primary="#7fd1ff",
    secondary="#b7c4cf",
    accent="#ffd166",
    warning="#ffb000",
    error="#ff7a59",
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
    warning="#7a4a00",
    error="#a80010",
    success="#0b5d1e",
    foreground="#000000",
    background="#ffffff",
    surface="#ffffff",
    panel="#e6eaee",
    variables={"text-muted": "#3c464e", "footer-key": "#7a2e00"},
)
THEMES = (DARK, LIGHT)
