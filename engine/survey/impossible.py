"""Outlines that cannot be."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
import shapely

from ..errors import JobError
from ..phrases import phrase
from ..rings import following, signed_area
from ..types import Array

if TYPE_CHECKING:
    from .outline import FloorOutline

_LEAST_LENGTH = 1e-6  # [mm] shorter walls are two corners at one place
_LEAST_AREA = 1.0  # [mm2]
_MOST_CHORDS = 400  # of all curved walls: a round room 4 m across takes 320


def refuse_impossible(floor: FloorOutline, key: str) -> None:
    """Raises JobError for a floor whose walls cross or bound no area, or whose islands do not lie inside it."""
    refuse_ring(floor.corners, floor.names, key)
    if floor.is_curved:
        _refuse_curves(floor, key)
    outer = shapely.polygons(floor.ring) if floor.islands else None
    for i, ring in enumerate(floor.islands):
        island_key = f"outline.islands[{i}].corners"
        refuse_ring(ring, tuple(str(k + 1) for k in range(len(ring))), island_key)
        inside = shapely.polygons(ring)
        if not shapely.contains_properly(outer, inside):
            raise JobError(
                island_key,
                f"{len(ring)} corners",
                phrase("the island is not wholly inside the floor"),
                phrase("move it inside, or draw what touches a wall as part of the outline"),
            )
        if any(shapely.intersects(inside, shapely.polygons(other)) for other in floor.islands[:i]):
            remedy = phrase("draw them as one island")
            raise JobError(island_key, f"{len(ring)} corners", phrase("two islands touch or overlap"), remedy)


def refuse_ring(ring: Array, names: Sequence[str], key: str) -> None:
    """Raises JobError at `key` for a ring of straight walls (n, 2) [mm], its corners so named, that cannot be."""
    count = len(ring)
    if count < 3:
        raise JobError(key, f"{count} corners", phrase("that bounds no floor"), phrase("give at least three corners"))
    sides = np.hypot(*(following(ring) - ring).T)
    short = int(np.argmin(sides))
    if sides[short] < _LEAST_LENGTH:
        first, second = names[short], names[(short + 1) % count]
        fault = phrase("corners {first} and {second} are at one place", first=first, second=second)
        raise JobError(f"{key}[{short}]", f"corner {first}", fault, phrase("leave one of them out or correct it"))
    if not shapely.is_simple(shapely.linearrings(ring)):
        walls = [f"{names[i]}-{names[(i + 1) % count]}" for i in range(count)]
        raise JobError(
            key, f"{count} corners", _crossing(ring, walls), phrase("check the corners' order and the turns")
        )
    if abs(signed_area(ring)) < _LEAST_AREA:
        raise JobError(key, f"{count} corners", phrase("the outline has no area"), phrase("check the measurements"))


def _refuse_curves(floor: FloorOutline, key: str) -> None:
    rises = ", ".join(floor.walls[i] for i, arc in enumerate(floor.arcs) if arc)
    chords = sum(arc.count for arc in floor.arcs if arc)
    if chords > _MOST_CHORDS:
        raise JobError(
            key,
            f"{rises} curved",
            phrase("{number} chords that keep within 0.1 mm of the curves are too many to plan", number=chords),
            phrase("check how far they bow out; so many chords as {most} can be planned", most=_MOST_CHORDS),
        )
    if not shapely.is_simple(shapely.linearrings(floor.ring)):
        walls = [floor.walls[wall] for wall in floor.sides.walls.tolist()]
        raise JobError(key, f"{rises} curved", _crossing(floor.ring, walls), phrase("check how far they bow out"))
    area = signed_area(floor.ring)
    if abs(area) < _LEAST_AREA or (area > 0) != floor.is_counter_clockwise:
        raise JobError(key, f"{rises} curved", phrase("the outline has no area"), phrase("check how far they bow out"))


def _crossing(ring: Array, walls: Sequence[str]) -> str:
    """Which two walls cross or touch, in words; walls: the name of the wall that each side is a piece of."""
    sides = shapely.linestrings(np.stack([ring, following(ring)], axis=1))
    first, second = shapely.STRtree(sides).query(sides, predicate="intersects")
    count = len(ring)
    for a, b in sorted(zip(first.tolist(), second.tolist(), strict=True)):
        neighbours = (b - a) % count in (1, count - 1)
        if a < b and not (neighbours and shapely.length(shapely.intersection(sides[a], sides[b])) == 0):
            return (
                phrase("walls {first} and {second} cross or touch", first=walls[a], second=walls[b])
                if walls[a] != walls[b]
                else phrase("wall {wall} crosses itself", wall=walls[a])
            )
    return phrase("the outline crosses itself")
