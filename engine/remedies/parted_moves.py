"""How steep a floor's parts become with level walls where one of its drains is moved."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import field
from functools import cached_property, reduce
from typing import NamedTuple, TypeAlias

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
from .moved_ridges import Ridges, least_runs, line_runs, moved_ridges, rim_turn

ALLOWED = 1 + 1e-9  # times the most fall
_EXACT = 2  # drains: their ridge is as far from both flanges whichever way it is reckoned
_FACET = 2e-3  # of a flange's half size: the corners of its outline lie so much within
_SHORT, _HIGH = 1e-6, 1e9  # [mm] no piece of wall is so short; no walls are so high
_IN_CELL = 1e-6  # [mm]
_BESIDE = 1e-3  # [mm] no side is so short
MOST_RUNS = 2.5e6  # ridges and walls of drains at places: 1.5 s
_CALL = 100  # places that each call takes as long as

# far, near (d, k); is_blind, is the floor surely parted so, may_crowd (k,): see `Part`
Runs: TypeAlias = tuple[Array, Array, Mask, Mask, Mask]


class Known(dict[tuple[object, ...], Runs]):
    """What was reckoned of parts; left: how much more may be."""

    left = MOST_RUNS


@result
class Parting:
    """A floor with its drains, and what level walls on it are held to; lengths in [mm], for d drains and k places.

    heads: how much higher than the first each drain stands; fall [-]; most: each part's at most [-]; height: what walls
    stand at for the least that they may (k,) -> (k,); square: falls are judged square to each wall's line; least: the
    fall that each part, or all, must keep [-]; known: what was reckoned of the same floor and drains.
    """

    floor: FloorOutline
    flanges: tuple[Flange, ...]
    heads: tuple[float, ...]
    fall: float
    most: tuple[float, ...]
    height: Callable[[Array], Array]
    square: bool
    least: tuple[float, ...] = (0.0,)
    known: Known = field(default_factory=Known)

    def excess(self, number: int, centres: Array, slack: Array | float = 0.0) -> tuple[Array, Mask]:
        """How much too high the walls stand for the most fall (k,), with a drain moved to places (k, 2).

        0 or less is allowed; with a slack (k,) no place so near has less. Infinite where ridges square across the ways
        between drains surely do not part the floor so that each sees its part whole; and whether they surely do.

        A part is seen whole exactly where every piece of wall in the drain's cell, which is convex, is turned to it: a
        line of sight that leaves the floor comes back through one turned away.
        """
        return self._excess(number, centres, np.zeros(len(centres)) + slack, self.levels)

    def raised(self, number: int, ups: Array) -> tuple[Array, Mask]:
        """The same with one drain set higher (k,), and none moved."""
        return self._excess(*self.with_raised(number, ups))

    def with_raised(self, number: int, ups: Array) -> tuple[int, Array, Array, Array]:
        """That as `known_runs` takes it."""
        heads = self.levels + np.zeros(len(ups))
        heads[number] += ups
        centres = np.repeat(self.flanges[0].centre[None], len(ups), axis=0)
        return 0, centres, np.zeros(len(ups)), heads - heads[0]

    def _excess(self, number: int, centres: Array, slack: Array, heads: Array) -> tuple[Array, Mask]:
        over, is_parted, may_crowd = self.judged(self.known_runs(number, centres, slack, heads), heads)
        rows = np.flatnonzero(may_crowd & (over > 0))
        if heads.any() and len(rows):  # ridges that would meet a flange run midway
            midway = self.known_runs(number, centres[rows], slack[rows], 0 * self.levels)
            own = heads if heads.shape[1] == 1 else heads[:, rows]
            by, is_sure, _ = self.judged(midway, own)
            over[rows] = np.minimum(over[rows], by)
            is_parted = is_parted.copy()
            is_parted[rows] = is_sure & self.floor.is_convex
        return over, is_parted

    def known_runs(self, number: int, centres: Array, slack: Array, heads: Array) -> Runs:
        """What is known of all `parts`; nothing once no more may be reckoned."""
        key, count = (number, *(each.tobytes() for each in (centres, slack, heads))), len(self.flanges)
        if key not in self.known:
            self.known.left -= self.takes(len(centres))
            if self.known.left < 0:
                runs = np.zeros((count, len(centres)))
                no = runs[0] > 0
                return runs, runs, ~no, no, no
            found = self.joined(self.parts(number, centres, slack, heads))
            if self.known.left > MOST_RUNS:  # more than can be kept
                return found
            self.known[key] = found
        return self.known[key]

    @cached_property
    def _is_plain(self) -> bool:
        """Whether ridges run square across the ways between drains, or nowhere."""
        is_round = all(flange.is_round for flange in self.flanges)
        return self.floor.is_convex and is_round and len(self.flanges) <= _EXACT

    def takes(self, places: int) -> int:
        """How many ridges and walls of drains so many places take."""
        count = len(self.flanges)
        return (_CALL + places) * count * (count + len(self.along))

    def joined(self, parts: Sequence[Part]) -> Runs:
        """What is known of all parts."""
        far, near, _, blind, seen, crowd = (np.array(np.broadcast_arrays(*each)) for each in zip(*parts, strict=True))
        may_crowd, is_seen = reduce(np.logical_or, crowd), reduce(np.logical_and, seen)
        return far, near, reduce(np.logical_or, blind), is_seen & (~may_crowd | self._is_plain), may_crowd

    def judged(self, runs: Runs, heads: Array | None = None) -> tuple[Array, Mask, Mask]:
        """The excess (k,), and the last two."""
        far, near, is_blind, is_parted, may_crowd = runs
        return np.where(is_blind, np.inf, self.over(far, near, heads)), is_parted, may_crowd

    def over(self, far: Array, near: Array, heads: Array | None = None) -> Array:
        """The excess (k,) by each part's longest and shortest run, and how high its drain is (d, k)."""
        heads = self.levels if heads is None else heads
        needs = (heads + self.fall * far).max(axis=0)
        over = self.height(needs) - heads - np.array(self.most)[:, None] * near * ALLOWED
        low = (heads + np.array(self.least)[:, None] * far).max(axis=0) / ALLOWED - self.height(np.array([_HIGH]))
        return np.asarray(np.maximum(over.max(axis=0), np.maximum(low, self.too_flat(needs, heads))))

    def too_flat_at(self, far: Array) -> Array:
        """How much too flat some part lies (k,) if the parts' longest runs are just those (d, k)."""
        asked = (self.levels + np.array(self.least)[:, None] * far).max(axis=0) / ALLOWED
        return np.asarray(asked - self.height((self.levels + self.fall * far).max(axis=0)))

    def too_flat(self, needs: Array, heads: Array) -> Array:
        """How much too flat some part lies at least (k,) where walls need such heights, with drains so high.

        The part with the longest run falls as planned, but for the walls' rounding up.
        """
        longest, (rounded, most) = (needs - heads.max(axis=0)) / self.fall, self.height(np.array([_SHORT, _HIGH]))
        walls = np.minimum(self.fall * longest + rounded, most - heads.min(axis=0))
        return np.asarray(min(self.least) * longest / ALLOWED - walls)

    @cached_property
    def levels(self) -> Array:
        """The heads (d, 1)."""
        return np.array(self.heads)[:, None]

    def parts(self, number: int, centres: Array, slack: Array, heads: Array | None = None) -> list[Part]:
        """The drains' parts with one within a slack (k,) of places (k, 2), ridges as for heads (d, k)."""
        places, ridges = self.places(number, centres), self.ridges(number, centres, slack, heads)
        return [
            self._part(flange, places[i], ridges[i], (slack * (i == number), slack))
            for i, flange in enumerate(self.flanges)
        ]

    def ridges(self, number: int, centres: Array, slack: Array, heads: Array | None = None) -> list[Ridges]:
        """Each drain's ridges to all others."""
        reach = np.sqrt(((centres[:, None] - self.edges.starts) ** 2).sum(axis=2).max(axis=1))
        extra = (self.levels if heads is None else heads) / self.fall
        return moved_ridges(self.places(number, centres), self.flanges, extra, (number, slack, reach))

    def places(self, number: int, centres: Array) -> Array:
        """All drains' places (d, k, 2) with one at places (k, 2)."""
        places = np.array([np.broadcast_to(flange.centre, centres.shape) for flange in self.flanges])
        places[number] = centres
        return places

    @cached_property
    def edges(self) -> Edges:
        """The floor's edges, islands' too."""
        return Edges.of(self.floor.rings)

    @cached_property
    def along(self) -> Array:
        """Each edge from start to end (e, 2)."""
        return self.edges.ends - self.edges.starts

    @cached_property
    def _lengths(self) -> Array:
        return np.asarray(np.hypot(*self.along.T))

    def _part(self, flange: Flange, place: Array, ridges: Ridges, slacks: tuple[Array, Array]) -> Part:
        slack, loose = slacks
        off = place @ self.edges.inward.T - self.edges.offset
        offset = self.edges.starts - place[:, None]
        to_walls = least_runs(flange, offset, self.along)
        corners, own, held, ends = self._corners(place, ridges)
        if self.square:
            is_side = self._sides(place, ridges, ends, held & (loose == 0)[:, None])
            far, near = self._square_runs(flange, off, held, (ridges, is_side))
        else:
            far = np.where(own, flange.runs_off(corners), 0.0).max(axis=1)
            near = np.minimum(to_walls, _to_ridges(flange, ridges))
        lean = slack * leaning(flange)
        spare = (ridges.least - _support(flange, ridges, 1)).min(axis=0, initial=np.inf)
        most_spare = (ridges.most - _support(flange, ridges, -1)).min(axis=0, initial=np.inf)
        clear = CLEAR * (len(self.flanges) > 1)
        least = clear - _FACET * flange.halves.max()
        return Part(
            far=np.maximum(far - lean, 0.0),
            near=near + lean,
            reach=np.where(own, np.hypot(corners[..., 0], corners[..., 1]), 0.0).max(axis=1),
            is_blind=(most_spare < least)
            | (to_walls + lean < least - clear)  # walls may be as near as a flange's rim
            | (held & (off < EDGE_ON - slack[:, None])).any(axis=1),
            is_seen=self._is_seen(offset, off - slack[:, None], ridges),
            may_crowd=(spare < clear) & (clear > 0),
        )

    def _corners(self, place: Array, ridges: Ridges) -> tuple[Array, Mask, Mask, list[Array]]:
        """A part's corners off its drain, and which are there; its pieces of wall that are, and their ends."""
        offset = self.edges.starts - place[:, None]
        low, high = _clipped(offset, self.along, (0.0, 1.0), ridges, ridges.inner)
        held = (high - low) * self._lengths > _SHORT
        ends = [offset + part[..., None] * self.along for part in (low, high)]
        corners, own = np.hstack(ends), np.hstack([held, held])
        if len(ridges.inner):
            crossings, there = self._crossings(place, ridges)
            corners, own = np.hstack([corners, crossings]), np.hstack([own, there])
        return corners, own, held, ends

    def farthest(self, flange: Flange, place: Array, ridges: Ridges, slack: Array) -> Array:
        """The longest run (k,) of a drain's part at most."""
        corners, own, held, _ = self._corners(place, ridges._replace(inner=ridges.outer))
        if self.square:
            off = place @ self.edges.inward.T - self.edges.offset - flange.rim(-self.edges.inward)
            to_ridges = (ridges.most - flange.halves.min()).max(axis=0, initial=LEAST_RUN)
            return np.asarray(np.maximum(np.where(held, off, 0.0).max(axis=1), to_ridges) + slack)
        return np.asarray(np.where(own, flange.runs_off(corners), 0.0).max(axis=1) + slack * leaning(flange))

    def _is_seen(self, offset: Array, off: Array, ridges: Ridges) -> Mask:
        """Whether no wall in a part can be turned away (k,), however far off its ridges; off (k, e)."""
        if self.floor.is_convex:
            return np.ones(len(off), dtype=bool)
        low, high = _clipped(offset, self.along, (0.0, 1.0), ridges, ridges.outer)
        return np.logical_not((((high - low) * self._lengths > _SHORT) & (off < EDGE_ON)).any(axis=1))

    def _crossings(self, place: Array, ridges: Ridges) -> tuple[Array, Mask]:
        """Where ridges of a cell meet, off its drain (k, n, 2), and which are there, on the floor (k, n)."""
        towards = np.moveaxis(ridges.towards, 0, 1)
        start, along = np.moveaxis(ridges.inner, 0, 1)[..., None] * towards, towards[..., ::-1] * [-1.0, 1.0]
        low, high = _clipped(start, along, (-np.inf, np.inf), ridges, ridges.inner)
        there, parts = np.tile(low <= high, 2), np.hstack([low, high])
        there &= np.isfinite(parts)
        away = np.tile(start, (1, 2, 1)) + np.where(there, parts, 0.0)[..., None] * np.tile(along, (1, 2, 1))
        there[there] = shapely.intersects_xy(self.floor.polygon, *(place[:, None] + away)[there].T)
        return away, there

    def _sides(self, place: Array, ridges: Ridges, ends: list[Array], held: Mask) -> Mask:
        """Which ridges are sides of a part (r, k): beside where they meet a wall or each other they cross the floor.

        ends: of the walls' pieces, off the drain (k, e, 2); held: which are there (k, e), without slack.
        """
        along = ridges.towards[..., ::-1] * [-1.0, 1.0]
        start = ridges.inner[..., None] * ridges.towards
        line, way = np.moveaxis(start, 0, 1), np.moveaxis(along, 0, 1)
        low, high = (each.T[..., None] for each in _clipped(line, way, (-np.inf, np.inf), ridges, ridges.inner))
        places = [low, high]
        for end in ends:
            on_it = held & (_dot(end, ridges.towards[:, :, None]) > ridges.inner[..., None] - _IN_CELL)
            places.append(np.where(on_it, _dot(end, along[:, :, None]), np.nan))
        at = np.concatenate([each + by for each in places for by in (-_BESIDE, _BESIDE)], axis=2)
        there: Mask = np.array((low <= at) & (at <= high) & np.isfinite(at) & held.any(axis=1, keepdims=True))
        ridge, row, _ = there.nonzero()
        points = place[row] + start[ridge, row] + at[there][:, None] * along[ridge, row]
        there[there] = shapely.contains_xy(self.floor.polygon, *points.T)
        return np.asarray(there.any(axis=2))

    def _square_runs(self, flange: Flange, off: Array, held: Mask, cell: tuple[Ridges, Mask]) -> tuple[Array, Array]:
        """The longest and the shortest run (k,) square to the lines of a part's walls and ridges.

        cell: the ridges, and which are sides of it (r, k).
        """
        ridges, is_side = cell
        runs = np.maximum(off - flange.rim(-self.edges.inward), LEAST_RUN)
        far, near = np.where(held, runs, 0.0).max(axis=1), np.where(held, runs, np.inf).min(axis=1)
        rims = flange.rim(ridges.towards)
        run = np.maximum(ridges.most - rims, LEAST_RUN)
        # A line that bounds no part lies behind one that does, the rim towards which may reach less far.
        least = np.where(is_side, run, np.maximum(ridges.most - flange.halves.min(), LEAST_RUN))
        far = np.maximum(far, np.where(is_side, run, 0.0).max(axis=0, initial=0.0))
        return far, np.minimum(near, least.min(axis=0, initial=np.inf))


