"""Marks: the bed's height at every corner and at every step along the walls and the islands' sides."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from engine.quantities import Units, round_up
from engine.records import dataclass

if TYPE_CHECKING:
    from engine.bed.surfaces import Bed
    from engine.survey.border import Border
    from engine.survey.outline import FloorOutline
    from engine.survey.rough_floor import RoughFloor
    from engine.types import Array

SPACING = {Units.INCH: 304.8, Units.MM: 300.0}  # [mm] 12 in or 300 mm
_AT_CORNER = 1e-6  # [mm] a step that ends at the next corner is that corner's mark


@dataclass(frozen=True, slots=True)
class Mark:
    """A height to mark on a wall: at a corner, or so far along a wall from its first corner; all [mm].

    ring_name: the island that the corner or the side is one of, "" on the outline.
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
    ring_name: str = ""

    @property
    def local(self) -> str:
        """Its corner or wall as it is called on its own ring: an island's without the island's name."""
        return self.at.removeprefix(f"{self.ring_name} ")


@dataclass(frozen=True, slots=True)
class MarkRules:
    """How marks are set out [mm]: spacing along walls, what heights are rounded up to, the flange's drop if known."""

    spacing: float
    step: float
    drop: float | None


def marks(floor: FloorOutline, bed: Bed, rough: RoughFloor, rules: MarkRules) -> tuple[Mark, ...]:
    """The marks in walking order: each corner, then along the wall from it; then round each island the same way."""
    names, alongs, points, rings = _places(floor.borders, rules.spacing)
    heights, roughs = bed.height(points).tolist(), rough.height(points).tolist()
    result = []
    for name, along, (x, y), height, below, ring in zip(
        names, alongs, points.tolist(), heights, roughs, rings, strict=True
    ):
        mark = round_up(height, rules.step)
        line = None if rules.drop is None else rules.drop - mark
        result.append(Mark(name, along, x, y, mark, mark - below, line, ring))
    return tuple(result)


def _places(
    borders: tuple[Border, ...], spacing: float
) -> tuple[list[str], list[float | None], Array, list[str]]:
    names: list[str] = []
    alongs: list[float | None] = []
    points: list[Array] = []
    rings: list[str] = []
    for border in borders:
        walls, at = _steps(border, spacing)
        names += [
            border.names[i] if along is None else border.walls[i] for i, along in zip(walls, at, strict=True)
        ]
        points.append(border.on_walls(np.array(walls), np.array([along or 0.0 for along in at])))
        alongs += at
        rings += [border.ring_name] * len(at)
    return names, alongs, np.vstack(points), rings


def _steps(border: Border, spacing: float) -> tuple[list[int], list[float | None]]:
    """Each wall's number with None for its first corner, then with each step along it [mm]."""
    walls: list[int] = []
    alongs: list[float | None] = []
    for i, length in enumerate(border.lengths.tolist()):
        steps = np.arange(spacing, length - _AT_CORNER, spacing).tolist()
        walls += [i] * (1 + len(steps))
        alongs += [None, *steps]
    return walls, alongs
