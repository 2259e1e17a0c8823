"""How the walls' height of a floor with several drains came about: which drain's part decides."""

from __future__ import annotations

from engine.bed.parted_walls import PartedWalls
from engine.job import defaults
from engine.limits.words import length_over
from engine.phrases import phrase
from engine.plan import Plan
from engine.quantities import format_fall, format_length, round_up

_SAME = 1e-6  # [mm]


def parted_height(plan: Plan, bed: PartedWalls, fall: float) -> str:
    """The sum that gives the walls' height, told of the part that needs the highest; fall [-]."""
    units, step = plan.job.units, defaults.mark_step(plan.job)
    needed = [head + fall * own.wall_height / own.least_fall for head, own in zip(bed.heads, bed.beds, strict=True)]
    at = needed.index(max(needed))
    head, run = bed.heads[at], bed.beds[at].longest_run
    text = phrase(
        "drain {number} decides: {fall} x {run} = {product}",
        number=at + 1,
        fall=format_fall(fall, units),
        run=length_over(run, units),
        product=format_length(fall * run, units, 0.01),
    )
    if abs(head) > _SAME:
        text = phrase(
            "{product}, over its flange, which stands {head} higher than drain 1's"
            if head > 0
            else "{product}, over its flange, which stands {head} lower than drain 1's",
            product=text,
            head=format_length(abs(head), units),
        )
    if abs(round_up(head + fall * run, step) - bed.wall_height) > _SAME:
        text = phrase("{product}, raised a little because the facets are gentler so", product=text)
    return phrase(
        "{product}, rounded up to {step}: {height} over drain 1, along every wall and ridge.",
        product=text,
        step=format_length(step, units),
        height=format_length(bed.wall_height, units),
    )
