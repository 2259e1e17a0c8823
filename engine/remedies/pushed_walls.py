"""A floor made larger: which wall to push out, and what the measurements of the outline then come to."""

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import shapely

from ..limits.findings import Finding
from ..limits.rulebook import Figure
from ..phrases import joined, phrase
from ..survey.outline import FloorOutline, observed
from ..survey.sides import FLAT
from ..survey.spot import Needs
from ..survey.tape import Measured
from .remedy import Change, Idea
from .trials import NOISE, Trials

_MOST_PUSHED = 8  # walls, the least push first
_MORE = 3  # steps further that a push is tried: rounded measurements may come out a little short
_LEAST_SLANT = 0.2  # [-] a neighbour that leaves the wall flatter than this would have to grow far too long


def push_wall(trials: Trials, _: Finding) -> Iterator[Idea]:
    """One wall pushed out, its neighbours longer for it, until area and circle fit; the least push first.

    A curved wall keeps its rise; one with a curved neighbour stays, for the neighbour's curve would be another.
    """
    floor = trials.plan.outline
    entry = trials.job.outline
    if isinstance(floor, Needs) or (entry.rectangle and not entry.tape and not entry.islands):
        return  # a rectangle's side is made longer
    step = trials.step
    found = ((_least_push(trials, floor, wall), wall) for wall in range(len(floor.walls)))
    pushes = [(by, wall) for by, wall in found if by is not None]
    for by, wall in sorted(pushes)[:_MOST_PUSHED]:
        for more in range(_MORE):
            idea = _idea(trials, floor, wall, by + more * step)
            if idea.change:
                yield idea


def _idea(trials: Trials, floor: FloorOutline, wall: int, by: float) -> Idea:
    pushed = _pushed(floor, wall, by)
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
    tape = tuple((key, text) for _, key, text in taped)
    return Idea(says, (*_walls(trials, floor, pushed), *tape), by)


def _pushed(floor: FloorOutline, wall: int, by: float) -> FloorOutline:
    count = len(floor.corners)
    before, after = (wall - 1) % count, (wall + 1) % count
    if floor.is_curved and any(abs(floor.rises[neighbour]) > FLAT for neighbour in (before, after)):
        return floor
    corners, out = floor.corners.copy(), -floor.inward[wall]
    for corner, along in ((wall, floor.directions[before]), (after, -floor.directions[after])):
        towards = float(along @ out)
        if abs(towards) < _LEAST_SLANT:
            return floor
        corners[corner] = corners[corner] + by / towards * along
    return replace(floor, corners=corners)


def _is_enough(trials: Trials, floor: FloorOutline) -> bool:
    if not shapely.is_valid(floor.polygon):
        return False
    area, circle = trials.case.book.find(Figure.AREA_LEAST), trials.case.book.find(Figure.CIRCLE_LEAST)
    if area and floor.area < area.value:
        return False
    return circle is None or not shapely.is_empty(shapely.buffer(floor.polygon, NOISE - circle.value / 2))


def _least_push(trials: Trials, floor: FloorOutline, wall: int) -> float | None:
    step = trials.step

    def is_enough(steps: int) -> bool:
        pushed = _pushed(floor, wall, steps * step)
        turned = pushed.is_counter_clockwise is not floor.is_counter_clockwise
        return not turned and _is_enough(trials, pushed)

    low, high = 0, math.ceil(float(np.ptp(floor.corners, axis=0).max()) / step)
    if not is_enough(high):
        return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if is_enough(middle) else (middle, high)
    return high * step


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
            (f"outline.rectangle[{i}]", _told(trials, side + by))
            for i, (side, by) in enumerate(sides)
            if abs(by) > NOISE
        )
    measured = enumerate(wall.length for wall in entry.walls or ())
    return tuple(
        (f"outline.walls[{i}].length", _told(trials, length.value + float(grown[i])))
        for i, length in measured
        if length is not None and abs(grown[i]) > NOISE
    )


def _taped(trials: Trials, floor: FloorOutline, pushed: FloorOutline) -> list[tuple[str, str, str]]:
    entry = trials.job.outline
    if not entry.tape:
        return []
    tape = observed(entry, floor.corners, floor.names)[0][-len(entry.tape) :]

    def by(one: Measured) -> float:
        return _apart(pushed, one) - _apart(floor, one)

    return [
        (one.name, f"outline.tape[{i}].length", _told(trials, one.length + by(one)))
        for i, one in enumerate(tape)
        if abs(by(one)) > NOISE
    ]


def _apart(floor: FloorOutline, measured: Measured) -> float:
    return float(np.hypot(*(floor.corners[measured.end] - floor.corners[measured.start])))


def _told(trials: Trials, length: float) -> str:
    step = trials.step
    return trials.text(round(length / step) * step)
