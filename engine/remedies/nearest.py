"""The nearest place on the step that will do, found and proved by cutting up blocks of them."""

from collections.abc import Callable
from typing import NamedTuple, TypeAlias

import numpy as np
import shapely

from ..boxes import box_round, grid
from ..records import result
from ..types import Array, Mask, Shape

_BLOCKS = 8  # across the region at first
_PARTS = 4  # that each is cut into each way
_WITHIN = np.stack(np.meshgrid(np.arange(_PARTS), np.arange(_PARTS)), axis=-1).reshape(-1, 2)
_MOST, _MOST_SURE = 400, 800  # cut at once, if some are not known for sure, and else; farther are left
BESIDE = 1e-6  # [mm]
_LARGE = 256  # pairs each way, all asked at once
_COARSE = 16  # steps: the finest that blocks are cut to where only what is not known for sure may do
_CALM = 6  # decimals that are told apart

# For places (k, 2) and slacks (k,) [mm]: what is over the limit at best, and what may be in ways not known.
Judge = Callable[[Array, Array], tuple[Array, Array]]


def anywhere(spots: Array, _: Array) -> tuple[Array, Array]:
    """No limit."""
    return np.zeros(len(spots)), np.full(len(spots), np.inf)


def unknown(spots: Array, _: Array) -> tuple[Array, Array]:
    """A limit that no formula tells."""
    return np.full(len(spots), np.inf), np.full(len(spots), -np.inf)


@result
class Lattice:
    """The places origin + step * axes @ (a, b) [mm], spots (k, 2), of whole pairs (k, 2)."""

    origin: Array
    axes: Array
    step: float

    def spots(self, pairs: Array) -> Array:
        """The places of pairs."""
        return self.origin + self.step * pairs @ self.axes.T

    def pairs(self, spots: Array) -> Array:
        """The pairs nearest to places."""
        return np.round(np.linalg.solve(self.axes, (spots - self.origin).T).T / self.step)

    def box(self, low: Array, high: Array) -> tuple[Array, Array]:
        """The least and the most pair (2,) in a box [mm]."""
        corners = np.array([low, [high[0], low[1]], high, [low[0], high[1]]]) - self.origin
        pairs = np.linalg.solve(self.axes, corners.T) / self.step
        return np.floor(pairs.min(axis=1)), np.ceil(pairs.max(axis=1))

    def far(self, pairs: Array, home: Array) -> Array:
        """How far pairs lie from a place [mm], rounded to what is told apart."""
        return np.asarray(np.round(np.hypot(*(self.spots(pairs) - home).T), _CALM))

    def is_in(self, pairs: Array, region: Shape) -> Mask:
        """Whether pairs lie in a region."""
        return np.asarray(shapely.dwithin(region, shapely.points(self.spots(pairs)), BESIDE))

    def radius(self, size: int) -> float:
        """How far a block of so many pairs each way reaches from its middle [mm]."""
        diagonals = self.axes @ np.array([[1.0, 1.0], [1.0, -1.0]])
        return self.step * (size - 1) / 2 * float(np.hypot(*diagonals).max())


Blocks: TypeAlias = tuple[Array, int]  # their first pairs (k, 2), of so many pairs each way


def blocks_within(lattice: Lattice, left: Blocks, home: Array, disc: tuple[float, float]) -> Blocks:
    """Blocks, large ones cut up, of which a place may lie in a ring round a place (2,), from, to [mm]."""
    blocks, size = left
    while size > _LARGE:
        size //= _PARTS
        blocks = (blocks[:, None] + size * _WITHIN).reshape(-1, 2)
    far, radius = lattice.far(blocks + (size - 1) / 2, home), lattice.radius(size)
    return blocks[(far + radius >= disc[0] - BESIDE) & (far - radius < disc[1])], size


