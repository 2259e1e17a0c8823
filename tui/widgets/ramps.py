"""The ramps of a height map: shade characters that carry the meaning, helped by colours.

Each goes from pale to dark, its characters from sparse to dense: more is darker, coloured or not. Lightness falls at
every step: no colour blindness or glare changes the order.
"""

from functools import cache

from rich.style import Style

from engine.records import record

from .ink import Ink
from .looks import Colours, Looks

LEVELS = 6
SHADES = "·:░▒▓█"
ASCII_SHADES = ".:*%#@"  # none is also an edge (- | = ~ / \), a valley (&), a drain, a station or a number


@record
class Ramp:
    """Backgrounds and, a little darker, the shade character's colour on each."""

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
# From the sixteen colours (white, bright yellow, bright cyan, cyan, blue), by the values that true colours are
# brought down to them by, so that each arrives as itself.
SIXTEEN = Ramp(
    ("#ffffff", "#ffff55", "#55ffff", "#00aaaa", "#0000aa", "#0000aa"),
    ("#aaaaaa", "#aa5500", "#00aaaa", "#5555ff", "#5555ff", "#0000aa"),
)
STARK_SIXTEEN = Ramp(
    ("#ffffff", "#ffff55", "#55ffff", "#00aaaa", "#00aaaa", "#0000aa"),
    ("#000000", "#000000", "#000000", "#000000", "#000000", "#0000aa"),
)

_BLACK, _WHITE = "#000000", "#ffffff"
_INKS = {  # in true colours, and with sixteen
    Ink.DRAIN: ("bold #ffffff on #1b2128", "bold #ffffff on #000000"),
    Ink.STOP: ("bold #ffffff on #b3001b", "bold #ffffff on #aa0000"),
    Ink.CAUTION: ("bold #ffd60a on #000000", "bold #ffff55 on #000000"),
    Ink.NOTE: ("bold #9be7ff on #000000", "bold #55ffff on #000000"),
    Ink.CURSOR: ("bold #ffffff on #9c0060", "bold #ffffff on #aa00aa"),
    Ink.ISLAND: ("#ffffff on #4b535c", "#ffffff on #555555"),
    Ink.MUD: ("#c28a35 on #f3d296", "#aa5500 on #ffff55"),
    Ink.UPPER_BED: ("#945a1c on #eab25c", "#000000 on #aa5500"),
    Ink.TILE: ("#1d5fa8 on #1d5fa8", "#0000aa on #0000aa"),
    Ink.TILE_EDGE: ("#1d5fa8", "#0000aa"),
    Ink.TILE_ON_MUD: ("#1d5fa8 on #e6c07d", "#0000aa on #ffff55"),
    Ink.TILE_ON_UPPER_BED: ("#1d5fa8 on #c98c3c", "#0000aa on #aa5500"),
    Ink.UPPER_BED_ON_MUD: ("#c98c3c on #e6c07d", "#aa5500 on #ffff55"),
    Ink.MUD_ON_GROUND: ("#e6c07d on #4b535c", "#ffff55 on #555555"),
    Ink.GROUND: ("#ffffff on #4b535c", "#aaaaaa on #555555"),
}
_STARK_INKS = {Ink.MUD: "#000000 on #f7d699", Ink.UPPER_BED: "#000000 on #e89e4c"}  # in true colours
_BARE_INKS = dict.fromkeys((Ink.STOP, Ink.CAUTION, Ink.NOTE, Ink.CURSOR), "bold reverse") | {Ink.DRAIN: "bold"}
_ANY_INKS = dict.fromkeys((Ink.STRONG, Ink.LETTER, Ink.STATION), "bold")


def stark(ramp: Ramp) -> Ramp:
    """The same grounds under black shade characters; the darkest, filled by its own, as it is."""
    return Ramp(ramp.grounds, (*(_BLACK for _ in ramp.grounds[:-1]), ramp.grains[-1]))


def level_of(step: int, steps: int) -> int:
    """The ramp's level for step number `step` of so many; a single step takes a middle one."""
    return 2 if steps <= 1 else step * (LEVELS - 1) // (steps - 1)


def shades(looks: Looks) -> str:
    """The ramp's characters, sparse to dense."""
    return ASCII_SHADES if looks.ascii else SHADES


@cache
def style_of(ink: Ink, level: int, ramp: Ramp, looks: Looks) -> Style:
    """The style of an ink on a level of a ramp; never a colour where there are none."""
    if looks.colours is Colours.NONE:
        return Style.parse(_BARE_INKS.get(ink) or _ANY_INKS.get(ink, ""))
    if ink in _INKS:
        true, sixteen = _INKS[ink]
        true = _STARK_INKS.get(ink, true) if looks.stark else true
        return Style.parse(true if looks.colours is Colours.TRUE else sixteen)
    if level < 0:
        return Style.parse(_ANY_INKS.get(ink, ""))
    taken = _taken(ramp, looks)
    ground = taken.grounds[level]
    if ink is Ink.SHADE:
        return Style(color=taken.grains[level], bgcolor=ground)
    return Style(color=readable_on(ground), bgcolor=ground, bold=True)


def _taken(ramp: Ramp, looks: Looks) -> Ramp:
    if looks.colours is not Colours.TRUE:
        return STARK_SIXTEEN if looks.stark else SIXTEEN
    return stark(ramp) if looks.stark else ramp


def readable_on(ground: str) -> str:
    """Black or white, whichever stands out more on a ground (#rrggbb)."""
    light = luminance(ground)
    return _BLACK if (light + 0.05) ** 2 > 1.05 * 0.05 else _WHITE


def luminance(colour: str) -> float:
    """The relative luminance of #rrggbb, 0 black to 1 white [-].

    Source: WCAG 2.2, relative luminance; the contrast of two colours is (light + 0.05) / (dark + 0.05).
    """
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
