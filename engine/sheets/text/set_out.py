"""What is set out on the floor beside the marks, as text: ridges between drains."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.bed.ridge_lines import ridge_lines
from engine.bed.surfaces import Hidden
from engine.limits.words import nearly, place_words
from engine.sheets.words import entry, heading, paragraph
from engine.survey.spot import Needs

if TYPE_CHECKING:
    from collections.abc import Iterator

    from engine.bed.ridges import Ridge
    from engine.plan import Plan
    from engine.survey.outline import FloorOutline
    from engine.survey.rough_floor import RoughFloor


def ridges(plan: Plan) -> Iterator[str]:
    """The lines at which the parts of two drains meet: from where to where, and how high the bed stands there."""
    if (
        isinstance(plan.bed, Needs | Hidden)
        or isinstance(plan.rough, Needs)
        or isinstance(plan.outline, Needs)
    ):
        return
    found = ridge_lines(plan.bed)
    if not found:
        return
    yield from heading("Ridges between drains")
    yield from paragraph(
        "Snap these lines on the floor and set a strip or a ridge of mud along each: the bed falls away from it to "
        "both sides. Between two places a ridge runs straight."
    )
    for ridge in found:
        first, second = ridge.drains
        yield f"Between drain {first + 1} and drain {second + 1}"
        yield from _places(ridge, plan.outline, plan.rough, plan)


def _places(ridge: Ridge, floor: FloorOutline, rough: RoughFloor, plan: Plan) -> Iterator[str]:
    units, below = plan.job.units, rough.height(ridge.points).tolist()
    rows = zip(ridge.points.tolist(), ridge.heights.tolist(), below, strict=True)
    for number, ((x, y), high, low) in enumerate(rows):
        yield from entry(
            "to" if number else "from",
            f"{place_words(x, y, floor, units)}, {nearly(high, units)} over drain 1, "
            f"{nearly(high - low, units)} over floor",
        )
