"""Marks: the bed's height at every corner and at every step along the walls."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from engine.quantities import Units, round_up

if TYPE_CHECKING:
    from engine.bed.surfaces import Bed
    from engine.survey.outline import FloorOutline
    from engine.survey.rough_floor import RoughFloor
    from engine.types import Array

SPACING = {Units.INCH: 304.8, Units.MM: 300.0}  # [mm] 12 in or 300 mm
_AT_CORNER = 1e-6  # [mm] a step that ends at the next corner is that corner's mark


@dataclass(frozen=True, slots=True)
class Mark:
    """A height to mark on a wall: at a corner, or so far along a wall from its first corner; all [mm].

    above_drain: over the flange, rounded up to the mark step; above_rough: over the rough floor there; below_line:
    under the level line, None where no line is known.
    """

    at: str
    along: float | None
    x: float
    y: float
    above_drain: float
    above_rough: float
    below_line: float | None


@dataclass(frozen=True, slots=True)
class MarkRules:
    """How marks are set out [mm]: spacing along walls, what heights are rounded up to, the flange's drop if known."""

    spacing: float
    step: float
    drop: float | None


def marks(floor: FloorOutline, bed: Bed, rough: RoughFloor, rules: MarkRules) -> tuple[Mark, ...]:
    """The marks in walking order: each corner, then along the wall from it."""
    names, alongs, points = _places(floor, rules.spacing)
    heights, roughs = bed.height(points).tolist(), rough.height(points).tolist()
    result = []
    for name, along, (x, y), height, below in zip(
        names, alongs, points.tolist(), heights, roughs, strict=True
    ):
        mark = round_up(height, rules.step)
        line = None if rules.drop is None else rules.drop - mark
        result.append(Mark(name, along, x, y, mark, mark - below, line))
    return tuple(result)


def _places(floor: FloorOutline, spacing: float) -> tuple[list[str], list[float | None], Array]:
    walls: list[int] = []
    alongs: list[float | None] = []
    for i, length in enumerate(floor.lengths.tolist()):
        steps = np.arange(spacing, length - _AT_CORNER, spacing).tolist()
        walls += [i] * (1 + len(steps))
        alongs += [None, *steps]
    names = [
        floor.names[i] if along is None else floor.walls[i] for i, along in zip(walls, alongs, strict=True)
    ]
    return names, alongs, floor.on_walls(np.array(walls), np.array([along or 0.0 for along in alongs]))
