"""The fifth step: how the bed falls to the drain, and the person's own limits."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.bed.depth import Depth
from engine.job.model import BedShape, DrainKind
from engine.limits.rulebook import default_fall, rulebook
from engine.quantities import Dimension, format_fall, format_length
from tui.rows import Offer
from tui.step_names import StepName, StepState
from tui.steps.step import FormStep, has_fault, state_of, stylesheet
from tui.view import View, heading, words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tui.rows import Row

_SHAPES = (
    (BedShape.LEVEL_WALLS.value, "level walls"),
    (BedShape.EVEN_FALL.value, "even fall"),
    (BedShape.PLANE.value, "plane"),
)


class BedStep(FormStep):
    """Shape, fall, mark step, overrides."""

    DEFAULT_CSS = stylesheet(__file__)
    NAME = StepName.BED

    @classmethod
    def rows(cls, view: View) -> Sequence[Row]:
        """What the plan needs first, then what may be overridden."""
        job = view.job
        book = rulebook(job.rulebook) if view.plan is None else view.plan.rulebook
        fall = format_fall(default_fall(book), job.units)
        return [
            view.choice_row("bed.shape", _SHAPES, offer=_shape_offer(view)),
            view.text_row("bed.fall", Dimension.FALL, left_out=fall),
            view.text_row("bed.mark_step"),
            *_figures(view),
            heading("own", "Your own limits, instead of the rulebook's"),
            view.text_row("bed.least_depth", left_out="the rulebook's"),
            view.text_row("bed.most_depth", left_out="the rulebook's"),
            view.text_row("bed.wall_height", left_out="computed"),
        ]

    @classmethod
    def state(cls, view: View) -> StepState:
        """Done with a shape that fits the floor."""
        there = view.plan is not None and isinstance(view.plan.depth, Depth)
        return state_of(
            is_done=view.job.bed.shape is not None and there,
            has_fault=has_fault(view, "bed", "strips", "mortar"),
        )


def _shape_offer(view: View) -> Offer:
    if view.job.drains and view.job.drains[0].kind is DrainKind.CHANNEL:
        return Offer(BedShape.PLANE.value, "usual with a channel")
    return Offer(BedShape.LEVEL_WALLS.value, "usual with a point drain")


def _figures(view: View) -> list[Row]:
    """What the bed comes to with these entries."""
    plan = view.plan
    if plan is None or not isinstance(plan.depth, Depth):
        return []
    units = view.job.units
    bed, depth = plan.bed, plan.depth
    height = getattr(bed, "wall_height", None)
    lines = [] if height is None else [f"Walls {format_length(height, units)} above the flange."]
    lines.append(
        f"Bed {format_length(depth.least.value, units)} thick at its thinnest, "
        f"{format_length(depth.most.value, units)} at its thickest."
    )
    return [heading("figures", "What it comes to"), words("figures-are", " ".join(lines))]
