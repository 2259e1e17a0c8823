"""The mortar bed beside other ways to build the floor, as a table for the page: a row each."""

from __future__ import annotations

from engine.plan import Plan
from engine.records import record
from engine.sheets.text.site import FITS, WAYS, way_cost, way_load
from engine.survey.spot import Needs
from engine.work.alternatives import NO_PRICES
from engine.work.costs import shopping_bill, way_bill
from engine.work.words import mass_over, time_words, volume_over

_HEADS = ("fits the room", "mud or leveller", "which weighs", "mean load of it", "waits, in all")
_COSTS = "Costs go by your own prices; a + stands where something has none."
_IN_WORDS = "What each needs: the plan as text, or the wizard."


@record
class WayRow:
    """A way's name, and what stands under each head."""

    name: str
    cells: tuple[str, ...]


def way_heads(plan: Plan) -> list[str]:
    """What is told of each way: also what it costs, where there are prices."""
    return [*_HEADS, "cost, as priced"] if _is_priced(plan) else list(_HEADS)


def way_rows(plan: Plan) -> list[WayRow]:
    """The ways, each with whether it fits, what it takes, weighs, waits for and, where there are prices, costs."""
    if isinstance(plan.work, Needs):
        return []
    work, units = plan.work, plan.job.units
    return [
        WayRow(
            WAYS[way.name],
            (
                FITS[way.fits],
                volume_over(way.volume, units) if way.volume else "none",
                mass_over(way.mass, units) if way.mass else "-",
                way_load(way, units),
                time_words(way.waits),
                *([way_cost(way_bill(work, way))] if _is_priced(plan) else []),
            ),
        )
        for way in work.ways
    ]


def on_ways(plan: Plan) -> str:
    """Where the ways are told in words, and where the costs come from, or why there are none."""
    return f"{_IN_WORDS} {_COSTS if _is_priced(plan) else NO_PRICES}"


def _is_priced(plan: Plan) -> bool:
    return not isinstance(plan.work, Needs) and shopping_bill(plan.work) is not None
