"""What can be bought, and so be priced in a job, by its key under [prices]."""

from decimal import Decimal
from enum import StrEnum
from typing import Self

from ..phrases import phrase
from .kinds import Kind, Price, Words

_LONGEST_CURRENCY = 12  # characters
CURRENCY = "currency"


class _Bought(StrEnum):
    words: str

    def __new__(cls, words: str) -> Self:
        item = str.__new__(cls, words.replace(" ", "-"))
        item._value_, item.words = str(item), words
        return item


class Item(_Bought):
    """What is bought for the mortar bed."""

    DECK_MUD = phrase("deck mud")
    CEMENT = phrase("portland cement")
    SAND = phrase("sand")
    FELT = phrase("felt")
    POLY = phrase("poly sheet")
    CLEAVAGE = phrase("cleavage membrane")
    LATH = phrase("lath")
    STAPLES = phrase("staples")
    LINER = phrase("liner")
    WEEP_GRAVEL = phrase("weep hole gravel")
    WIRE_FABRIC = phrase("wire fabric")
    MEMBRANE = phrase("bonded membrane")
    STRIP_BOARD = phrase("strip board")
    STRAIGHTEDGE = phrase("straightedge board")
    TILE = phrase("tile")
    TILE_MORTAR = phrase("tile mortar")


class WayItem(_Bought):
    """What other ways to build the floor take instead."""

    LEVELLER = phrase("leveller")
    PRIMER = phrase("primer")
    BEDDING = phrase("bedding mortar")
    TRAY = phrase("sloped tray")
    RECEPTOR = phrase("receptor")


def price_key(item: Item | WayItem) -> str:
    """The item's key under [prices]."""
    return item.value.replace("-", "_")


def item_words(item: Item | WayItem) -> str:
    """An item as one reads it: "deck mud"."""
    return item.words


PRICE_KINDS: dict[str, Kind] = {
    CURRENCY: Words(_LONGEST_CURRENCY),
    **{price_key(item): Price(Decimal(1_000_000)) for item in (*Item, *WayItem)},
}
