"""The ramps of a height map: shade characters that carry the meaning, and colours that help.

Every ramp goes from pale to dark and its characters from sparse to dense: more is darker, in colour and
without. Lightness falls at every step, so that no kind of colour blindness and no glare changes the order.
"""

from __future__ import annotations

from functools import cache

from rich.style import Style

from engine.records import record
from tui.widgets.ink import Ink
from tui.widgets.looks import Colours, Looks

LEVELS = 6
SHADES = "·:░▒▓█"
ASCII_SHADES = ".:*%#@"  # none of them is also an edge (- | = ~ / \), a drain, a station or a number


@record
class Ramp:
    """Backgrounds and, a little darker, the colour of the shade character on each."""

    grounds: tuple[str, ...]
    grains: tuple[str, ...]


SAND = Ramp(
    ("#fdf4df", "#f7d699", "#f4b865", "#e89e4c", "#d78443", "#653113"),
    ("#d3c5a2", "#d3aa5e", "#c78e37", "#bf771d", "#b2621c", "#653113"),
)
SEA = Ramp(
    ("#f0f7e9", "#b2e3e2", "#81cee2", "#58b7ea", "#429df1", "#1a3c7f"),
    ("#bdcbb0", "#76bcbb", "#55a3b6", "#2c90c2", "#1579cb", "#1a3c7f"),
)
HEATHER = Ramp(
    ("#f8f3fb", "#e3d4f3", "#d3b8f3", "#c39df3", "#b181f1", "#502887"),
    ("#cdc2d7", "#bea8d3", "#a88ec6", "#9d76c9", "#8f60cb", "#502887"),
)
# From the sixteen colours (white, bright yellow, bright cyan, cyan, blue), by the values that stand for them when
# true colours are brought down to sixteen, so that each arrives as itself.
SIXTEEN = Ramp(
    ("#ffffff", "#ffff55", "#55ffff", "#00aaaa", "#0000aa", "#0000aa"),
    ("#aaaaaa", "#aa5500", "#00aaaa", "#5555ff", "#5555ff", "#0000aa"),
)
STARK_SIXTEEN = Ramp(
    ("#ffffff", "#ffff55", "#55ffff", "#00aaaa", "#00aaaa", "#0000aa"),
    ("#000000", "#000000", "#000000", "#000000", "#000000", "#0000aa"),
)

_BLACK, _WHITE = "#000000", "#ffffff"
_TRUE_INKS = {
    Ink.DRAIN: Style(color=_WHITE, bgcolor="#1b2128", bold=True),
    Ink.STOP: Style(color=_WHITE, bgcolor="#b3001b", bold=True),
    Ink.CAUTION: Style(color="#ffd60a", bgcolor=_BLACK, bold=True),
    Ink.NOTE: Style(color="#9be7ff", bgcolor=_BLACK, bold=True),
    Ink.CURSOR: Style(color=_WHITE, bgcolor="#9c0060", bold=True),
    Ink.ISLAND: Style(color=_WHITE, bgcolor="#4b535c"),
    Ink.MUD: Style(color="#c28a35", bgcolor="#f3d296"),
    Ink.UPPER_BED: Style(color="#945a1c", bgcolor="#eab25c"),
    Ink.TILE: Style(color="#1d5fa8", bgcolor="#1d5fa8"),
    Ink.TILE_EDGE: Style(color="#1d5fa8"),
    Ink.TILE_ON_MUD: Style(color="#1d5fa8", bgcolor="#e6c07d"),
    Ink.TILE_ON_UPPER_BED: Style(color="#1d5fa8", bgcolor="#c98c3c"),
    Ink.UPPER_BED_ON_MUD: Style(color="#c98c3c", bgcolor="#e6c07d"),
    Ink.MUD_ON_GROUND: Style(color="#e6c07d", bgcolor="#4b535c"),
    Ink.GROUND: Style(color=_WHITE, bgcolor="#4b535c"),
}
_SIXTEEN_INKS = {
    Ink.DRAIN: Style(color=_WHITE, bgcolor=_BLACK, bold=True),
    Ink.STOP: Style(color=_WHITE, bgcolor="#aa0000", bold=True),
    Ink.CAUTION: Style(color="#ffff55", bgcolor=_BLACK, bold=True),
    Ink.NOTE: Style(color="#55ffff", bgcolor=_BLACK, bold=True),
    Ink.CURSOR: Style(color=_WHITE, bgcolor="#aa00aa", bold=True),
    Ink.ISLAND: Style(color=_WHITE, bgcolor="#555555"),
    Ink.MUD: Style(color="#aa5500", bgcolor="#ffff55"),
    Ink.UPPER_BED: Style(color=_BLACK, bgcolor="#aa5500"),
    Ink.TILE: Style(color="#0000aa", bgcolor="#0000aa"),
    Ink.TILE_EDGE: Style(color="#0000aa"),
    Ink.TILE_ON_MUD: Style(color="#0000aa", bgcolor="#ffff55"),
    Ink.TILE_ON_UPPER_BED: Style(color="#0000aa", bgcolor="#aa5500"),
    Ink.UPPER_BED_ON_MUD: Style(color="#aa5500", bgcolor="#ffff55"),
    Ink.MUD_ON_GROUND: Style(color="#ffff55", bgcolor="#555555"),
    Ink.GROUND: Style(color="#aaaaaa", bgcolor="#555555"),
}
_STARK_INKS = {Ink.MUD: Style(color=_BLACK, bgcolor="#f7d699"), Ink.UPPER_BED: Style(color=_BLACK, bgcolor="#e89e4c")}
_BARE_INKS = {
    Ink.STOP: Style(bold=True, reverse=True),
    Ink.CAUTION: Style(bold=True, reverse=True),
    Ink.NOTE: Style(bold=True, reverse=True),
    Ink.CURSOR: Style(bold=True, reverse=True),
    Ink.DRAIN: Style(bold=True),
    Ink.STATION: Style(bold=True),
}
_ANY_INKS = {Ink.STRONG: Style(bold=True), Ink.LETTER: Style(bold=True), Ink.STATION: Style(bold=True)}


