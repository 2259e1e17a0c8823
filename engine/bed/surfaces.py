"""The bed's surface: which one the job asks for, or why it cannot be built on this floor."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, TypeAlias

import numpy as np
import shapely

from engine.bed.even_fall import EvenFall, hidden_area, taut
from engine.bed.level_walls import LevelWalls, runs
from engine.bed.parted_walls import PartedWalls
from engine.bed.parts import divided
from engine.bed.plane import PlaneBed
from engine.bed.reach import SharedReach, reach
from engine.job.model import BedShape
from engine.quantities import round_up
from engine.survey.spot import Needs

if TYPE_CHECKING:
    from engine.bed.flange import Flange
    from engine.bed.reach import Node, Reach
    from engine.job.model import Bed as Asked
    from engine.job.model import Job
    from engine.survey.outline import FloorOutline
    from engine.types import Array

Bed: TypeAlias = LevelWalls | PartedWalls | EvenFall | PlaneBed

NO_SHAPE = Needs("bed.shape", "how is the bed to fall to the drain?")
_KEPT = 8  # beds remembered
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

    square: fall is measured square to the walls, as some codes do; heads: how much higher than the first each drain
    stands [mm].
    """

    fall: float
    mark_step: float
    square: bool
    heads: tuple[float, ...] = (0.0,)


def build_bed(
    job: Job, floor: FloorOutline, flanges: tuple[Flange, ...], terms: Terms
) -> Bed | Hidden | Needs:
    """The bed of the job's shape on those terms, or what is missing, or why level walls do not fit."""
    return _built(job.bed, floor, flanges, terms)


@lru_cache(maxsize=_KEPT)
def _built(
    asked: Asked, floor: FloorOutline, flanges: tuple[Flange, ...], terms: Terms
) -> Bed | Hidden | Needs:
    """The bed asked for, the same one each time while neither it nor the floor nor the drains' places change."""
    for i, flange in enumerate(flanges):
        if not is_clear(flange, floor, asked.shape):
            return Needs(f"drains[{i}].at", "the drain's flange must stand on the floor, clear of the walls")
    reaches = tuple(reach(floor, flange) for flange in flanges)
    match asked.shape:
        case None:
            return NO_SHAPE
        case BedShape.EVEN_FALL:
            return EvenFall(reaches[0] if len(reaches) == 1 else _shared(reaches, terms), terms.fall)
        case BedShape.LEVEL_WALLS:
            if len(reaches) == 1:
                return _level_walls(asked, reaches[0], terms)
            return _parted(asked, _shared(reaches, terms), terms)
        case BedShape.PLANE:
            return _one_only(reaches, "one plane") or _plane(reaches[0], terms)


def _shared(reaches: tuple[Reach, ...], terms: Terms) -> SharedReach:
    """The ways to several drains; to one that stands higher they count longer by its height over the fall."""
    return SharedReach(reaches, tuple(head / terms.fall for head in terms.heads))


def _one_only(reaches: tuple[Reach, ...], shape: str) -> Needs | None:
    if len(reaches) == 1:
        return None
    return Needs(
        "bed.shape", f"{shape} with several drains is not planned yet: choose even fall", not_yet=True
    )


def _plane(reach: Reach, terms: Terms) -> PlaneBed | Needs:
    if not reach.flange.is_channel:
        return Needs(
            "bed.shape", "one plane falls to a channel: make the drain a channel, or choose another shape"
        )
    return PlaneBed(reach, terms.fall)


@lru_cache(maxsize=_KEPT)
def is_clear(flange: Flange, floor: FloorOutline, shape: BedShape | None) -> bool:
    """Whether the flange lies wholly on the floor, off every wall and island.

    A channel may run along a wall or up to one, unless every wall is to stand level over it.
    """
    if not shapely.intersects_xy(floor.polygon, *flange.centre):
        return False
    if flange.is_channel and shape is not BedShape.LEVEL_WALLS:
        outside = shapely.area(shapely.difference(flange.polygon, floor.polygon))
        return bool(outside <= _CLEAR * (flange.length + flange.size))
    walls = shapely.boundary(floor.polygon)
    if flange.is_round:
        return bool(shapely.distance(walls, shapely.points(flange.centre)) > flange.half + _CLEAR)
    inside = shapely.contains_xy(floor.polygon, *flange.centre)
    return bool(inside and shapely.distance(walls, flange.polygon) > _CLEAR)


