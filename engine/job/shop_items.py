"""What can be bought, and so what a job can name a price for, by its key under [prices]."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from enum import StrEnum
from typing import Final

from engine.job.kinds import Kind, Price, Words
from engine.phrases import phrase

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
    PRIMER = "primer"
    BEDDING = "bedding-mortar"
    TRAY = "sloped-tray"
    RECEPTOR = "receptor"


def price_key(item: Item | WayItem) -> str:
    """The item's key under [prices]."""
    return item.value.replace("-", "_")


_NAMES: Final[Mapping[Item | WayItem, str]] = {
    Item.DECK_MUD: phrase("deck mud"),
    Item.CEMENT: phrase("portland cement"),
    Item.SAND: phrase("sand"),
    Item.FELT: phrase("felt"),
    Item.POLY: phrase("poly sheet"),
    Item.CLEAVAGE: phrase("cleavage membrane"),
    Item.LATH: phrase("lath"),
    Item.STAPLES: phrase("staples"),
    Item.LINER: phrase("liner"),
    Item.WEEP_GRAVEL: phrase("weep hole gravel"),
    Item.WIRE_FABRIC: phrase("wire fabric"),
    Item.MEMBRANE: phrase("bonded membrane"),
    Item.STRIP_BOARD: phrase("strip board"),
    Item.STRAIGHTEDGE: phrase("straightedge board"),
    Item.TILE: phrase("tile"),
    Item.TILE_MORTAR: phrase("tile mortar"),
    WayItem.LEVELLER: phrase("leveller"),
    WayItem.PRIMER: phrase("primer"),
    WayItem.BEDDING: phrase("bedding mortar"),
    WayItem.TRAY: phrase("sloped tray"),
    WayItem.RECEPTOR: phrase("receptor"),
}


def item_words(item: Item | WayItem) -> str:
    """An item as one reads it: "deck mud"."""
    return _NAMES[item]


PRICE_KINDS: dict[str, Kind] = {
    CURRENCY: Words(_LONGEST_CURRENCY),
    **{price_key(item): Price(Decimal(1_000_000)) for item in (*Item, *WayItem)},
}
