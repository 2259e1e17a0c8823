"""The finished bed on the page: how far it is off the plan, where water stands, what is to be mended."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from engine.limits.words import fall_under, length_over, nearly, place_words
from engine.plan import Plan
from engine.proof.words import ONCE_SET, WHILE_GREEN, extent, mend_order, worst_words
from engine.quantities import Units
from engine.records import record
from engine.survey.outline import FloorOutline
from engine.survey.spot import Needs

if TYPE_CHECKING:
    from engine.proof.as_built import AsBuilt


@record
class BuiltWords:
    """What was read of the finished bed, what is to be mended, and how."""

    facts: tuple[tuple[str, str], ...]
    mends: tuple[str, ...]
    how: tuple[str, ...]


def built_words(plan: Plan) -> BuiltWords | None:
    """The finished bed in words; None where there is no reading of it."""
    built, floor, units = plan.as_built, plan.outline, plan.job.units
    if built is None or isinstance(floor, Needs):
        return None
    if isinstance(built, Needs):
        return BuiltWords((("Not judged yet", built.says),), (), ())
    mends = tuple(mend_order(mend, built, floor, units) for mend in built.mending.mends)
    how = (WHILE_GREEN, ONCE_SET) if mends else ()
    return BuiltWords(tuple(_facts(built, floor, units)), mends, how)


def _facts(built: AsBuilt, floor: FloorOutline, units: Units) -> Iterator[tuple[str, str]]:
    least = built.least_fall
    yield "Farthest off", f"{worst_words(built, floor, units)}; sure to {nearly(built.sure, units)}"
    yield ("Least fall", f"{fall_under(least.value, units)}, {place_words(least.x, least.y, floor, units)}")
    for pond in built.ponds:
        deep, at = length_over(pond.depth, units), place_words(pond.x, pond.y, floor, units)
        yield "Standing water", f"{deep} deep {at}, {extent(pond, units)}"
    if not built.ponds:
        yield "Standing water", "none: water runs to the drain from everywhere"
