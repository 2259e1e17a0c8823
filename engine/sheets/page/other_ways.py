"""The mortar bed beside other ways to build the floor, as a table for the page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.records import dataclass
from engine.sheets.page.building import Sentence
from engine.sheets.text.site import FITS, WAYS, way_cost, way_load
from engine.survey.spot import Needs
from engine.work.alternatives import NO_PRICES, OWN_PRICES
from engine.work.costs import shopping_bill, way_bill
from engine.work.words import mass_over, time_words, volume_over

if TYPE_CHECKING:
    from engine.plan import Plan
    from engine.sheets.page.sources import Sources


@dataclass(frozen=True, slots=True)
class WayWords:
    """A way's name, and why and with what it can be built."""

    name: str
    says: tuple[Sentence, ...]


def way_words(plan: Plan, sources: Sources) -> list[WayWords]:
    """The ways in words, a column each."""
    if isinstance(plan.work, Needs):
        return []
    return [
        WayWords(
            WAYS[way.name],
            tuple(Sentence(said.text, sources.number(said.source)) for said in (way.why, *way.needs)),
        )
        for way in plan.work.ways
    ]


def way_rows(plan: Plan) -> list[tuple[str, list[str]]]:
    """What each way takes, weighs, waits for and, where there are prices, costs: a row each."""
    if isinstance(plan.work, Needs):
        return []
    work, found, units = plan.work, plan.work.ways, plan.job.units
    rows = [
        ("fits the room", [FITS[way.fits] for way in found]),
        ("mud or leveller", [volume_over(way.volume, units) if way.volume else "none" for way in found]),
        ("which weighs", [mass_over(way.mass, units) if way.mass else "-" for way in found]),
        ("mean load of it", [way_load(way, units) for way in found]),
        ("waits, in all", [time_words(way.waits) for way in found]),
    ]
    if shopping_bill(work) is not None:
        rows.append(("cost, as priced", [way_cost(way_bill(work, way)) for way in found]))
    return rows


def on_prices(plan: Plan) -> str:
    """Where the costs come from, or why there are none."""
    given = not isinstance(plan.work, Needs) and shopping_bill(plan.work) is not None
    return OWN_PRICES if given else NO_PRICES
