"""Bounds: how high and how steep level walls must at least be."""

from functools import lru_cache
from typing import NamedTuple

import numpy as np
import shapely

from ...arrays import signed_area
from ...types import Array, Index
from ..reach import Node
from .room import Room
from .sightlines import segment_distance

_LEAST_CHORD = 1.0  # [mm]
_NOISE = 1e-9


def least_height(room: Room) -> float:
    """What level walls rise to at least [mm], water falling all its way from the farthest place."""
    return room.fall * room.longest_way


@lru_cache(maxsize=4)
def least_steepness(room: Room) -> float:
    """A slope [-] that some place of every bed with level walls reaches, on any floor with this drain.

    From the nearest wall the bed falls its whole height within the straight run to the flange. And where a chord from a
    hiding corner closes off a part of a simple outline, water of its farthest place crosses it, lower than the walls at
    its ends by the fall over the way there; one end is at most half the chord away. (Ways in a simple polygon are
    convex along a chord, so none is over the longer of its ends'; Pollack, Sharir & Rote 1989, lemma 1, from memory.)
    """
    straight = least_height(room) / float(room.flange.away(shapely.boundary(room.reach.floor.polygon)))
    return straight if len(room.rings) > 1 or np.isinf(straight) else _across_chords(room, straight)


def least_square(room: Room) -> float:
    """The same where fall is judged square to walls: the farthest that the drain sees square sets the height.

    The nearest of them comes down from there on its way to the flange.
    """
    edges, fan = room.reach.edges, room.reach.fan
    parts = edges.parts(room.centre)
    feet = edges.starts + parts[:, None] * edges.along
    seen = (parts >= 0) & (parts <= 1) & fan.sees(feet)
    runs = room.flange.runs(feet[seen])
    return float(room.fall * runs.max() / runs.min()) if len(runs) else 0.0


def _across_chords(room: Room, least: float) -> float:
    chords = [_chords(room, node, least) for node, _ in room.hiding]
    feet = [each.feet for each in chords if len(each.feet)]
    if not feet:
        return least
    ring = room.rings[0]
    ways = room.reach.way(np.vstack([ring, *feet]))  # all at once: a call takes most of the time
    of_ring, of_feet = ways[: len(ring)], iter(np.split(ways[len(ring) :], np.cumsum([len(f) for f in feet])))
    return max(least, *(_demanded(room, each, of_ring, next(of_feet)) for each in chords if len(each.feet)))


class _Chords(NamedTuple):
    """Chords from a hiding corner, square to walls it sees: their walls (k,) and feet on them (k, 2)."""

    node: Node
    here: int
    walls: Index
    feet: Array


def _chords(room: Room, node: Node, least: float) -> _Chords:
    """Those that may demand more than `least` [-]: no place behind is farther than the longest way."""
    ring, edges = room.rings[0], room.reach.edges
    here = int(np.flatnonzero((ring == node.place).all(axis=1))[0])
    along = edges.parts(node.place)
    feet = edges.starts + along[:, None] * edges.along
    lengths = np.hypot(*(feet - node.place).T)
    short = 2 * room.fall * (room.longest_way - node.way) > least * (1 - _NOISE) * lengths
    good = np.flatnonzero(short & (along > 0) & (along < 1) & (lengths > _LEAST_CHORD))
    if good.size:
        good = good[node.fan.sees(feet[good])]
    clear = [segment_distance(room.centre, node.place, foot) > room.rim for foot in feet[good]]
    # Water could reach a flange across the chord from behind it.
    good = good[np.array(clear, dtype=bool)]
    return _Chords(node, here, good, feet[good])


def _demanded(room: Room, chords: _Chords, of_ring: Array, of_feet: Array) -> float:
    ends = np.maximum(chords.node.way, of_feet)
    lengths = np.hypot(*(chords.feet - chords.node.place).T)
    return float((2 * room.fall * (_farthest_behind(room, of_ring, chords) - ends) / lengths).max())


def _farthest_behind(room: Room, ways: Array, chords: _Chords) -> Array:
    """The longest way from the corners that each chord, corner to foot, parts from the drain (k,) [mm]."""
    ring = np.roll(room.rings[0], -chords.here, axis=0)
    ways = np.roll(ways, -chords.here)
    splits = ((chords.walls - chords.here) % len(ring) + 1).tolist()
    sides = [np.vstack([ring[:split], foot]) for split, foot in zip(splits, chords.feet, strict=True)]
    counts = [len(side) for side in sides]
    rings = shapely.linearrings(np.vstack(sides), indices=np.repeat(np.arange(len(sides)), counts))
    holds = shapely.contains_xy(shapely.polygons(rings), *room.centre)
    found = [
        ways[split:] if held or abs(signed_area(side)) < 1.0 else ways[:split]
        for split, side, held in zip(splits, sides, holds.tolist(), strict=True)
    ]
    return np.array([behind.max(initial=0.0) for behind in found])
