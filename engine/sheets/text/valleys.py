"""The plan as text: the valleys of level walls, set out on the floor before any mud is laid."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from engine.bed.valley.bed import ValleyWalls
from engine.limits.words import fall_under, nearly, place_words
from engine.quantities import format_length
from engine.sheets.words import entry, heading, paragraph
from engine.survey.spot import Needs

if TYPE_CHECKING:
    from collections.abc import Iterator

    from engine.bed.valley.bed import Line
    from engine.plan import Plan
    from engine.survey.outline import FloorOutline
    from engine.survey.spot import Spot


def valleys(plan: Plan) -> Iterator[str]:
    """From where to where each valley runs, at which heights; level ridges; how the facets lie between them."""
    bed, floor = plan.bed, plan.outline
    if not isinstance(bed, ValleyWalls) or isinstance(floor, Needs):
        return
    units = plan.job.units
    yield from heading("Valleys, set out before any mud is laid")
    yield from paragraph(
        "Each is a straight line on the finished bed. Set its two ends to their heights and pull it straight; all "
        f"valleys fall {fall_under(bed.valley_fall, units)}. Then pull the facets: each lies straight between its "
        f"wall, {format_length(bed.wall_height, units)} above the drain all along, and the valley before it, and is "
        "creased along the line from a corner or a place of the wall to the valley's end."
    )
    for number, line in enumerate(bed.valleys, 1):
        yield from entry(f"Valley {number}", _line(plan, floor, line))
    for ridge in bed.ridges:
        yield from entry("Level ridge", _line(plan, floor, ridge))


def _line(plan: Plan, floor: FloorOutline, line: Line) -> str:
    span = float(np.hypot(line.high.x - line.low.x, line.high.y - line.low.y))
    low = "the flange's edge, at its height" if not line.low.value else _end(plan, floor, line.low)
    return f"from {low}, to {_end(plan, floor, line.high)}; {nearly(span, plan.job.units)} long"


def _end(plan: Plan, floor: FloorOutline, spot: Spot) -> str:
    """A place with its height over the drain and, where the drain's drop is known, its reading off the line."""
    units = plan.job.units
    place = place_words(spot.x, spot.y, floor, units)
    line = ""
    if not isinstance(plan.drains, Needs) and plan.drains[0].drop is not None:
        line = f", line reading {format_length(plan.drains[0].drop - spot.value, units)}"
    return f"{place}, {format_length(spot.value, units)} above the drain{line}"
