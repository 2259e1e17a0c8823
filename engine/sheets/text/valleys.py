"""The plan as text: the valleys of level walls, set out on the floor before any mud is laid."""

from __future__ import annotations

from collections.abc import Iterator

from engine.bed.surfaces import Hidden
from engine.bed.valley_lines import ValleyPart, level_lines, valley_lines, valley_parts
from engine.limits.words import fall_under
from engine.plan import Plan
from engine.quantities import format_length
from engine.sheets.valley_words import line_words
from engine.sheets.words import entry, heading, paragraph
from engine.survey.spot import Needs


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
