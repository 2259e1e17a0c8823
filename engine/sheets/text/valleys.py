"""The plan as text: the valleys of level walls, set out before any mud is laid, from where to where and how high."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from engine.bed.surfaces import Hidden
from engine.bed.valley.bed import Line
from engine.bed.valley_lines import ValleyPart, level_lines, valley_lines, valley_parts
from engine.limits.words import fall_under, nearly, place_words
from engine.plan import Plan
from engine.quantities import format_length
from engine.sheets.words import entry, heading, paragraph
from engine.survey.outline import FloorOutline
from engine.survey.spot import Needs, Spot


def valleys(plan: Plan) -> Iterator[str]:
    """From where to where each valley runs, at which heights; level ridges; how the facets lie between them."""
    bed, floor = plan.bed, plan.outline
    if isinstance(bed, Needs | Hidden) or isinstance(floor, Needs):
        return
    parts = valley_parts(bed)
    if not parts:
        return
    units = plan.job.units
    yield from heading("Valleys, set out before any mud is laid")
    yield from paragraph(
        "Each is a straight line on the finished bed. Set its two ends to their heights and pull it straight; "
        f"{_falls(plan, parts)}. Then pull the facets: each lies straight between its wall, "
        f"{format_length(bed.wall_height, units)} above the drain all along, and the valley before it, and is "
        "creased along the line from a corner or a place of the wall to the valley's end."
    )
    for number, line in enumerate(valley_lines(bed), 1):
        yield from entry(f"Valley {number}", line_words(plan, floor, line))
    for ridge in level_lines(bed):
        yield from entry("Level ridge", line_words(plan, floor, ridge))


def _falls(plan: Plan, parts: tuple[ValleyPart, ...]) -> str:
    falls = [fall_under(part.bed.valley_fall, plan.job.units) for part in parts]
    if len(plan.job.drains) == 1:
        return f"all valleys fall {falls[0]}"
    return "all valleys " + " and ".join(
        f"to drain {part.drain + 1} fall {fall}" for part, fall in zip(parts, falls, strict=True)
    )


def line_words(plan: Plan, floor: FloorOutline, line: Line) -> str:
    """From where to where a line runs, how high its ends stand, and how long it is."""
    span = float(np.hypot(line.high.x - line.low.x, line.high.y - line.low.y))
    high, long = _end(plan, floor, line.high), nearly(span, plan.job.units)
    if line.drain is None:
        return f"one end {_end(plan, floor, line.low)}, the other {high}; {long} long"
    return f"from {_flange(plan, line.drain)}, to {high}; {long} long"


def _flange(plan: Plan, drain: int) -> str:
    if len(plan.job.drains) == 1:
        return "the flange's edge, at its height"
    return f"the edge of drain {drain + 1}'s flange, at its height"


def _end(plan: Plan, floor: FloorOutline, spot: Spot) -> str:
    units = plan.job.units
    place = place_words(spot.x, spot.y, floor, units)
    line = ""
    if not isinstance(plan.drains, Needs) and plan.drains[0].drop is not None:
        line = f", line reading {format_length(plan.drains[0].drop - spot.value, units)}"
    above = "the drain" if len(plan.job.drains) == 1 else "drain 1"
    return f"{place}, {format_length(spot.value, units)} above {above}{line}"
