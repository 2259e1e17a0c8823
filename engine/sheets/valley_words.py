"""Valleys in words: from where to where a line runs across the floor, and how high its ends stand."""

from __future__ import annotations

import numpy as np

from engine.bed.valley.bed import Line
from engine.limits.words import nearly, place_words
from engine.plan import Plan
from engine.quantities import format_length
from engine.survey.outline import FloorOutline
from engine.survey.spot import Needs, Spot


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
