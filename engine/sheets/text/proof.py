"""The proof as text: the finished bed against the plan."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
from typing import TYPE_CHECKING

from ...limits.words import fall_over, fall_under, length_over
from ...packed import wording
from ...plan import Needs, Plan
from ...proof.words import error_words, extent, mend_order, worst_words
from ...quantities import Units, format_area, format_length, format_share
from ...survey.place_words import place_words
from ..built_falls import MOST_TOLD, built_falls, fall_words
from ..catchment_words import built_catchments, planned_catchments, share_words
from ..sure_words import HAND_TITLE, SURE_TITLE, hand_rows, sure_rows
from ..words import entry, heading, item, paragraph, section

if TYPE_CHECKING:
    from ...proof.as_built import AsBuilt

_MOST_ROWS = 60  # further stations and lines stand in the JSON


def sure(plan: Plan) -> Iterator[str]:
    """How sure the depth is."""
    return section(SURE_TITLE, sure_rows(plan), wording("holds")["sure"])


def hand(plan: Plan) -> Iterator[str]:
    """The room left for a hand that is not perfect."""
    return section(HAND_TITLE, hand_rows(plan), wording("holds")["hand"])


def as_built(plan: Plan) -> Iterator[str]:
    """The finished bed by its readings, if any."""
    built, units = plan.as_built, plan.units
    if built is None:
        return
    yield from heading("The finished bed, as it was read")
    if isinstance(built, Needs):
        yield from paragraph(f"It cannot be judged yet: {built.says}")
        return
    yield from _errors(built, units)
    yield from _falls(plan, built, units)
    yield from _water(plan, built, units)
    yield from _mends(built, units)


def _errors(built: AsBuilt, units: Units) -> Iterator[str]:
    yield from entry("Farthest off", worst_words(built, units))
    yield from entry(
        "Sure to", f"{length_over(built.sure, units)}, 19 times in 20, from the way the readings were typed"
    )
    for station in built.stations[:_MOST_ROWS]:
        place = place_words(station.x, station.y, built.floor, units)
        yield from entry("Off the plan", f"{error_words(station.error, units)}, {place}")


def _falls(plan: Plan, built: AsBuilt, units: Units) -> Iterator[str]:
    least, most, floor = built.least_fall, built.most_fall, built.floor
    yield from entry(
        "Least fall", f"{fall_under(least.value, units)}, from the wall {place_words(least.x, least.y, floor, units)}"
    )
    yield from entry(
        "Most fall", f"{fall_over(most.value, units)}, from the wall {place_words(most.x, most.y, floor, units)}"
    )
    for mark, fall in islice(built_falls(plan), MOST_TOLD):
        yield from entry("Fall to the drain", fall_words(plan, mark, fall))


def _water(plan: Plan, built: AsBuilt, units: Units) -> Iterator[str]:
    areas, planned = built_catchments(plan), planned_catchments(plan)
    for number, (area, meant) in enumerate(zip(areas, planned, strict=True), start=1):
        told = f"{share_words(area, areas, units)}; planned {format_share(meant / sum(planned), units)}"
        yield from entry(f"Runs to drain {number}", f"the water of about {told}")
    if not built.ponds:
        yield from entry("Standing water", "none: water runs to the drain from everywhere")
    for pond in built.ponds:
        deep, at = length_over(pond.depth, units), place_words(pond.x, pond.y, built.floor, units)
        wide, size = extent(pond, units), format_area(pond.area, units)
        yield from entry("Standing water", f"{deep} deep {at}, {wide}, {size}")


def _mends(built: AsBuilt, units: Units) -> Iterator[str]:
    mending = built.mending
    yield from heading("The mend list")
    if not mending.mends:
        yield from paragraph("Nothing to mend: no reading is farther off than 1/8 in (3 mm) and water runs off.")
        return
    for mend in mending.mends:
        yield from item(mend_order(mend, built, units))
    left = "no water stands" if not mending.ponds_left else f"{mending.ponds_left} ponds are left"
    yield from paragraph(f"With that done {left}, and the least fall is {fall_under(mending.least_fall.value, units)}.")
    yield from paragraph(wording("proof")["while-green"])
    yield from paragraph(wording("proof")["once-set"])


def flood_log(plan: Plan) -> Iterator[str]:
    """How the flood test went, if it is logged."""
    judged = plan.flood_log
    if judged is None:
        return
    yield from heading("The flood test")
    yield from entry(judged.verdict.value.capitalize(), judged.says)
    yield from entry("Do", judged.remedy)
    loss = judged.loss
    if loss is not None:
        dried, sure = (format_length(value, plan.units) for value in (loss.dried, loss.sure))
        yield from entry("Allowed to dry", f"{dried}, and marks are sure to {sure}")
    yield from entry("Standard", judged.standard)
    yield from entry("Source", judged.source)
