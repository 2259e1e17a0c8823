"""Work on a rough floor taken back until no place could be a step less with the bed within its limit."""

import math
from collections.abc import Iterable

import numpy as np

from ..bed.depth import Gap
from ..survey.mesh import Mesh, mesh, sites
from ..survey.rough_floor import RoughFloor
from ..types import Array
from .trials import NOISE

_ALONG = np.linspace(0.0, 1.0, 9)[1:-1, None, None]  # of each edge, where the bed is looked at
_MOST_WEIGHTS = 2_000_000
_NOTHING = 1e-9  # [-] of a reading: the floor does not hang on it


class Holds:
    """Where a bed must keep its limit over a floor read at places (r, 2), whatever the line reads there; all in [mm].

    The floor is a sum of what is read; of the two that four places on one circle leave, the higher. limit: the least
    depth if way is 1, the most if -1; before (r,): what the line read before the work; gap: from the floor as it was.
    """

    def __init__(self, gap: Gap, limit: float, way: float, places: Array, before: Array) -> None:
        bed, rough = gap.bed, gap.rough
        self._bed, self._limit, self._way, self._before = bed, limit + rough.shift, way, before
        self._sites = sites(np.ascontiguousarray(places).tobytes())
        heights, gradient = self._sites.heights(before), self._sites.gradient
        splits = [self._sites.triangles(side * heights) for side in (1.0, -1.0)]
        splits = splits[: 2 - np.array_equal(splits[0], splits[1])]
        self._meshes = [mesh(rough.floor, self._sites, split) for split in splits]
        self._leans = gradient(np.eye(len(heights)))
        self._over, self._weights = np.empty(0), np.empty((len(before), len(splits), 0))
        for one in self._meshes:
            starts, ends = one.corners[one.pairs].transpose(1, 0, 2)
            edges = np.concatenate([one.corners[one.used], (starts + _ALONG * (ends - starts)).reshape(-1, 2)])
            depths = bed.height(edges) - self._limit - RoughFloor(one, heights, gradient(heights)).height(edges)
            broken = edges[way * depths < NOISE]
            self.hold(broken[:: 1 + len(broken) * len(before) // _MOST_WEIGHTS])

    def hold(self, places: Array, seen: Mesh | None = None) -> None:
        """Holds the limit at places (k, 2) [mm] too; seen: the triangles it was broken with."""
        meshes = [seen] * len(self._meshes) if seen and self._way > 0 else self._meshes
        self._over = np.concatenate([self._over, self._bed.height(places) - self._limit])
        weights = np.stack([self._weights_in(one, places) for one in meshes], axis=1)
        self._weights = np.concatenate([self._weights, weights], axis=2)

    def _weights_in(self, one: Mesh, places: Array) -> Array:
        on, owner = one.footing(places), self._sites.owner
        weights = on.shares(len(one.stations)) + self._leans.T @ on.beyond
        return (weights / np.bincount(owner)[:, None])[owner]

    def taken_back(self, drops: Array, order: Iterable[int], step: float) -> Array:
        """What the line reads (r,) [mm] with each place in turn as many steps back as the limit lets it.

        drops (r,) [mm]: after work that keeps it.
        """
        drops, is_moved = drops.copy(), True
        spare = self._way * (self._over + np.tensordot(drops, self._weights, 1)) + NOISE / 2
        hung = [(i, (self._weights[i] > _NOTHING).any(axis=0).nonzero()[0]) for i in order]
        while is_moved:
            is_moved = False
            for i, at in hung:
                left, weights = self._way * (drops[i] - self._before[i]), self._weights[i][:, at]
                room = self._room(spare[:, at], weights) if left > NOISE else 0.0
                by = left if room >= left else math.floor(room / step + _NOTHING) * step
                if by > NOISE:
                    drops[i] -= self._way * by
                    spare -= by * self._weights[i]
                    is_moved = True
        return drops

    def _room(self, spare: Array, weights: Array) -> float:
        hung = weights > _NOTHING
        rooms = np.where(hung, spare / np.where(hung, weights, 1.0), np.where(spare < 0, 0.0, np.inf))
        return max(0.0, float((rooms.min(axis=0) if self._way > 0 else rooms.max(axis=0)).min(initial=np.inf)))
