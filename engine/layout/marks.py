"""Marks: the bed's height along the walls and the islands' sides."""

from functools import lru_cache

import numpy as np

from ..bed.flange import Flanges
from ..bed.surfaces import Bed
from ..quantities import Units, round_up
from ..records import Same, record, result
from ..survey.border import Border
from ..survey.outline import FloorOutline
from ..types import Array

SPACING = Units.pair(304.8, 300.0)  # [mm] 12 in or 300 mm
AT_CORNER = 1.0  # [mm] nearer to the next corner, a place has that corner's mark


@record
class Mark:
    """A height to mark on a wall: at a corner, or so far along a wall from its first corner; all [mm].

    ring_name: its island, "" on the outline; above_drain: over the flange, rounded up to the mark step; above_rough:
    over the rough floor there; below_line: under the level line, if known.
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
        """Its corner or wall as called on its own ring, without an island's name."""
        return self.at.removeprefix(f"{self.ring_name} ")


@record
class MarkRules:
    """What mark heights are rounded up to, and the flange's drop if known [mm]."""

    step: float
    drop: float | None


@result
class MarkPlaces:
    """Where marks stand (k, 2), with each mark's name, how far along [mm] and ring as in `Mark`."""

    names: list[str]
    alongs: list[float | None]
    points: Array
    rings: list[str]


@lru_cache(maxsize=4)
def mark_places(floor: FloorOutline, spacing: float) -> MarkPlaces:
    """Where this very floor's marks stand, at each corner and every `spacing` [mm] along the wall from it.

    The outline first, then each island.
    """
    names: list[str] = []
    alongs: list[float | None] = []
    points: list[Array] = []
    rings: list[str] = []
    for border in floor.borders:
        walls, at = _steps(border, spacing)
        names += [border.names[i] if along is None else border.walls[i] for i, along in zip(walls, at, strict=True)]
        points.append(border.on_walls(np.array(walls), np.array([along or 0.0 for along in at])))
        alongs += at
        rings += [border.ring_name] * len(at)
    return MarkPlaces(names, alongs, np.concatenate(points), rings)


@lru_cache(maxsize=4)
def with_centres(walls: MarkPlaces, rings: Flanges) -> Same[Array]:
    """The places of these very marks, then the centres of these very flanges (k, 2)."""
    return Same(np.concatenate([walls.points, [ring.centre for ring in rings]]))


def marks(places: MarkPlaces, bed: Bed, roughs: list[float], rules: MarkRules) -> tuple[Mark, ...]:
    """The marks in their places' order; roughs (k,): the rough floor's heights there [mm]."""
    result = []
    for name, along, (x, y), height, below, ring in zip(
        places.names, places.alongs, places.points.tolist(), _heights(bed, places), roughs, places.rings, strict=True
    ):
        mark = round_up(height, rules.step)
        line = None if rules.drop is None else rules.drop - mark
        result.append(Mark(name, along, x, y, mark, mark - below, line, ring))
    return tuple(result)


@lru_cache(maxsize=4)
def _heights(bed: Bed, places: MarkPlaces) -> list[float]:
    return list(bed.height(places.points).tolist())


def _steps(border: Border, spacing: float) -> tuple[list[int], list[float | None]]:
    walls: list[int] = []
    alongs: list[float | None] = []
    for i, length in enumerate(border.lengths.tolist()):
        steps = np.arange(spacing, length - AT_CORNER, spacing).tolist()
        walls += [i] * (1 + len(steps))
        alongs += [None, *steps]
    return walls, alongs
