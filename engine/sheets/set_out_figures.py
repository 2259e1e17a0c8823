"""What is set out on the floor beside the marks, as plain values for the plan as JSON: ridges between drains."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.bed.ridge_lines import ridge_lines
from engine.bed.surfaces import Hidden
from engine.sheets.figures import length
from engine.survey.spot import Needs

if TYPE_CHECKING:
    from engine.bed.ridges import Ridge
    from engine.plan import Plan
    from engine.sheets.figures import Figures
    from engine.survey.rough_floor import RoughFloor


def set_out_figures(plan: Plan) -> Figures:
    """By key, lengths in [mm]; None for what the plan still waits for. Drains are counted from 1."""
    return {"ridges": _ridges(plan)}


def _ridges(plan: Plan) -> list[Figures] | None:
    if isinstance(plan.bed, Needs | Hidden) or isinstance(plan.rough, Needs):
        return None
    return [_ridge(ridge, plan.rough) for ridge in ridge_lines(plan.bed)]


def _ridge(ridge: Ridge, rough: RoughFloor) -> Figures:
    below = rough.height(ridge.points).tolist()
    rows = zip(ridge.points.tolist(), ridge.heights.tolist(), below, strict=True)
    return {
        "drains": [drain + 1 for drain in ridge.drains],
        "points": [
            {"x": length(x), "y": length(y), "above_drain": length(high), "above_rough": length(high - low)}
            for (x, y), high, low in rows
        ],
    }
