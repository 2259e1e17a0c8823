"""A floor made larger: which wall to push out, and what the outline then measures."""

import math
from dataclasses import replace
from itertools import chain

import numpy as np
import shapely

from ..errors import JobError
from ..limits.checks.outline import has_circle
from ..limits.findings import Finding
from ..limits.rulebook import Figure
from ..phrases import joined, phrase
from ..quantities import format_length
from ..survey.outline import LENGTH_SURE, FloorOutline, observed, outline
from ..survey.sides import FLAT
from ..survey.spot import Needs
from ..survey.tape import Measured
from ..types import Array, Shape
from .remedy import Change, Idea, Ideas, changed
from .retold import Kept
from .trials import NOISE, Trials

_MOST_PUSHED = 8  # walls, the least push first
_MORE = 6  # steps nearer and further that are tried, as measurements are rounded
_FARTHER = 1.15  # times as far that is tried next: far pushes run into other walls
_LEAST_WALL = 1.0  # [mm] shorter ones are pushed away
_SHARED = 0.125  # of a gap that walls leave, which may be shared out otherwise
_SEAM = 0.01  # [mm] that floors overlap, so that no crack is left between them
_LEAST_SLANT = 0.2  # [-] a flatter neighbour would grow far too long


def push_wall(trials: Trials, finding: Finding) -> Ideas:
    """One wall pushed out, its neighbours longer for it, until the area fits, or the circle; the least push first.

    A curved wall keeps its rise, as does a curved neighbour.
    """
    floor = trials.plan.outline
    entry = trials.job.outline
    if not floor or (entry.rectangle and not entry.tape and not entry.islands):
        return  # a rectangle's side is made longer
    if _is_enough(trials, finding, floor):
        return
    pushes = [_as_entered(trials, finding, floor, wall) for wall in range(len(floor.walls))]
    yield from sorted(chain.from_iterable(pushes), key=lambda idea: (idea.figure, len(idea.change)))[:_MOST_PUSHED]


def push_part_way(trials: Trials, finding: Finding) -> Ideas:
    """One of two neighbours pushed so far that the other needs as little as both alike would, the least first."""
    floor, entry = trials.plan.outline, trials.job.outline
    if not floor or (entry.rectangle and not entry.islands):
        return
    pushes = []
    for wall in range(len(floor.walls)):
        pair = wall, (wall + 1) % len(floor.walls)
        both = _least_push(trials, finding, floor, pair)
        if both is not None:
            by = _least_push(trials, finding, _pushed(floor, pair[1], both), pair[:1])
            pushes.append((both, _idea(trials, floor, wall, by or both)))
    yield from (idea for _, idea in sorted(pushes, key=lambda push: push[0]))


def _as_entered(trials: Trials, finding: Finding, floor: FloorOutline, wall: int) -> Ideas:
    """The least push of a wall that is enough by the measurements it rounds to."""
    least = _least_push(trials, finding, floor, (wall,))
    if least is None:
        return
    for more in range(-_MORE, _MORE + 1):
        by = least + more * trials.step
        kept = Kept(trials, floor, _pushed(floor, wall, by))
        change = (*_measured(trials, floor, kept.after), *kept.islands())
        entered = _entered(trials, change) if by > NOISE and change else None
        if entered and _is_enough(trials, finding, entered) and _stays(entered, kept):
            yield _idea(trials, floor, wall, by)
            return


def _stays(entered: FloorOutline | Needs, kept: Kept) -> bool:
    """Whether a floor's measurements put its walls where they should be, as what lies on it is told from them."""
    if isinstance(entered, Needs):
        return False
    job, off = kept.trials.job, entered.corners - kept.after.corners - kept.shift
    sure = LENGTH_SURE[job.units] if job.outline.tape else kept.trials.step / 2 + _SHARED * kept.before.misclosure
    return bool(np.hypot(*off.T).max() <= sure + NOISE)


def _entered(trials: Trials, change: Change) -> FloorOutline | Needs:
    try:
        return outline(changed(trials.job, change))
    except JobError:
        return Needs("outline", "")


def _idea(trials: Trials, floor: FloorOutline, wall: int, by: float) -> Idea:
    pushed = _pushed(floor, wall, by)
    kept = Kept(trials, floor, pushed)
    says = kept.said(_says(trials, floor, pushed, wall, by), floor.walls[wall], by)
    return Idea(says, (*_measured(trials, floor, pushed), *kept.change), by)


def _says(trials: Trials, floor: FloorOutline, pushed: FloorOutline, wall: int, by: float) -> str:
    taped = _taped(trials, floor, pushed)
    says = phrase(
        "push {wall} out by {by}, its neighbours longer for it; the diagonals, to be taped again then, come to "
        "{lengths}"
        if taped
        else "push {wall} out by {by}, its neighbours longer for it",
        wall=floor.walls[wall],
        by=trials.text(by),
        lengths=joined(", ", (f"{name} {text}" for name, _, text in taped)),
    )
    grown = np.abs(pushed.spans - floor.spans) > NOISE
    bowed = [i for i, rise in enumerate(floor.rises) if grown[i] and abs(rise) > FLAT]
    if bowed:
        rises = joined(", ", [f"{floor.walls[i]} {format_length(floor.rises[i], trials.units)}" for i in bowed])
        says = phrase("{says}; over its other length a curve keeps its rise: {rises}", says=says, rises=rises)
    return says


def _pushed(floor: FloorOutline, wall: int, by: float) -> FloorOutline:
    corners = _pushed_corners(floor, floor.corners, wall, by)
    if corners is None:
        return floor
    pushed = replace(floor, corners=corners)
    return pushed if pushed.spans.min() > _LEAST_WALL else floor


