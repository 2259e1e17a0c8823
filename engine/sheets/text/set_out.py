"""What the floor is set out by beside the marks, as text: curved walls, taped lengths, ridges between drains."""

from __future__ import annotations

from collections.abc import Iterator

from engine.bed.ridge_lines import ridge_lines
from engine.bed.ridges import Ridge
from engine.bed.surfaces import Hidden
from engine.limits.words import length_over, nearly, place_words
from engine.plan import Plan
from engine.quantities import Units, format_length
from engine.sheets.words import entry, heading, paragraph
from engine.survey.outline import FloorOutline, next_diagonal
from engine.survey.rough_floor import RoughFloor
from engine.survey.spot import Needs

_FITS = 0.05  # [mm] a misfit that no tape shows


def wall_words(floor: FloorOutline, wall: int, units: Units) -> str:
    """A wall's length; of a curved one along it, with what its curve is drawn by."""
    length, arc = format_length(floor.length(wall), units), floor.arcs[wall]
    if arc is None:
        return length
    bows = f"bows {'out' if arc.rise > 0 else 'in'} by {format_length(abs(arc.rise), units)}"
    return (
        f"{length} along the curve, {format_length(arc.chord, units)} straight across; {bows}, "
        f"radius {nearly(abs(arc.radius), units)}"
    )


def tape(plan: Plan) -> Iterator[str]:
    """How each measured length fits the adjusted outline, and which diagonal to tape next."""
    floor, units = plan.outline, plan.job.units
    if isinstance(floor, Needs) or not floor.residuals:
        return
    for residual in floor.residuals:
        off = length_over(abs(residual.misfit), units)
        side = "longer" if residual.misfit > 0 else "shorter"
        fits = "fits" if abs(residual.misfit) < _FITS else f"made {off} {side} to fit the others"
        yield from entry(f"Taped {residual.name}", f"{format_length(residual.measured, units)}, {fits}")
    fix = next_diagonal(plan.job, floor)
    if fix:
        corner = floor.names[fix.corner]
        yield from entry(
            "Tape next",
            f"{floor.names[fix.start]} to {floor.names[fix.end]}: it fixes the shape best. Corner {corner} is sure to "
            f"about {length_over(fix.unsure, units)}; then none is less sure than {length_over(fix.left, units)}",
        )


def ridges(plan: Plan) -> Iterator[str]:
    """The lines at which the parts of two drains meet: from where to where, and how high the bed stands there."""
    if isinstance(plan.bed, Needs | Hidden) or isinstance(plan.rough, Needs) or isinstance(plan.outline, Needs):
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
