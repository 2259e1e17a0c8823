"""A field for the price of each thing on the shopping list, and of what other ways take."""

from engine.errors import JobError
from engine.job.defaults import supply
from engine.job.model import Priced, Supply
from engine.job.shop_items import CURRENCY, Item, WayItem, price_key
from engine.phrases import phrase, shaped
from engine.quantities import Units
from engine.work.costs import line_words, shopping_bill
from engine.work.shopping import Purchase, item_words
from engine.work.whole import Work

from .own_figures import PRICES, price_keys
from .rows import Row
from .view import View, heading, words

_PACKS = {
    "bag": phrase("bag"),
    "board": phrase("board"),
    "box": phrase("box"),
    "handful": phrase("handful"),
    "piece": phrase("piece"),
    "roll": phrase("roll"),
    "sheet": phrase("sheet"),
}
_POURED = Units.pair(phrase("cu ft in place"), phrase("L in place"))
_COVERED = Units.pair(phrase("sq ft of floor"), phrase("m2 of floor"))
_COUNTED = {WayItem.LEVELLER: _POURED, WayItem.PRIMER: _COVERED, WayItem.BEDDING: _COVERED}


def price_rows(view: View) -> list[Row]:
    """The currency and the mud; once one is given also the shopping list, other ways, all else priced."""
    waiting = [key for key in view.session.pending if key.startswith(PRICES)]
    given = [key.removeprefix(PRICES) for key in (*price_keys(view.job), *waiting)]
    work = _work(view) if given else None  # reckoned only where costs are wanted
    listed = {} if work is None else {price_key(one.item): one for one in work.shopping}
    mud = Item.DECK_MUD if supply(view.job) is Supply.BAG else Item.CEMENT
    ways = [price_key(item) for item in WayItem] if given else [price_key(mud)]
    keys = [key for key in dict.fromkeys([*listed, *ways, *given]) if key != CURRENCY]
    currency = view.text_row(f"{PRICES}{CURRENCY}", None, left_out=phrase("not said"))
    rows = [_row(view, key, listed.get(key), work) for key in keys]
    more = [] if given else [words("more-prices", phrase("Give one, and the rest of the shopping list is asked for."))]
    return [heading("prices", phrase("Your prices, where costs are wanted")), currency, *rows, *more]


def _work(view: View) -> Work | None:
    try:
        work = None if view.plan is None else view.plan.work
    except JobError:
        return None  # what stops the work is told at its own field
    return work or None


def _row(view: View, key: str, purchase: Purchase | None, work: Work | None) -> Row:
    item = next(item for item in (*Item, *WayItem) if price_key(item) == key)
    label = shaped(item_words(item), str.capitalize)
    unit = "" if purchase is None else _pack(purchase)
    if isinstance(item, WayItem) and item in _COUNTED:
        unit = _COUNTED[item][view.job.units]
    if unit:
        label = phrase("{item}, each {unit}", item=label, unit=unit)
    echo = _echo(view, item, work)
    return view.text_row(f"{PRICES}{key}", None, label=label, left_out=phrase("no price"), echo=echo)


def _pack(purchase: Purchase) -> str:
    unit = _PACKS.get(purchase.unit, purchase.unit)
    if not purchase.of or purchase.unit in ("sq ft", "m2", "board"):
        return unit
    return phrase("{unit} of {size}", unit=unit, size=purchase.of)


def _echo(view: View, item: Item | WayItem, work: Work | None) -> str:
    given = dict(view.job.prices).get(price_key(item))
    bill = None if work is None or view.plan is None or view.plan.job != view.job else shopping_bill(work)
    line = None if bill is None else bill.line(item)
    if line is None or bill is None or not isinstance(given, Priced):
        return ""
    return line_words(line, bill.currency)