class Part(NamedTuple):
    """A drain's part, for places (k,): longest run at least, shortest at most, how far its corners lie [mm].

    is_blind: surely not seen whole, or no room for the flange; is_seen: surely seen; may_crowd: a ridge may come too
    near the flange.
    """

    far: Array
    near: Array
    reach: Array
    is_blind: Mask
    is_seen: Mask
    may_crowd: Mask


def _clipped(start: Array, along: Array, ends: tuple[float, float], cell: Ridges, foot: Array) -> tuple[Array, Array]:
    """From which to which part each line lies in a cell (k, l), with ridges so far off its drain (r, k) [mm].

    start: off the drain (k, l, 2) [mm]; along (l or k, l, 2); ends: the least and the most part.
    """
    towards = cell.towards[:, :, None]
    beyond, slope = _dot(start, towards) - foot[..., None], _dot(along, towards)
    with np.errstate(divide="ignore", invalid="ignore"):
        cross = -beyond / slope
    low = np.where(slope < 0, cross, -np.inf).max(axis=0, initial=ends[0])
    high = np.where(slope > 0, cross, np.inf).min(axis=0, initial=ends[1])
    return low, np.where(((slope == 0) & (beyond > _IN_CELL)).any(axis=0), low - 1, high)


def leaning(flange: Flange) -> float:
    """How much the run to a place changes at most per length its flange is moved [-]."""
    return 1.0 if flange.is_round else float(np.hypot(*flange.halves) / flange.halves.min())


