"""How steep the parts of a floor become where one of its drains is moved, with level walls."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cached_property, reduce
from itertools import combinations
from typing import NamedTuple

import numpy as np
import shapely

from ..bed.flange import Flange
from ..bed.level_walls import LEAST_RUN
from ..bed.parts import CLEAR
from ..bed.reach import EDGE_ON
from ..bed.sight import Edges
from ..figures import GUARD
from ..records import result
from ..survey.outline import FloorOutline
from ..types import Array, Mask
from .moved_ridges import Freedom, Ridge, moved_ridges, rim_turn
from .moved_runs import least_runs, line_runs, run_of

ALLOWED = 1 + 1e-9  # times the most fall
_MAY_CROWD = 1.5  # times that: a run may be longer than the way straight off a square flange
_SHORT = 1e-6  # [mm] a piece of wall no longer is none
_IN_CELL = 1e-6  # [mm]
SQUARE = float(np.sqrt(2.0))  # times as far as it is moved a square flange's run changes at most


@result
class Parting:
    """A floor with its drains, and what level walls on it are held to.

    heads [mm]: how much higher than the first each drain stands; fall, most [-]; height: what the walls stand at for
    the least that they may (k,) -> (k,) [mm]; held: the drains whose parts have to be gentle enough; square: whether
    falls are judged square to each wall's line; least: the fall that walls at a height of the user's own have to keep
    [-].
    """

    floor: FloorOutline
    flanges: tuple[Flange, ...]
    heads: tuple[float, ...]
    fall: float
    most: float
    height: Callable[[Array], Array]
    held: tuple[int, ...]
    square: bool
    least: float = 0.0

    def excess(self, number: int, centres: Array, slack: Array | float = 0.0) -> tuple[Array, Mask]:
        """By how much the walls stand too high for the most fall where a drain is moved to places (k, 2), (k,) [mm].

        0 or less is allowed; with a slack (k,) [mm] no place so near has less. Infinite where ridges square across the
        ways between drains surely do not part the floor so that each sees its part whole; and whether they surely do.

        A part is seen whole exactly where every piece of wall in the drain's cell, which is convex, is turned to it: a
        line of sight that leaves the floor comes back through one that is turned away.
        """
        return self._excess(number, centres, np.zeros(len(centres)) + slack, self._heads)

    def raised(self, number: int, ups: Array) -> tuple[Array, Mask]:
        """The same where the drains stay, and one is set higher (k,) [mm]."""
        heads = self._heads + np.zeros(len(ups))
        heads[number] += ups
        centres = np.repeat(self.flanges[0].centre[None], len(ups), axis=0)
        return self._excess(0, centres, np.zeros(len(ups)), heads - heads[0])

    def _excess(self, number: int, centres: Array, slack: Array, heads: Array) -> tuple[Array, Mask]:
        over, is_parted, may_crowd = self.joined(self.parts(number, centres, slack, heads), heads)
        rows = np.flatnonzero(may_crowd & (over > 0))
        if heads.any() and len(rows):  # where a ridge would run through a flange, ridges run midway
            midway = self.parts(number, centres[rows], slack[rows], 0 * self._heads)
            own = heads if heads.shape[1] == 1 else heads[:, rows]
            over[rows] = np.minimum(over[rows], self.joined(midway, own)[0])
        return over, is_parted | self.floor.is_convex

    def joined(self, parts: Sequence[Part], heads: Array | None = None) -> tuple[Array, Mask, Mask]:
        """The excess, whether the floor is surely parted so, and whether a ridge may run through a flange (k,)."""
        far, near = (np.array(np.broadcast_arrays(*(part[i] for part in parts))) for i in (0, 1))
        over = self.over(far, near, heads)
        may_crowd = reduce(np.logical_or, (part.may_crowd for part in parts))
        is_blind = reduce(np.logical_or, (part.is_blind for part in parts))
        is_seen = reduce(np.logical_and, (part.is_seen for part in parts))
        return np.where(is_blind, np.inf, over), is_seen & ~may_crowd, may_crowd

    def over(self, far: Array, near: Array, heads: Array | None = None) -> Array:
        """The excess (k,) [mm] by each part's longest and shortest run, and how high its drain stands (d, k) [mm]."""
        heads = self._heads if heads is None else heads
        walls = self.height((heads + self.fall * far).max(axis=0))
        over = walls - heads - self.most * near * ALLOWED
        low = (heads + self.least * far).max(axis=0) / ALLOWED - walls
        return np.asarray(np.maximum(over[list(self.held)].max(axis=0, initial=-np.inf), low))

    @cached_property
    def _heads(self) -> Array:
        return np.array(self.heads)[:, None]

    def runs(self, number: int, centres: Array) -> tuple[Array, Array]:
        """The longest and the shortest run (k,) [mm] of a drain's part, with it at places (k, 2) that see it whole."""
        part = self.parts(number, centres, np.zeros(len(centres)), self._heads)[number]
        return part.far, part.near

    def parts(self, number: int, centres: Array, slack: Array, heads: Array | None = None) -> list[Part]:
        """The drains' parts with one within a slack (k,) [mm] of places (k, 2), ridges as for heads (d, k) [mm]."""
        places = [flange.centre[None] for flange in self.flanges]
        places[number] = centres
        reach = np.sqrt(((centres[:, None] - self.edges.starts) ** 2).sum(axis=2).max(axis=1))
        extra = (self._heads if heads is None else heads) / self.fall
        ridges = moved_ridges(places, self.flanges, extra, Freedom(number, slack, reach))
        parts = []
        for i, place in enumerate(places):
            own = [ridges[i, j] for j in range(len(places)) if j != i]
            parts.append(self._part(self.flanges[i], place, own, (slack * (i == number), slack)))
        return parts

    @cached_property
    def edges(self) -> Edges:
        """The floor's edges, islands' too."""
        return Edges.of(self.floor.rings)

    @cached_property
    def along(self) -> Array:
        """From each edge's start to its end (e, 2) [mm]."""
        return self.edges.ends - self.edges.starts

    @cached_property
    def _lengths(self) -> Array:
        return np.asarray(np.hypot(*self.along.T))

    def _part(self, flange: Flange, place: Array, ridges: list[Ridge], slacks: tuple[Array, Array]) -> Part:
        """What is known of a drain's part, with the drain within a slack (k,) [mm] of places (k or 1, 2)."""
        slack, loose = slacks
        off = place @ self.edges.inward.T - self.edges.offset
        low, high = self._clipped(place, [(ridge.towards, ridge.inner) for ridge in ridges])
        held = (high - low) * self._lengths > _SHORT
        offset = self.edges.starts - place[:, None]
        to_walls = least_runs(flange, offset, self.along)
        ends = [offset + part[..., None] * self.along for part in (low, high)]
        corners = [(ends[0], held), (ends[1], held), *self._crossings(place, ridges)]
        if self.square:
            far, near = self._square_runs(flange, off, held, (ridges, ends, loose > 0))
        else:
            far = reduce(np.maximum, (np.where(own, run_of(flange, at), 0.0).max(axis=1) for at, own in corners))
            near = np.minimum(to_walls, _to_ridges(flange, ridges)) if ridges else to_walls
        lean = slack * (1.0 if flange.is_round else SQUARE)
        spare = [ridge.least - _support(flange, ridge, 1) for ridge in ridges]
        most_spare = [ridge.most - _support(flange, ridge, -1) for ridge in ridges]
        is_crowded = reduce(np.minimum, most_spare, to_walls + lean) < CLEAR
        return Part(
            far=np.maximum(far - lean, 0.0),
            near=near + lean,
            reach=reduce(
                np.maximum, (np.where(own, np.hypot(*np.moveaxis(at, -1, 0)), 0.0).max(axis=1) for at, own in corners)
            ),
            is_blind=is_crowded | (held & (off < EDGE_ON - slack[:, None])).any(axis=1),
            is_seen=self._is_seen(place, off - slack[:, None], ridges),
            may_crowd=reduce(np.minimum, spare, to_walls - lean) < CLEAR * (1 if flange.is_round else _MAY_CROWD),
        )

    def _is_seen(self, place: Array, off: Array, ridges: list[Ridge]) -> Mask:
        """Whether no wall in a part, however far its ridges may be off, can be turned away (k,); off (k, e) [mm]."""
        if self.floor.is_convex:
            return np.ones(len(place), dtype=bool)
        low, high = self._clipped(place, [(ridge.towards, ridge.outer) for ridge in ridges])
        return np.logical_not((((high - low) * self._lengths > _SHORT) & (off < EDGE_ON)).any(axis=1))

    def _clipped(self, place: Array, cell: list[tuple[Array, Array]]) -> tuple[Array, Array]:
        """From which to which part of each wall lies in a cell (k, e) [-]: within lines off a place towards a way."""
        starts, shape = self.edges.starts, (len(place), len(self.along))
        low, high = np.zeros(shape), np.ones(shape)
        for towards, foot in cell:
            beyond = towards @ starts.T - ((place * towards).sum(axis=1) + foot)[:, None]
            slope = towards @ self.along.T
            with np.errstate(divide="ignore", invalid="ignore"):
                cross = -beyond / slope
            low, high = np.broadcast_arrays(low, high, cross)[:2]
            high = np.where(slope > 0, np.minimum(high, cross), np.where((slope == 0) & (beyond > 0), -1.0, high))
            low = np.where(slope < 0, np.maximum(low, cross), low)
        return low, high

    def _crossings(self, place: Array, ridges: list[Ridge]) -> Iterator[tuple[Array, Mask]]:
        """Where two ridges of a cell meet, off its drain (k, 1, 2) [mm], and whether on the floor (k, 1)."""
        for one, other in combinations(ridges, 2):
            (a, b), (c, d) = one.towards.T, other.towards.T
            with np.errstate(divide="ignore", invalid="ignore"):
                turn = a * d - b * c
                x, y = (one.inner * d - other.inner * b) / turn, (a * other.inner - c * one.inner) / turn
                away = np.stack([x, y], axis=-1)
                inside = np.isfinite(away).all(axis=1)
                for ridge in ridges:
                    inside = inside & ((away * ridge.towards).sum(axis=1) <= ridge.inner + _IN_CELL)
            away = np.where(inside[:, None], away, one.towards)
            inside &= shapely.intersects_xy(self.floor.polygon, *(place + away).T)
            yield away[:, None], inside[:, None]

    def _square_runs(
        self, flange: Flange, off: Array, held: Mask, cell: tuple[list[Ridge], list[Array], Mask]
    ) -> tuple[Array, Array]:
        """The longest and the shortest run (k,) [mm] square to the lines of a part's walls and ridges.

        cell: the ridges, both ends of each wall's piece off the flange's middle (k, e, 2), whether there is slack (k,).
        """
        ridges, ends, is_loose = cell
        runs = np.maximum(off - flange.rim(-self.edges.inward), LEAST_RUN)
        far, near = np.where(held, runs, 0.0).max(axis=1), np.where(held, runs, np.inf).min(axis=1)
        for ridge in ridges:
            on_it = [(end * ridge.towards[:, None]).sum(axis=2) > ridge.inner[:, None] - _IN_CELL for end in ends]
            is_side = (held & (on_it[0] | on_it[1])).any(axis=1) & ~is_loose
            run = np.maximum(ridge.most - flange.rim(ridge.towards), LEAST_RUN)
            far = np.where(is_side, np.maximum(far, run), far)
            # A line that bounds no part lies behind one that does, the rim towards which may reach less far.
            near = np.minimum(near, np.where(is_side, run, np.maximum(ridge.most - flange.halves.min(), LEAST_RUN)))
        return far, near


