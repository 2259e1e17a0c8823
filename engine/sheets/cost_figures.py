"""Costs for the JSON and the shopping list as CSV, where the job gives prices."""

import csv
import io

from ..plan import Plan
from ..work.costs import Bill, shopping_bill, to_cents
from ..work.shopping import Purchase
from .figures import Figures

_HEAD = ("item", "quantity", "unit", "of", "reckoned", "source")
_PRICED = ("price", "cost", "currency")
_OBEYED = ("=", "+", "-", "@", "\t", "\r")  # a spreadsheet takes a cell that begins so for a formula


def bill_figures(bill: Bill) -> Figures:
    """The total of what has a price, rounded up to cents once, and what has none."""
    return {
        "currency": bill.currency,
        "total": None if bill.total is None else float(to_cents(bill.total)),
        "unpriced": [item.value for item in bill.unpriced],
    }


def shopping_csv(plan: Plan) -> str:
    """The shopping list as CSV, a line an item, with price and cost if given; a bare head until the plan is whole.

    Raises JobError for strip or stock entries that fit none.
    """
    work = plan.work
    bill = shopping_bill(work) if work else None
    found = io.StringIO()
    writer = csv.writer(found, lineterminator="\n")
    writer.writerow(_HEAD if bill is None else (*_HEAD, *_PRICED))
    for purchase in work.shopping if work else ():
        told = (purchase.item.value, f"{purchase.quantity:g}", purchase.unit, purchase.of, purchase.reckoned)
        cells = (*told, purchase.source, *_costs(purchase, bill))
        writer.writerow([f"'{cell}" if cell.startswith(_OBEYED) else cell for cell in cells])
    return found.getvalue()


def _costs(purchase: Purchase, bill: Bill | None) -> tuple[str, ...]:
    if bill is None:
        return ()
    line = bill.line(purchase.item)
    return ("", "", "") if line is None else (f"{line.each:f}", f"{to_cents(line.cost):f}", bill.currency)