def _dot(one: Array, other: Array) -> Array:
    return np.asarray(one[..., 0] * other[..., 0] + one[..., 1] * other[..., 1])


def _to_ridges(flange: Flange, ridges: Ridges) -> Array:
    runs = line_runs(flange, ridges.most.reshape(-1), ridges.towards.reshape(-1, 2)).reshape(ridges.most.shape)
    return np.asarray((runs + rim_turn(flange) * ridges.turn).min(axis=0, initial=np.inf))


def _support(flange: Flange, ridges: Ridges, sign: int) -> Array:
    """How far a flange reaches towards ridges (r, k) [mm], at most or at least."""
    if flange.is_round:
        return np.full(1, flange.half)
    most = float(np.hypot(*flange.halves))
    return np.clip(np.abs(ridges.towards @ flange.frame.T) @ flange.halves + sign * most * ridges.turn, 0.0, most)


def walls_on_step(step: float) -> Callable[[Array], Array]:
    """What walls stand at for the least that they may: rounded up to the mark step [mm], as by `round_up`."""
    return lambda heights: np.ceil(heights / step - GUARD) * step


def walls_at(height: float) -> Callable[[Array], Array]:
    """Walls at the user's own height [mm], whatever they need."""
    return lambda heights: np.full(len(heights), height)