class Part(NamedTuple):
    """A drain's part, for places (k,): longest run at least, shortest at most, and how far its corners lie [mm].

    is_blind: surely not seen whole, or no room for the flange; is_seen: surely seen; may_crowd: a ridge or a wall may
    come too near the flange.
    """

    far: Array
    near: Array
    reach: Array
    is_blind: Mask
    is_seen: Mask
    may_crowd: Mask


def _to_ridges(flange: Flange, ridges: list[Ridge]) -> Array:
    least = np.array(np.broadcast_arrays(*(ridge.most for ridge in ridges)))
    turn = np.array(np.broadcast_arrays(*(ridge.turn for ridge in ridges)))
    towards = np.concatenate([np.broadcast_to(ridge.towards, (*least.shape[1:], 2)) for ridge in ridges])
    runs = line_runs(flange, least.reshape(-1), towards).reshape(least.shape)
    return np.asarray((runs + rim_turn(flange) * turn).min(axis=0))


def _support(flange: Flange, ridge: Ridge, sign: int) -> Array:
    """How far a flange reaches towards a ridge (k,) [mm], at most or at least."""
    if flange.is_round:
        return np.full(1, flange.half)
    most = float(np.hypot(*flange.halves))
    return np.clip(np.abs(ridge.towards @ flange.frame.T) @ flange.halves + sign * most * ridge.turn, 0.0, most)


def walls_on_step(step: float) -> Callable[[Array], Array]:
    """What the walls stand at for the least that they may: rounded up to the mark step [mm], as `round_up` does."""
    return lambda heights: np.ceil(heights / step - GUARD) * step


def walls_at(height: float) -> Callable[[Array], Array]:
    """The walls at a height of the user's own [mm], whatever they need."""
    return lambda heights: np.full(len(heights), height)
