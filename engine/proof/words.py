"""What the proof says of ponds and mends."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from ..limits.words import nearly
from ..phrases import phrase
from ..quantities import Units, format_length
from ..survey.outline import FloorOutline
from ..survey.place_words import paced, place_words
from .tolerance import ENOUGH, Sureness

if TYPE_CHECKING:
    from .as_built import AsBuilt
    from .mend import Mend
    from .water import Pond

CUT_OUT = 6.35  # [mm] 1/4 in: what is lower is not filled with mortar (common practice, no source)
_ROUND = 1.2  # a pond less long than so many times its width is told as round
_NARROW = 2.0  # [mm] narrower ones are told as this wide: no water stands on nothing


def extent(pond: Pond, units: Units) -> str:
    """How wide a pond is: "about 8 in across", "about 12 in by 5 in"."""
    long, wide = (paced(max(side, _NARROW), units) for side in (pond.long, pond.wide))
    is_round = pond.long < _ROUND * pond.wide
    return phrase("about {long} across" if is_round else "about {long} by {wide}", long=long, wide=wide)


def mend_words(mend: Mend, floor: FloorOutline, units: Units) -> str:
    """A mend as an order: "fill 3/16 in at corner A"."""
    by, place = nearly(abs(mend.add), units), place_words(mend.x, mend.y, floor, units)
    if by == nearly(0.0, units):
        return phrase("true it up {place}", place=place)
    return phrase("fill {by} {place}" if mend.add > 0 else "shave off {by} {place}", by=by, place=place)


def mend_order(mend: Mend, built: AsBuilt, units: Units) -> str:
    """A mend in the list: how much, where, until what the line reads, and what once it is set."""
    return phrase(
        "{work} until the line reads {reading}; once it is set, {instead}",
        work=mend_words(mend, built.floor, units),
        reading=nearly(built.line - built.stations[mend.station].planned, units),
        instead=_instead(mend.add),
    )


def _instead(add: float) -> str:
    if add < 0:
        return phrase("rub it down wet")
    if add > CUT_OUT:
        return phrase("cut it out and pack it anew")
    return phrase("fill it with tile mortar or a patch")


def error_words(error: float, units: Units) -> str:
    """How far off the plan, up positive [mm]: "3/16 in low", "as planned"."""
    told = nearly(abs(error), units)
    if told == nearly(0.0, units):
        return phrase("as planned")
    return phrase("{off} high" if error > 0 else "{off} low", off=told)


def worst_words(built: AsBuilt, units: Units) -> str:
    """How far the worst reading is off the plan, and where, or that none is."""
    worst = built.worst
    off = error_words(worst.value, units)
    if off == error_words(0.0, units):
        return phrase("none, every reading is as planned")
    return phrase("{off}, {place}", off=off, place=place_words(worst.x, worst.y, built.floor, units))


def next_words(found: Sureness, floor: FloorOutline, units: Units) -> str:
    """Which reading narrows the depth most and by how much, or that there are enough."""
    best = found.next
    if best is None:
        return phrase("none is wanted: every place worth reading is read")
    at = place_words(best.x, best.y, floor, units)
    if found.is_enough:
        return phrase(
            "enough: even the best, {at}, adds less than {enough} to the depth that can be counted on",
            at=at,
            enough=format_length(ENOUGH, units),
        )
    return phrase(
        "{at}: it adds {gain} to the depth that can be counted on", at=at, gain=format_length(best.gain, units)
    )


def chance_words(chance: float) -> str:
    """A chance, 0 to 1, rounded up to whole percents."""
    if chance < 0.005:
        return phrase("less than 1 % likely")
    return phrase("{percent} % likely", percent=min(math.ceil(round(100 * chance, 6)), 100))
