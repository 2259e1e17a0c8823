"""How far an even fall is out of depth at least wherever a drain is moved, by what planned beds tell."""

from collections.abc import Container, Iterator
from typing import NamedTuple

import numpy as np
import shapely

from ..bed.depth import Depth
from ..bed.even_fall import EvenFall
from ..bed.planes import PlaneBed, Planes, square_off
from ..bed.reach import SharedReach, bends_of
from ..limits.checks.curb import too_high, too_low
from ..limits.checks.proud import proud_drains
from ..plan import Plan
from ..types import Array, Mask, Shape
from .moved_words import Standing
from .nearest import BESIDE
from .regions import clear_places
from .trials import NOISE

_KINDS = (EvenFall, PlaneBed, Planes)  # whose fall is one everywhere


class _Sign(NamedTuple):
    """What a bed tells of those with the drain elsewhere: they are out [mm] less slope x distance from a place.

    room: where that must be straight.
    """

    place: Array
    out: float
    slope: float
    room: Shape | None = None
    way: int = 0  # +1, -1: a place of the bed, so high at most, at least; 0: the drain's


class EvenBounds:
    """What is known of an even fall with a drain elsewhere.

    A place's way to the flange is at least the straight one, and grows by no more than the drain is moved; so with
    planes to channels, square to them. is_open: the drains' height is planned.
    """

    def __init__(self, stands: Standing, *, is_open: bool, is_plane: bool) -> None:
        self._is_plane = is_plane
        self._stands, self._is_open, self._signs = stands, is_open, list[_Sign]()
        self._room = clear_places(stands.floor, stands.flange)
        self._floor, self._edge = shapely.buffer(stands.floor.polygon, BESIDE), shapely.boundary(self._room)
        self._is_plain = stands.floor.is_convex or is_plane
        self._bends = shapely.multipoints(bends_of(stands.floor)[0])
        shapely.prepare([self._room, self._floor, self._edge, self._bends])

    def learn(self, spot: Array, deep: Depth, outs: tuple[float, float]) -> None:
        """Takes in a bed's depth with the drain at a spot (2,), and how much it is too thin and too thick [mm]."""
        bed = deep.gap.bed
        if isinstance(bed, _KINDS):  # a height that is planned goes along
            self._signs.append(_Sign(spot, max(outs), bed.fall * (1 + self._is_open), self._room))
            self._signs += self._at_worst(bed, deep, outs) if not self._is_open else ()

    def learn_stops(self, spot: Array, after: Plan, brings: Container[str], stood: Container[int]) -> None:
        """Takes in how much the plan with the drain at a spot (2,) breaks limits of its curb or other drains.

        stood: drains that may stand over the bed, as they did.
        """
        bed = after.bed
        if not isinstance(bed, _KINDS):
            return
        outs = [proud.least for proud in proud_drains(bed) if proud.drain not in stood]
        if "curb-low" in brings or "curb-high" in brings:
            outs += [too_low(after.case), too_high(after.case, bed)]
        out = max(outs, default=0.0)
        if out > 0:
            self._signs.append(_Sign(spot, out, bed.fall * (1 + self._is_open), self._room))

    def judged(self, spots: Array, slack: Array) -> tuple[Array, Array]:
        """How far out the bed is at least with the drain within a slack (k,) [mm] of spots (k, 2), and infinity."""
        over, rows = np.full(len(spots), -np.inf), np.arange(len(spots))
        for sign in self._signs:
            over[rows] = np.maximum(over[rows], self._out_at_least(sign, spots[rows], slack[rows]))
            rows = rows[over[rows] <= BESIDE]
        return over, np.full(len(spots), np.inf)

    def _at_worst(self, bed: EvenFall | PlaneBed | Planes, deep: Depth, outs: tuple[float, float]) -> Iterator[_Sign]:
        number = self._stands.number
        for worst, out, way in ((deep.least, outs[0], 1), (deep.most, outs[1], -1)):
            at = np.array([[worst.x, worst.y]])
            height, own, head = float(bed.height(at)[0]), 0.0, 0.0
            if isinstance(bed.reach, SharedReach):
                each = bed.each if isinstance(bed, Planes) else bed.reach.each
                own, head = bed.fall * float(each(at)[number, 0]), bed.fall * bed.reach.heads[number]
            if out > 0 and way > 0 and own > height + NOISE:  # another drain keeps it as low
                yield _Sign(at[0], out, 0.0)
            elif out > 0:
                room = self._floor if way > 0 else None
                yield _Sign(at[0], out + way * (height - head), way * bed.fall, room, way)

    def _out_at_least(self, sign: _Sign, spots: Array, slack: Array) -> Array:
        away = self._away(sign, spots)
        out: Array = sign.out - sign.slope * away - abs(sign.slope) * slack
        rows = np.flatnonzero(out > 0)
        if sign.room is not None and not self._is_plain:
            out[rows] *= self._is_straight(sign.place, sign.room, spots[rows], slack[rows])
        return out

    def _away(self, sign: _Sign, spots: Array) -> Array:
        """How far a sign's place is from the drain at places (k,) [mm]: from its flange at most, or at least."""
        flange, offset = self._stands.flange, sign.place - spots
        if not sign.way:
            return np.asarray(np.hypot(*offset.T))
        if self._is_plane:
            return square_off(flange, flange.centre + offset)
        if sign.way < 0 or self._is_plain:
            return flange.distance(flange.centre + offset)
        return np.asarray(np.hypot(*offset.T) - flange.half)

    def _is_straight(self, place: Array, room: Shape, spots: Array, slack: Array) -> Mask:
        """Whether no wall is between a place and any within a slack of places (k,), nor a corner round it."""
        points, half = shapely.points(spots), self._stands.flange.half
        is_open = ~shapely.dwithin(self._bends, points, slack + np.hypot(*self._stands.flange.halves))
        is_open &= (slack <= half) | ~shapely.dwithin(self._edge, points, slack)
        lines = shapely.linestrings(np.stack([spots, np.broadcast_to(place, spots.shape)], axis=1))
        return np.asarray((is_open | (slack == 0)) & shapely.covers(room, lines))
