"""The nearest place that will do, of all places on the step: found and proved by cutting up blocks of them."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
import shapely

from engine.boxes import grid
from engine.records import result
from engine.types import Array, Mask, Shape

_BLOCKS = 8  # across the region at first
_PARTS = 4  # that each is cut into each way
_WITHIN = np.stack(np.meshgrid(np.arange(_PARTS), np.arange(_PARTS)), axis=-1).reshape(-1, 2)
_MOST_BLOCKS = 20_000
_BESIDE = 1e-6  # [mm]
_WATCHED = 64
_COARSE = 16  # steps: blocks in which only what is not known for sure may do are not cut further
_CALM = 6  # decimals that are told apart

# For places (k, 2) and slacks (k,) [mm]: what is over the limit at best, and whether that is all that can be.
Judge = Callable[["Array", "Array"], tuple["Array", "Mask"]]


def anywhere(spots: Array, _: Array) -> tuple[Array, Mask]:
    """No limit."""
    return np.zeros(len(spots)), np.ones(len(spots), dtype=bool)


@result
class Lattice:
    """The places origin + step * axes @ (a, b) for whole a and b, [mm]."""

    origin: Array
    axes: Array
    step: float

    def spots(self, pairs: Array) -> Array:
        """The places (k, 2) of pairs (k, 2)."""
        return np.asarray(self.origin + self.step * pairs @ self.axes.T)

    def pairs(self, spots: Array) -> Array:
        """The pairs (k, 2), not whole, of places (k, 2)."""
        return np.asarray(np.linalg.solve(self.axes, (spots - self.origin).T).T / self.step)

    def radius(self, size: int) -> float:
        """How far a corner of a block of so many pairs each way lies from its middle [mm]."""
        diagonals = self.axes @ np.array([[1.0, 1.0], [1.0, -1.0]])
        return self.step * (size - 1) / 2 * float(np.hypot(*diagonals).max())


class Nearest(NamedTuple):
    """The nearest pairs (n, 2) that will do, nearest first, and how far they are (n,) [mm].

    clear: nearer than this none will do [mm]; at least as far as the first where that is the least.
    """

    pairs: Array
    far: Array
    clear: float


def nearest(lattice: Lattice, region: Shape, judge: Judge, disc: tuple[Array, float], count: int) -> Nearest:
    """The nearest places of a lattice in a region that break no limit, as many as asked for.

    disc: the place (2,) that they are to be nearest to, and how far they may be at most [mm].

    Blocks of places are cut up while one of theirs may do and lie nearer than what is found: so none that is passed
    over does. Blocks in which only something that is not known for sure may do are left, and clear ends there.
    """
    if shapely.is_empty(region):
        return Nearest(np.empty((0, 2)), np.empty(0), np.inf)
    search = _Search(lattice, region, judge, disc, count)
    blocks, size = search.first()
    while size and len(blocks):
        blocks, size = search.cut(blocks, size)
    return search.found()


class _Search:
    def __init__(self, lattice: Lattice, region: Shape, judge: Judge, disc: tuple[Array, float], count: int) -> None:
        self._lattice, self._region, self._judge, self._count = lattice, region, judge, count
        self._home, self._within = disc
        self._pairs: Array = np.empty((0, 2))
        self._far: Array = np.empty(0)
        self._unsure = np.inf
        shapely.prepare(region)

    def first(self) -> tuple[Array, int]:
        x, y, x_end, y_end = shapely.bounds(self._region).tolist()
        pairs = self._lattice.pairs(np.array([[x, y], [x_end, y], [x_end, y_end], [x, y_end]]))
        low, high = np.floor(pairs.min(axis=0)), np.ceil(pairs.max(axis=0))
        size = _PARTS ** round(np.log(max(float((high - low).max()) / _BLOCKS, 1.0)) / np.log(_PARTS))
        return grid(low, high + 1, size), size

    def cut(self, blocks: Array, size: int) -> tuple[Array, int]:
        """The parts of the blocks in which a nearer place may still be, and their size."""
        radius = self._lattice.radius(size)
        spots = self._lattice.spots(blocks + (size - 1) / 2)
        near = np.hypot(*(spots - self._home).T) - radius
        held = near < self._limit
        held[held] = shapely.dwithin(self._region, shapely.points(spots[held]), radius + _BESIDE)
        blocks, spots, near = blocks[held], spots[held], near[held]
        if size == 1:
            over, is_sure = self._judge(spots, np.zeros(len(spots)))
            self._take(blocks[over <= _BESIDE])
            self._leave(near[(over > _BESIDE) & ~is_sure])
            return blocks[:0], 0
        inner = blocks + size // 2
        both = np.vstack([spots, self._lattice.spots(inner)])
        over, is_sure = self._judge(both, np.repeat([radius, 0.0], len(spots)))
        may, at_inner = np.split(over <= _BESIDE, 2)
        self._take(inner[at_inner])
        unsure = ~is_sure[: len(spots)] & ~may
        last = unsure.nonzero()[0]
        last = last[np.argsort(near[last], kind="stable")][0 if size <= _COARSE else _WATCHED :]
        self._leave(near[last])
        unsure[last] = False
        kept = blocks[(may | unsure) & (near < self._limit)]
        if len(kept) > _MOST_BLOCKS:
            self._leave(near)
            return blocks[:0], 0
        part = size // _PARTS
        return (kept[:, None] + part * _WITHIN).reshape(-1, 2), part

    @property
    def _limit(self) -> float:
        return float(self._far[self._count - 1]) if len(self._far) >= self._count else self._within

    def _take(self, pairs: Array) -> None:
        """Places that will do, put with those that there are: each once, the nearest first."""
        spots = self._lattice.spots(pairs)
        pairs = pairs[shapely.dwithin(self._region, shapely.points(spots), _BESIDE)]
        both = np.unique(np.vstack([self._pairs, pairs]), axis=0)
        away = self._lattice.spots(both) - self._home
        far: Array = np.round(np.sqrt((away**2).sum(axis=1)), _CALM)
        order = np.argsort(far, kind="stable")
        order = order[far[order] < self._within][: self._count]
        self._pairs, self._far = both[order], far[order]

    def _leave(self, near: Array) -> None:
        self._unsure = min(self._unsure, float(np.maximum(near, 0.0).min(initial=np.inf)))

    def found(self) -> Nearest:
        return Nearest(self._pairs, self._far, self._unsure)
