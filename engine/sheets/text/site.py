"""The plan as text: what is bought and done, and other ways to build the floor."""

from collections.abc import Iterator, Mapping

from ...packed import wording
from ...phrases import phrase
from ...quantities import Units
from ...work.alternatives import Fits, Way, WayName
from ...work.costs import Bill, line_words, money, shopping_bill, total_words, way_bill
from ...work.shopping import amount, item_words
from ...work.steps import Said, Step
from ...work.whole import Work
from ...work.words import load_over, mass_over, time_words, volume_over
from ..words import below, entry, heading, item, paragraph
from .build import of_work

_HEAD, _CELL = 20, 20  # signs of a table's first column and of the others
WAYS: Mapping[WayName, str] = {
    WayName.MORTAR_BED: phrase("mortar bed"),
    WayName.LEVELLED_AND_TRAY: phrase("level, then a tray"),
    WayName.RECEPTOR: phrase("one-piece receptor"),
}
WAY_COST = "cost, as priced"
FITS: Mapping[Fits, str] = {Fits.YES: phrase("yes"), Fits.NO: phrase("no"), Fits.ASK: phrase("ask its maker")}


@of_work
def shopping(work: Work) -> Iterator[str]:
    """What is bought, and how it was reckoned."""
    yield from heading("Shopping list")
    bill = shopping_bill(work)
    for purchase in work.shopping:
        yield from item(
            f"{item_words(purchase.item)}: {amount(purchase)}. Reckoned: {purchase.reckoned} (source: "
            f"{purchase.source})"
        )
        line = bill and bill.line(purchase.item)
        if bill and line:
            yield from paragraph(f"Cost: {line_words(line, bill.currency)}", "  ")
    if bill:
        yield from entry("Cost in all", total_words(bill))
    yield from paragraph(f"{wording('work')['not-reckoned']}.")


@of_work
def order(work: Work) -> Iterator[str]:
    """The steps, each with its day, needs, cautions and wait."""
    yield from heading("Order of work")
    if work.site.job.start is None:
        yield from paragraph("Days are counted from the first one. Give job.start, and each step has its date.")
    for step in work.order:
        yield from _step(step)


def _step(step: Step) -> Iterator[str]:
    task = step.task
    day = f"day {step.day + 1}" + ("" if step.date is None else f", {step.date.isoformat()}")
    yield ""
    yield from paragraph(f"Step {step.number}, {day}: {task.title}", hanging="  ")
    for caution in task.cautions:
        name = caution.hazard.value.replace("-", " ")
        yield from below(f"CAUTION, {name}: {caution.says} (source: {caution.source})")
    for said in task.says:
        yield from paragraph(_said(said), "  - ", "    ")
    if task.needs:
        yield from below(f"Needs: {', '.join(task.needs)}")
    if task.hours is not None:
        yield from below(f"Takes about: {time_words(round(task.hours, 1))}")
    if task.wait is not None:
        yield from below(f"Wait: {task.wait.says} (source: {task.wait.source})")


def _said(said: Said) -> str:
    return f"{said.text} (source: {said.source})" if said.source else said.text


@of_work
def ways(work: Work) -> Iterator[str]:
    """The mortar bed beside other ways, as a table, then in words."""
    yield from heading("Other ways to build it")
    table = way_table(work)
    for head, cells in table.items():
        yield "".join([f"{head:<{_HEAD}}", *(f"{cell:<{_CELL}}" for cell in cells)]).rstrip()
    for way in work.ways:
        yield ""
        yield from entry(WAYS[way.name].capitalize(), _said(way.why))
        for need in way.needs:
            yield from item(_said(need))
        bill = way_bill(work, way)
        if bill:
            yield from item(f"Cost: {total_words(bill)}")
    yield ""
    yield from paragraph(wording("work")["own-prices" if WAY_COST in table else "no-prices"])


def way_table(work: Work) -> dict[str, list[str]]:
    """What is told of every way, a cell each, by head; costs last, if there are prices."""
    found, units = work.ways, work.units
    table = {
        "": [WAYS[way.name] for way in found],
        "fits the room": [FITS[way.fits] for way in found],
        "mud or leveller": [volume_over(way.volume, units) if way.volume else "none" for way in found],
        "which weighs": [mass_over(way.mass, units) if way.mass else "-" for way in found],
        "mean load of it": [way_load(way, units) for way in found],
        "waits, in all": [time_words(way.waits) for way in found],
    }
    bills = [bill for way in found if (bill := way_bill(work, way))]
    return table | ({WAY_COST: [_cost(bill) for bill in bills]} if bills else {})


def _cost(bill: Bill) -> str:
    if bill.total is None:
        return "-"
    total = money(bill.total, bill.currency)
    return f"{total} +" if bill.unpriced else total


def way_load(way: Way, units: Units) -> str:
    """The mean load of a way's mud or leveller."""
    return load_over(way.load, units).split(" (")[0] if way.load else "-"
