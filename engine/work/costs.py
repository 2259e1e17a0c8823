"""What things cost by the job's own prices alone: exact decimals, rounded up to cents where told."""

from collections.abc import Iterable
from decimal import ROUND_CEILING, Decimal

from ..job.model import Job, Priced
from ..job.shop_items import CURRENCY, Item, WayItem, item_words, price_key
from ..phrases import joined, phrase
from ..quantities import CUBIC_FOOT, FOOT, LITRE, Units, round_up
from ..records import record
from .alternatives import Way, WayName
from .shopping import Purchase
from .whole import Work

_CENT = Decimal("0.01")
OVER_A_TRAY = (Item.MEMBRANE, Item.TILE, Item.TILE_MORTAR)
_AREA = Units.pair(FOOT**2, 1e6)  # primer and bedding mortar by the floor covered
_POURED = Units.pair(CUBIC_FOOT, LITRE)  # leveller by its volume in place


@record
class Needed:
    """So much of an item, in its price's unit."""

    item: Item | WayItem
    quantity: Decimal


@record
class Line:
    """An item with its price: so many at so much each."""

    needed: Needed
    each: Decimal

    @property
    def cost(self) -> Decimal:
        """Exact, not rounded."""
        return self.needed.quantity * self.each


@record
class Bill:
    """What has a price, and what has none."""

    lines: tuple[Line, ...]
    unpriced: tuple[Item | WayItem, ...]
    currency: str

    @property
    def total(self) -> Decimal | None:
        """Of what has a price; None where nothing has."""
        return sum((line.cost for line in self.lines), Decimal(0)) if self.lines else None

    def line(self, item: Item | WayItem) -> Line | None:
        """An item's line; None without a price."""
        return next((line for line in self.lines if line.needed.item is item), None)


def shopping_bill(work: Work) -> Bill | None:
    """The bill of the shopping list; None where the job gives no price."""
    return _bill(work.site.job, [_bought(purchase) for purchase in work.shopping])


def way_bill(work: Work, way: Way) -> Bill | None:
    """The bill of a way: the shopping list, or what stands for it; None where the job gives no price.

    A tray gets the list's membrane and tile, so that it costs as much floor as the mortar bed.
    """
    if way.name is WayName.MORTAR_BED:
        return shopping_bill(work)
    units = work.units
    counts = (
        (WayItem.LEVELLER, way.volume / _POURED[units], 0.01),
        (WayItem.PRIMER, way.primed / _AREA[units], 1.0),
        (WayItem.BEDDING, way.bedded / _AREA[units], 1.0),
    )
    needed = [
        Needed(item, Decimal(f"{round_up(count, step):.2f}").normalize()) for item, count, step in counts if count
    ]
    if way.name is WayName.RECEPTOR:
        return _bill(work.site.job, [*needed, Needed(WayItem.RECEPTOR, Decimal(1))])
    over = [_bought(purchase) for purchase in work.shopping if purchase.item in OVER_A_TRAY]
    return _bill(work.site.job, [*needed, Needed(WayItem.TRAY, Decimal(1)), *over])


def to_cents(amount: Decimal) -> Decimal:
    """An amount rounded up to whole cents."""
    return amount.quantize(_CENT, ROUND_CEILING)


def money(amount: Decimal, currency: str) -> str:
    """An amount in words, rounded up to cents: "37.50 EUR"; "37.50" without a currency."""
    number = f"{to_cents(amount):f}"
    return phrase("{amount} {currency}", amount=number, currency=currency) if currency else number


def line_words(line: Line, currency: str) -> str:
    """How an item's cost is reckoned: "3 at 12.50 EUR each: 37.50 EUR"."""
    each = phrase("{amount} {currency}", amount=f"{line.each:f}", currency=currency) if currency else f"{line.each:f}"
    cost = money(line.cost, currency)
    return phrase("{number} at {each} each: {cost}", number=f"{line.needed.quantity:f}", each=each, cost=cost)


def total_words(bill: Bill) -> str:
    """What all with a price costs, and what has none."""
    left = joined(", ", [item_words(item) for item in bill.unpriced])
    if bill.total is None:
        return phrase("nothing here has a price: {items}", items=left)
    return phrase(
        "{total}, without a price: {items}" if bill.unpriced else "{total}, everything priced",
        total=money(bill.total, bill.currency),
        items=left,
    )


def _bought(purchase: Purchase) -> Needed:
    return Needed(purchase.item, Decimal(repr(purchase.quantity)).normalize())


def _bill(job: Job, needed: Iterable[Needed]) -> Bill | None:
    prices = {key: given.each for key, given in job.prices if isinstance(given, Priced)}
    if not prices:
        return None
    found = list(needed)
    lines = tuple(Line(one, prices[price_key(one.item)]) for one in found if price_key(one.item) in prices)
    unpriced = tuple(one.item for one in found if price_key(one.item) not in prices)
    return Bill(lines, unpriced, str(dict(job.prices).get(CURRENCY, "")))
