"""Level walls where part of the floor is hidden: the valleys that lead its water, or why there are none."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.bed.valley.bed import Verdict
from engine.job.model import BedShape
from engine.limits.checks.case import planned_fall
from engine.limits.findings import Finding, Level
from engine.limits.words import fall_under, limit_fall, nearly
from engine.quantities import format_fall

if TYPE_CHECKING:
    from engine.bed.hidden import Hidden
    from engine.bed.valley.bed import Line, ValleyWalls
    from engine.limits.checks.case import Case
    from engine.limits.rulebook import Limit

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
        remedy=_even_fall(case),
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
