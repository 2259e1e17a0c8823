"""What can be bought, and so what a job can name a price for, by its key under [prices]."""

from __future__ import annotations

from decimal import Decimal
from enum import StrEnum
from typing import TYPE_CHECKING

from engine.job.kinds import Price, Words

if TYPE_CHECKING:
    from engine.job.kinds import Kind

_LONGEST_CURRENCY = 12  # characters
CURRENCY = "currency"


class Item(StrEnum):
    """What is bought for the mortar bed."""

    DECK_MUD = "deck-mud"
    CEMENT = "portland-cement"
    SAND = "sand"
    FELT = "felt"
    POLY = "poly-sheet"
    CLEAVAGE = "cleavage-membrane"
    LATH = "lath"
    STAPLES = "staples"
    LINER = "liner"
    WEEP_GRAVEL = "weep-hole-gravel"
    WIRE_FABRIC = "wire-fabric"
    MEMBRANE = "bonded-membrane"
    STRIP_BOARD = "strip-board"
    STRAIGHTEDGE = "straightedge-board"
    TILE = "tile"
    TILE_MORTAR = "tile-mortar"


class WayItem(StrEnum):
    """What other ways to build the floor take instead."""

    LEVELLER = "leveller"
    TRAY = "sloped-tray"
    RECEPTOR = "receptor"


def price_key(item: Item | WayItem) -> str:
    """The item's key under [prices]."""
    return item.value.replace("-", "_")


PRICE_KINDS: dict[str, Kind] = {
    CURRENCY: Words(_LONGEST_CURRENCY),
    **{price_key(item): Price(Decimal(1_000_000)) for item in (*Item, *WayItem)},
}