def _pushed_corners(floor: FloorOutline, corners: Array, wall: int, by: float) -> "Array | None":
    count = len(corners)
    before, after = (wall - 1) % count, (wall + 1) % count
    corners, out = corners.copy(), -floor.inward[wall]
    for corner, along in ((wall, floor.directions[before]), (after, -floor.directions[after])):
        towards = float(along @ out)
        if abs(towards) < _LEAST_SLANT:
            return None
        corners[corner] = corners[corner] + by / towards * along
    return corners


def _is_enough(trials: Trials, finding: Finding, floor: FloorOutline | Needs, moved: "Array | None" = None) -> bool:
    if not floor or not shapely.is_valid(floor.polygon):
        return False
    return _holds(trials, finding, floor.polygon, moved)


def _holds(trials: Trials, finding: Finding, polygon: Shape, moved: "Array | None" = None) -> bool:
    """moved: the corners (k, 2) of a floor that was too small, before and after: a circle can be new at these only."""
    limit = trials.case.book.find(Figure.AREA_LEAST if finding.x is None else Figure.CIRCLE_LEAST)
    if limit is None or finding.x is None:
        return limit is None or shapely.area(polygon) >= limit.value
    if moved is not None:
        near = shapely.box(*(moved.min(axis=0) - limit.value), *(moved.max(axis=0) + limit.value))
        polygon = shapely.intersection(polygon, near)
    return has_circle(polygon, limit.value)


def _stops(trials: Trials, finding: Finding, floor: FloorOutline, walls: tuple[int, ...]) -> list[int]:
    """How many steps out walls are tried, near to far; none where all they sweep is not enough."""
    step, out = trials.step, [1]
    most = math.ceil(float(np.ptp(floor.corners, axis=0).max()) / step)
    while out[-1] < most:
        out.append(min(most, math.ceil(out[-1] * _FARTHER)))
    if floor.is_curved:
        return out  # a curve sweeps more than its line
    pushed = floor.corners
    for wall in walls:
        if (corners := _pushed_corners(floor, pushed, wall, step)) is None:
            return []
        pushed = corners
    if not shapely.is_valid(floor.polygon):
        return []
    rings = floor.corners + np.array(out)[:, None, None] * (pushed - floor.corners)
    clear = np.flatnonzero(shapely.is_valid(shapely.polygons(rings)))  # of walls they would run into
    at = sorted({i % len(pushed) for wall in walls for i in (wall, wall + 1)})
    swept = np.concatenate([floor.corners[at], *rings[clear[-1:]][:, at]])
    hull = shapely.buffer(shapely.convex_hull(shapely.multipoints(swept)), _SEAM)
    return [out[i] for i in clear] if _holds(trials, finding, shapely.union(floor.polygon, hull), swept) else []


def _least_push(trials: Trials, finding: Finding, floor: FloorOutline, walls: tuple[int, ...]) -> float | None:
    step = trials.step

    def is_enough(steps: int) -> bool:
        pushed = floor
        for wall in walls:
            pushed = _pushed(pushed, wall, steps * step)
        is_moved = (pushed.corners != floor.corners).any(axis=1)
        if pushed.is_counter_clockwise is not floor.is_counter_clockwise or not is_moved.any():
            return False
        moved = np.concatenate([floor.corners[is_moved], pushed.corners[is_moved]])
        return _is_enough(trials, finding, pushed, None if floor.is_curved else moved)

    stops = [0, *_stops(trials, finding, floor, walls)]
    found = next((i for i, steps in enumerate(stops) if steps and is_enough(steps)), None)
    if found is None:
        return None
    low, high = stops[found - 1], stops[found]
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if is_enough(middle) else (middle, high)
    return high * step


def _measured(trials: Trials, floor: FloorOutline, pushed: FloorOutline) -> Change:
    tape = tuple((key, text) for _, key, text in _taped(trials, floor, pushed))
    return (*_walls(trials, floor, pushed), *tape)


def _walls(trials: Trials, floor: FloorOutline, pushed: FloorOutline) -> Change:
    entry = trials.job.outline
    if entry.corners:
        return tuple(
            (f"outline.corners[{i}][{axis}]", trials.text(float(pushed.corners[i, axis])))
            for i, axis in np.argwhere(np.abs(pushed.corners - floor.corners) > NOISE).tolist()
        )
    grown = pushed.spans - floor.spans
    if entry.rectangle:
        sides = [(side.value, float(grown[[i, i + 2]].mean())) for i, side in enumerate(entry.rectangle)]
        return tuple(
            (f"outline.rectangle[{i}]", trials.nearest(side + by))
            for i, (side, by) in enumerate(sides)
            if abs(by) > NOISE
        )
    measured = enumerate(wall.length for wall in entry.walls or ())
    return tuple(
        (f"outline.walls[{i}].length", trials.text(length.value + float(grown[i])))
        for i, length in measured
        if length is not None and abs(grown[i]) > NOISE
    )


def _taped(trials: Trials, floor: FloorOutline, pushed: FloorOutline) -> list[tuple[str, str, str]]:
    entry = trials.job.outline
    if not entry.tape:
        return []
    tape = observed(entry, floor.corners, floor.names)[0][-len(entry.tape) :]
    by = [_apart(pushed, one) - _apart(floor, one) for one in tape]
    return [
        (one.name, f"outline.tape[{i}].length", trials.nearest(one.length + by[i]))
        for i, one in enumerate(tape)
        if abs(by[i]) > NOISE
    ]


def _apart(floor: FloorOutline, measured: Measured) -> float:
    return float(np.hypot(*(floor.corners[measured.end] - floor.corners[measured.start])))
