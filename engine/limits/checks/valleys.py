"""Level walls where part of the floor is hidden: the valleys, and what else could be built there."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import shapely

from engine.bed.flange import Flange
from engine.bed.kernel import kernel
from engine.bed.level_walls import runs
from engine.bed.plane import PlaneBed
from engine.bed.reach import Reach
from engine.bed.valley.bed import Verdict
from engine.job.defaults import mark_step
from engine.job.model import BedShape, DrainKind
from engine.limits.checks.case import planned_fall
from engine.limits.checks.channel import dead_ends, flat_past_ends
from engine.limits.findings import Finding, Level
from engine.limits.rulebook import Measured
from engine.limits.words import fall_over, fall_under, limit_fall, nearly, place_words, worked
from engine.quantities import format_fall, format_length, round_up
from engine.survey.spot import Needs

if TYPE_CHECKING:
    from engine.bed.hidden import Hidden
    from engine.bed.valley.bed import Line, ValleyWalls
    from engine.limits.checks.case import Case
    from engine.limits.rulebook import Limit
    from engine.survey.outline import FloorOutline

_GEOMETRY = "geometry"
_OFF_WALLS = 25.0  # [mm] that a drain moved by us keeps between its flange and the walls' lines
_CHANNEL = 60.0  # [mm] the width of a channel that we propose
_TOLD = 3  # valleys; more are listed with the bed only


def check_valleys(case: Case, bed: ValleyWalls) -> Finding:
    """Finding hidden-floor: what the drain does not see, and the valleys that lead its water there."""
    lines = [_line(case, line) for line in bed.valleys]
    told = lines[:_TOLD] + ([f"{len(lines) - _TOLD} more, listed with the bed"] if len(lines) > _TOLD else [])
    ridges = f"; and a level ridge at the walls' height {_ridge(case, bed)}" if bed.ridges else ""
    count = "1 valley leads" if len(lines) == 1 else f"{len(lines)} valleys lead"
    return Finding(
        rule="hidden-floor",
        level=Level.CAUTION,
        says=f"{_unseen(bed.hidden)}, so the bed does not fall straight to the drain everywhere: {count} the water "
        f"there at {fall_under(bed.valley_fall, case.units)}: {'; '.join(told)}{ridges}",
        remedy="set the valleys out before any mud is laid, and pull each facet straight from its wall to its valley; "
        f"or {_even_fall(case)}",
        source=_GEOMETRY,
        x=bed.hidden.x,
        y=bed.hidden.y,
        key="bed.shape",
        change=(("bed.shape", BedShape.EVEN_FALL.value),),
    )


def check_hidden(case: Case, hidden: Hidden) -> Finding:
    """Finding hidden-floor, where no bed with level walls was found at all."""
    return Finding(
        rule="hidden-floor",
        level=Level.STOP,
        says=f"{_unseen(hidden)}, and no bed with level walls was found that keeps its fall there, by valleys either",
        remedy=f"{_even_fall(case)}{other_ways(case)}",
        source=_GEOMETRY,
        x=hidden.x,
        y=hidden.y,
        key="bed.shape",
        change=(("bed.shape", BedShape.EVEN_FALL.value),),
    )


def too_steep(case: Case, bed: ValleyWalls, most: Limit) -> str:
    """Whether a gentler bed with level walls can exist, in words."""
    limit = limit_fall(most, case.units)
    if bed.verdict is Verdict.IMPOSSIBLE:
        reached = fall_under(bed.bound, case.units)
        kept = format_fall(planned_fall(case), case.units)
        return (
            f"; it cannot be done within {limit}: with this drain every bed with level walls that keeps {kept} "
            f"reaches {reached} somewhere"
        )
    return f"; none within {limit} was found, though one may exist"


def other_ways(case: Case) -> str:
    """What else could be built, with figures: a drain that sees the whole floor, a channel; empty for none."""
    floor, flanges = case.stages.outline, case.stages.flanges
    if isinstance(floor, Needs) or isinstance(flanges, Needs) or len(flanges) != 1:
        return ""
    ways = (_moved(case, floor, flanges[0]), _channel(case, floor))
    return "".join(f"; or {way}" for way in ways if way)


def _unseen(hidden: Hidden) -> str:
    part = f"part of the floor along {hidden.wall}" if hidden.corner else hidden.wall
    by = f" by corner {hidden.corner}" if hidden.corner else ""
    return f"{part} is hidden from the drain{by}"


def _line(case: Case, line: Line) -> str:
    start = case.at(line.low) if line.low.value else "the flange's edge"
    return f"from {start} to {case.at(line.high)}, {nearly(line.high.value, case.units)} above the drain"


def _ridge(case: Case, bed: ValleyWalls) -> str:
    return " and ".join(f"from {case.at(ridge.low)} to {case.at(ridge.high)}" for ridge in bed.ridges)


def _even_fall(case: Case) -> str:
    fall = format_fall(planned_fall(case), case.units)
    return f"take an even fall: it runs round the corner at {fall}, with the walls no longer level"


def _moved(case: Case, floor: FloorOutline, flange: Flange) -> str:
    """The middle of the places from which a drain sees the whole floor, and the bed there."""
    reach = float(np.hypot(*flange.halves)) if not flange.is_round else flange.half
    ring = kernel(floor, reach + _OFF_WALLS)
    if not len(ring):
        return ""
    place = shapely.get_coordinates(shapely.centroid(shapely.polygons(ring)))[0]
    x, y = place.tolist()
    found = runs(Reach(floor, replace(flange, centre=place)), square=case.book.measured is Measured.SQUARE)
    height = round_up(planned_fall(case) * found.longest.value, mark_step(case.job))
    return (
        f"move the drain to {place_words(x, y, floor, case.units)}, from where it sees the whole floor: level walls "
        f"then are {format_length(height, case.units)} high and the steepest fall is "
        f"{fall_over(height / found.shortest.value, case.units)}"
    )


def _channel(case: Case, floor: FloorOutline) -> str:
    """A channel along the wall from which one plane rises least, without a wall in the water's way."""
    found = []
    for wall, name in enumerate(floor.walls):
        if floor.arcs[wall] is None and floor.spans[wall] > 2 * _CHANNEL:
            bed = _plane_from(case, floor, wall)
            if not any(len(dead_ends(ring, bed)) for ring in floor.rings) and not flat_past_ends(bed):
                found.append((bed.wall_height, wall, name))
    if not found:
        return ""
    rise, _, name = min(found)
    fall = format_fall(planned_fall(case), case.units)
    return (
        f"lay one plane to a channel along {name}: {fall} everywhere, {worked(rise, case.units)} high at most"
    )


def _plane_from(case: Case, floor: FloorOutline, wall: int) -> PlaneBed:
    centre = (floor.corners[wall] + floor.ends[wall]) / 2 + _CHANNEL / 2 * floor.inward[wall]
    channel = Flange(
        DrainKind.CHANNEL, centre, _CHANNEL, floor.directions[wall], length=float(floor.spans[wall])
    )
    return PlaneBed(Reach(floor, channel), planned_fall(case))