def apart_in(left: Blocks, every: int) -> Array:
    """The pairs (n, 2) of blocks that are multiples of `every`."""
    blocks, size = left
    first = np.ceil(blocks / every) * every
    steps = every * np.arange(-(-size // every))
    pairs = first[:, None] + np.stack(np.meshgrid(steps, steps), axis=-1).reshape(-1, 2)
    return np.asarray(pairs[(pairs < blocks[:, None] + size).all(axis=2)])


class Nearest(NamedTuple):
    """The nearest pairs (n, 2) that will do, in order, how far they are (n,), and how near none is [mm].

    rest: blocks where others may, not known for sure, the nearest so near [mm]; ahead: farther ones where others will.
    """

    pairs: Array
    far: Array
    clear: float
    rest: tuple[Blocks, ...]
    rest_from: float
    ahead: tuple[Blocks, ...]

    @property
    def left(self) -> tuple[Blocks, ...]:
        """All blocks in which others may."""
        return self.rest + self.ahead


class Look(NamedTuple):
    """Where from (2,), how far at most [mm], how many places, blocks not known for sure; before: by a milder limit."""

    home: Array
    within: float
    places: int
    blocks: int
    before: Nearest | None = None


def nearest(lattice: Lattice, region: Shape, judge: Judge, look: Look) -> Nearest:
    """The nearest places of a lattice in a region that break no limit.

    Blocks are cut up while one of their places may do and be nearer than what is found: none passed over does. Blocks
    where only what is not known for sure may do are left, and of too many the farther; clear ends there.
    """
    search = _Search(lattice, region, judge, look)
    search.go_on_from(look.before)
    return search.found()


class _Search:
    def __init__(self, lattice: Lattice, region: Shape, judge: Judge, look: Look) -> None:
        self._lattice, self._region, self._judge = lattice, region, judge
        self._home, self._within, self._count, self._blocks_left, _ = look
        self._pairs, self._clear = np.empty((0, 2)), np.inf
        self._rest, self._ahead = list[Blocks](), list[Blocks]()
        shapely.prepare(region)

    def go_on_from(self, before: Nearest | None) -> None:
        left = [self._first()] if before is None else list(before.ahead)
        if before is not None:
            self._rest, self._clear = list(before.rest), before.rest_from
        while left := [each for each in left if len(each[0])]:
            size = min(each[1] for each in left)  # what lies near what was found
            blocks = np.concatenate([each[0] for each in left if each[1] == size])
            left = [each for each in left if each[1] != size] + [self._cut(blocks, size)]

    def _first(self) -> Blocks:
        if shapely.is_empty(self._region):
            return self._pairs, 1
        low, high = self._lattice.box(*box_round(self._region))
        size = _PARTS ** round(np.log(max(float((high - low).max()) / _BLOCKS, 1.0)) / np.log(_PARTS))
        return grid(low, high + 1, size), size

    def _cut(self, blocks: Array, size: int) -> Blocks:
        radius = self._lattice.radius(size)
        spots = self._lattice.spots(blocks + (size - 1) / 2)
        near = self._far(blocks + (size - 1) / 2) - radius
        held = shapely.dwithin(self._region, shapely.points(spots), radius + BESIDE)
        far = held & (near >= self._limit)
        self._ahead.append((blocks[far], size))
        held &= ~far
        blocks, spots, near = blocks[held], spots[held], near[held]
        inner = blocks + size // 2
        both = np.vstack([spots, self._lattice.spots(inner)]) if size > 1 else spots
        over, other = self._judge(both, np.repeat([radius, 0.0], len(spots))[: len(both)])
        self._take(inner[over[-len(inner) :] <= BESIDE])
        may, unsure = over[: len(inner)] <= BESIDE, other[: len(inner)] <= BESIDE
        is_place, is_open = may & (size == 1), other[-len(inner) :] <= BESIDE
        is_rest = unsure & ~may & (np.isinf(other[: len(inner)]) | (is_open & (size <= _COARSE)))
        left = (may | unsure) & ~is_rest
        ahead = is_place | (left & (near >= self._limit))
        kept = left & ~ahead
        nearest_first = np.flatnonzero(kept)[np.argsort(near[kept], kind="stable")]
        self._blocks_left -= len(blocks)
        most = min(_MOST, max(self._blocks_left, 0) // _PARTS**2) if unsure.any() else _MOST_SURE
        is_rest[nearest_first[most:]] = True
        kept &= ~is_rest
        self._clear = near[is_rest].min(initial=self._clear)
        self._ahead.append((blocks[ahead], size))
        self._rest.append((blocks[is_rest], size))
        part = max(size // _PARTS, 1)
        return (blocks[kept][:, None] + part * _WITHIN).reshape(-1, 2), part

    def _far(self, pairs: Array) -> Array:
        return self._lattice.far(pairs, self._home)

    @property
    def _limit(self) -> float:
        far = self._far(self._pairs)
        return float(far[-1]) if len(far) == self._count else self._within

    def _take(self, pairs: Array) -> None:
        both = np.unique(np.vstack([self._pairs, pairs[self._lattice.is_in(pairs, self._region)]]), axis=0)
        far = self._far(both)
        order = np.argsort(far, kind="stable")
        self._pairs = both[order[far[order] < self._within][: self._count]]

    def found(self) -> Nearest:
        far = self._far(self._pairs)
        clear = float(min([self._clear, self._within, *far[:1]]))
        rest, ahead = (tuple(each for each in blocks if len(each[0])) for blocks in (self._rest, self._ahead))
        return Nearest(self._pairs, far, clear, rest, float(self._clear), ahead)
