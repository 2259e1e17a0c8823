"""The bed's surface: which one the job asks for, or why it cannot be built on this floor."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

import numpy as np
import shapely

from engine.bed.even_fall import EvenFall
from engine.bed.level_walls import LevelWalls, runs
from engine.bed.reach import Reach
from engine.job.model import BedShape
from engine.quantities import round_up
from engine.survey.spot import Needs

if TYPE_CHECKING:
    from engine.bed.flange import Flange
    from engine.job.model import Job
    from engine.survey.outline import FloorOutline
    from engine.types import Array

Bed: TypeAlias = LevelWalls | EvenFall

_EDGE_ON = 1e-3  # [mm] a wall whose line passes this near the drain's centre is not seen from it
_CLEAR = 1e-6  # [mm] the flange must keep this far from every wall


@dataclass(frozen=True, slots=True)
class Hidden:
    """Level walls asked for on a floor that the drain does not see whole.

    corner: the hiding corner's letter, None for an island's corner; x, y its place [mm]; wall: a wall behind it.
    """

    corner: str | None
    x: float
    y: float
    wall: str


@dataclass(frozen=True, slots=True)
class Terms:
    """What a bed is held to: the fall [-], what wall heights are rounded up to [mm].

    square: fall is measured square to the walls, as some codes do.
    """

    fall: float
    mark_step: float
    square: bool


def build_bed(job: Job, floor: FloorOutline, flange: Flange, terms: Terms) -> Bed | Hidden | Needs:
    """The bed of the job's shape on those terms, or what is missing, or why level walls do not fit."""
    if not is_clear(flange, floor):
        return Needs("drains[0].at", "the drain's flange must stand on the floor, clear of the walls")
    reach = Reach(floor, flange)
    match job.bed.shape:
        case None:
            return Needs("bed.shape", "how is the bed to fall to the drain?")
        case BedShape.EVEN_FALL:
            return EvenFall(reach, terms.fall)
        case BedShape.LEVEL_WALLS:
            return _level_walls(job, reach, terms)
        case BedShape.PLANE:
            return Needs(
                "bed.shape", "one plane needs a channel, and channels are not planned yet", not_yet=True
            )


def is_clear(flange: Flange, floor: FloorOutline) -> bool:
    """Whether the flange lies wholly on the floor, off every wall and island."""
    if not shapely.contains_xy(floor.polygon, *flange.centre):
        return False
    walls = shapely.boundary(floor.polygon)
    if flange.is_round:
        return bool(shapely.distance(walls, shapely.points(flange.centre)) > flange.half + _CLEAR)
    return bool(shapely.distance(walls, flange.polygon) > _CLEAR)


def _level_walls(job: Job, reach: Reach, terms: Terms) -> Bed | Hidden:
    distances = ((reach.flange.centre - reach.edges.starts) * reach.edges.inward).sum(axis=1)
    if distances.min() < _EDGE_ON:
        return _hidden(reach, int(np.argmin(distances)))
    found = runs(reach, square=terms.square)
    own = job.bed.wall_height
    height = round_up(terms.fall * found.longest.value, terms.mark_step) if own is None else own.value
    return LevelWalls(reach, height, found)


def _hidden(reach: Reach, edge: int) -> Hidden:
    """The corner that hides a wall from the drain: of the wall's ends that point into the floor the nearer one."""
    floor = reach.floor
    ends = np.array([reach.edges.starts[edge], reach.edges.ends[edge]])
    bends = reach.bends[0]
    pointing = [end for end in ends if (np.hypot(*(bends - end).T) < _EDGE_ON).any()] or list(ends)
    corner = min(pointing, key=lambda end: float(np.hypot(*(end - reach.flange.centre))))
    letter = _at(floor.corners, corner)
    both = (ends[:, None] == floor.corners).all(axis=2).argmax(axis=1)
    wall = floor.wall_name(int(both[0] if (both[0] + 1) % len(floor.corners) == both[1] else both[1]))
    if letter is None:
        return Hidden(None, float(corner[0]), float(corner[1]), "the floor behind the island")
    return Hidden(floor.names[letter], float(corner[0]), float(corner[1]), wall)


def _at(corners: Array, place: Array) -> int | None:
    same = np.flatnonzero((corners == place).all(axis=1))
    return int(same[0]) if same.size else None