def _level_walls(asked: Asked, reach: Reach, terms: Terms) -> Bed | Hidden:
    distances = ((reach.flange.centre - reach.edges.starts) * reach.edges.inward).sum(axis=1)
    if distances.min() < _EDGE_ON:
        return _hidden(reach, int(np.argmin(distances)))
    found = runs(reach, square=terms.square)
    own = asked.wall_height
    height = round_up(terms.fall * found.longest.value, terms.mark_step) if own is None else own.value
    return LevelWalls(reach, height, found)


def _parted(asked: Asked, reach: SharedReach, terms: Terms) -> Bed | Hidden | Needs:
    """Level walls round several drains: one height at every wall and ridge, the least that no part falls too little."""
    floor, flanges = reach.floor, reach.flanges
    parts = divided(floor, flanges, reach.heads)
    if parts is None:
        return _undivided(reach)
    found = [runs(part.reach, square=terms.square) for part in parts]
    least = max(head + terms.fall * run.longest.value for head, run in zip(terms.heads, found, strict=True))
    own = asked.wall_height
    height = round_up(least, terms.mark_step) if own is None else own.value
    if height <= max(terms.heads):
        return Needs("bed.wall_height", "a drain stands as high as these walls: give more, or leave it out")
    beds = tuple(
        LevelWalls(part.reach, height - head, run)
        for part, head, run in zip(parts, terms.heads, found, strict=True)
    )
    return PartedWalls(reach, parts, beds, terms.heads, height)


def _undivided(reach: SharedReach) -> Hidden | Needs:
    """Why no straight ridges divide the floor: what is hidden from a drain, else drains in each other's way."""
    for single in reach.reaches:
        off = ((single.flange.centre - single.edges.starts) * single.edges.inward).sum(axis=1)
        if off.min() < _EDGE_ON:
            return _hidden(single, int(np.argmin(off)))
    return Needs(
        "drains[1].at",
        "the drains stand too near each other for a ridge between them: move them apart, or leave one out",
    )


def _hidden(reach: Reach, edge: int) -> Hidden:
    """The corner that hides most of the floor from the drain, and a wall behind it.

    Hiding corners are those in straight sight round which ways bend. Where a wall is only seen edge-on, no floor
    is hidden, and that wall's nearer end is named.
    """
    hiding = [node for node in reach.nodes if node.is_direct and hidden_area(node) > 0]
    if hiding:
        worst = max(hiding, key=hidden_area)
        corner = worst.place
        edge = _edge_behind(reach, worst)
    else:
        ends = (reach.edges.starts[edge], reach.edges.ends[edge])
        corner = min(ends, key=lambda end: float(np.hypot(*(end - reach.flange.centre))))
    floor = reach.floor
    letter = _at(floor.corners, corner)
    name = None if letter is None else floor.names[letter]
    return Hidden(name, float(corner[0]), float(corner[1]), _wall_name(reach, edge))


def _edge_behind(reach: Reach, node: Node) -> int:
    """The edge at a hiding corner that bounds what it hides: the one its ways bend towards."""
    heading = node.place - node.before
    start, width = taut(node)
    middle = start + width / 2
    bends_left = heading[0] * np.sin(middle) - heading[1] * np.cos(middle) > 0
    ends = reach.edges.ends if bends_left else reach.edges.starts
    return _at(ends, node.place) or 0


def _wall_name(reach: Reach, edge: int) -> str:
    """An edge's name as a wall of the outline; an island's sides have none."""
    floor = reach.floor
    if edge >= len(floor.edge_sides):
        return "the floor behind the island"
    return floor.wall_name(int(floor.sides.walls[floor.edge_sides[edge]]))


def _at(corners: Array, place: Array) -> int | None:
    same = np.flatnonzero((corners == place).all(axis=1))
    return int(same[0]) if same.size else None
