"""What the floor is set out by beside the marks, as plain values for the plan as JSON.

How taped lengths fit, curved walls, the ends of channels, the ridges between drains, how much floor each takes.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from engine.bed.drains import SetDrain
from engine.bed.ridge_lines import ridge_lines
from engine.bed.ridges import Ridge
from engine.bed.surfaces import Hidden
from engine.job.model import Job
from engine.plan import Plan
from engine.sheets.catchment_words import planned_catchments
from engine.sheets.figures import Figures, known, length, lengths, ratio, rounded
from engine.survey.outline import FloorOutline, next_diagonal
from engine.survey.rough_floor import RoughFloor
from engine.survey.spot import Needs
from engine.survey.tape import Residual


def set_out_figures(plan: Plan) -> Figures:
    """By key, lengths in [mm]; None for what the plan still waits for. Drains are counted from 1."""
    return {
        "tape": known(plan.outline, lambda floor: [_taped(residual) for residual in floor.residuals]),
        "next_diagonal": known(plan.outline, partial(_diagonal, plan.job)),
        "curves": known(plan.outline, lambda floor: list(_curves(floor))),
        "channels": known(plan.drains, lambda drains: list(_channels(drains))),
        "ridges": _ridges(plan),
        "catchments": _catchments(plan),
    }


def _taped(residual: Residual) -> Figures:
    return {"name": residual.name, **lengths(residual, "measured", "adjusted", "misfit", "oddness")}


def _diagonal(job: Job, floor: FloorOutline) -> Figures | None:
    fix = next_diagonal(job, floor)
    if fix is None:
        return None
    return {
        "from": floor.names[fix.start],
        "to": floor.names[fix.end],
        "least_sure": floor.names[fix.corner],
        **lengths(fix, "unsure", "left"),
    }


def _curves(floor: FloorOutline) -> Iterator[Figures]:
    for wall, arc in zip(floor.walls, floor.arcs, strict=True):
        if arc:
            yield {
                "wall": wall,
                **lengths(arc, "chord", "rise"),
                "radius": length(abs(arc.radius)),
                "length": length(arc.length),
            }


def _channels(drains: tuple[SetDrain, ...]) -> Iterator[Figures]:
    for number, drain in enumerate(drains, 1):
        flange = drain.flange
        if flange.is_channel:
            (x, y), (end_x, end_y) = flange.ends.tolist()
            yield {
                "drain": number,
                "from": {"x": length(x), "y": length(y)},
                "to": {"x": length(end_x), "y": length(end_y)},
                "length": length(flange.length),
                "width": length(flange.size),
            }


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


def _catchments(plan: Plan) -> list[Figures] | None:
    if isinstance(plan.bed, Needs | Hidden):
        return None
    areas = planned_catchments(plan)
    return [{"area": int(rounded(area, 0)), "share": ratio(area / sum(areas))} for area in areas]