def stark(ramp: Ramp) -> Ramp:
    """The same grounds under black shade characters; the darkest, which its character fills, as it is."""
    return Ramp(ramp.grounds, (*(_BLACK for _ in ramp.grounds[:-1]), ramp.grains[-1]))


def level_of(step: int, steps: int) -> int:
    """The ramp's level that stands for step number `step` of so many; a single step takes a middle one."""
    return 2 if steps <= 1 else step * (LEVELS - 1) // (steps - 1)


def shades(looks: Looks) -> str:
    """The ramp's characters, sparse to dense."""
    return ASCII_SHADES if looks.ascii else SHADES


@cache
def style_of(ink: Ink, level: int, ramp: Ramp, looks: Looks) -> Style:
    """The style of one ink on one level of a ramp; never a colour where there are to be none."""
    if looks.colours is Colours.NONE:
        return _BARE_INKS.get(ink) or _ANY_INKS.get(ink) or Style.null()
    own = _own_style(ink, looks)
    if own is not None:
        return own
    if level < 0:
        return _ANY_INKS.get(ink) or Style.null()
    taken = _taken(ramp, looks)
    ground = taken.grounds[level]
    if ink is Ink.SHADE:
        return Style(color=taken.grains[level], bgcolor=ground)
    return Style(color=readable_on(ground), bgcolor=ground, bold=True)


def _own_style(ink: Ink, looks: Looks) -> Style | None:
    """The style of an ink that is the same on every level; None where the ramp gives it."""
    if looks.colours is not Colours.TRUE:
        return _SIXTEEN_INKS.get(ink)
    return (_STARK_INKS.get(ink) if looks.stark else None) or _TRUE_INKS.get(ink)


def _taken(ramp: Ramp, looks: Looks) -> Ramp:
    """The ramp that these looks have in place of one in true colours."""
    if looks.colours is not Colours.TRUE:
        return STARK_SIXTEEN if looks.stark else SIXTEEN
    return stark(ramp) if looks.stark else ramp


def readable_on(ground: str) -> str:
    """Black or white, whichever stands out more on a ground given as #rrggbb."""
    light = luminance(ground)
    return _BLACK if (light + 0.05) ** 2 > 1.05 * 0.05 else _WHITE


def luminance(colour: str) -> float:
    """The relative luminance of #rrggbb, 0 black to 1 white [-].

    Source: WCAG 2.2, relative luminance; the contrast of two colours is (light + 0.05) / (dark + 0.05).
    """
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
