"""What is set out beside the marks, as text: curves, taped lengths, ridges, valleys."""

from collections.abc import Iterator

import numpy as np

from ...bed.catchments import ridge_lines
from ...bed.flange import Flange
from ...bed.parts import Ridge
from ...bed.surfaces import ValleyPart, level_lines, valley_lines, valley_parts
from ...bed.valley.bed import Line
from ...limits.words import fall_under, length_over, nearly
from ...plan import Plan, RoughFloor
from ...quantities import Units, format_length
from ...survey.outline import FloorOutline, next_diagonal
from ...survey.place_words import place_words
from ...survey.spot import Spot
from ..words import entry, heading, paragraph

_FITS = 0.4  # [mm] a misfit that no tape shows


def wall_words(floor: FloorOutline, wall: int, units: Units) -> str:
    """A wall's length; a curved one's along it, with what it is drawn by."""
    length, arc = format_length(floor.length(wall), units), floor.arcs[wall]
    if arc is None:
        return length
    bows = f"bows {'out' if arc.rise > 0 else 'in'} by {format_length(abs(arc.rise), units)}"
    return (
        f"{length} along the curve, {format_length(arc.chord, units)} straight across; {bows}, "
        f"radius {nearly(abs(arc.radius), units)}"
    )


def flange_words(flange: Flange, units: Units) -> str:
    """A flange's form and size."""
    long = f", {format_length(flange.length, units)} long" if flange.is_channel else ""
    return f"{flange.kind.value}, {format_length(flange.size, units)} wide{long}"


def tape(plan: Plan) -> Iterator[str]:
    """How measured lengths fit the adjusted outline, and which diagonal to tape next."""
    floor, units = plan.outline, plan.units
    if not floor or not floor.residuals:
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
    """The lines where two drains' parts meet, and the bed's height there."""
    if not plan.bed or not plan.rough:
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
        for number, words in enumerate(ridge_places(ridge, plan.bed.reach.floor, plan.rough, plan.units)):
            yield from entry("to" if number else "from", words)


def ridge_places(ridge: Ridge, floor: FloorOutline, rough: RoughFloor, units: Units) -> Iterator[str]:
    """A ridge's places, and the bed's heights there."""
    rows = zip(ridge.points.tolist(), ridge.heights.tolist(), rough.height(ridge.points).tolist(), strict=True)
    for (x, y), high, low in rows:
        over = f"{nearly(high, units)} over drain 1, {nearly(high - low, units)} over floor"
        yield f"{place_words(x, y, floor, units)}, {over}"


def valleys(plan: Plan) -> Iterator[str]:
    """Where valleys and level ridges run, how high, and how facets lie between them."""
    bed, units = plan.bed, plan.units
    if not bed:
        return
    parts, floor = valley_parts(bed), bed.reach.floor
    if not parts:
        return
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
    falls = [fall_under(part.bed.valley_fall, plan.units) for part in parts]
    if len(plan.job.drains) == 1:
        return f"all valleys fall {falls[0]}"
    return "all valleys " + " and ".join(
        f"to drain {part.drain + 1} fall {fall}" for part, fall in zip(parts, falls, strict=True)
    )


def line_words(plan: Plan, floor: FloorOutline, line: Line) -> str:
    """A line's ends, their heights, and its length."""
    span = float(np.hypot(line.high.x - line.low.x, line.high.y - line.low.y))
    high, long = _end(plan, floor, line.high), nearly(span, plan.units)
    if line.drain is None:
        return f"one end {_end(plan, floor, line.low)}, the other {high}; {long} long"
    edge = "the flange's edge" if len(plan.job.drains) == 1 else f"the edge of drain {line.drain + 1}'s flange"
    return f"from {edge}, at its height, to {high}; {long} long"


def _end(plan: Plan, floor: FloorOutline, spot: Spot) -> str:
    units = plan.units
    place = place_words(spot.x, spot.y, floor, units)
    line = ""
    if plan.drains and plan.drains[0].drop is not None:
        line = f", line reading {format_length(plan.drains[0].drop - spot.value, units)}"
    above = "the drain" if len(plan.job.drains) == 1 else "drain 1"
    return f"{place}, {format_length(spot.value, units)} above {above}{line}"
