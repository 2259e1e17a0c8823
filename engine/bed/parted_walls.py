"""Parted walls: level walls round several drains."""

from collections.abc import Iterator
from functools import cached_property

import numpy as np
import shapely

from ..job.model import BedShape
from ..records import result
from ..survey.spot import Spot
from ..types import Array, Index
from .falls import ManyFalls
from .level_walls import LevelWalls
from .parts import Part, Ridge
from .reach import SharedReach
from .valley.bed import ValleyWalls

_BEYOND = 1e-3  # [mm] a step over a ridge


@result
class PartedWalls(ManyFalls):
    """A bed at `wall_height` [mm] along every wall and every ridge, straight from each flange's edge to both.

    parts: the drains' parts of the floor; beds: level walls over each, with valleys where its drain does not see it
    whole; heads: each drain's height over the first [mm], as wall_height is. Both sides of a ridge meet it at one
    height.
    """

    reach: SharedReach
    parts: tuple[Part, ...]
    beds: tuple[LevelWalls | ValleyWalls, ...]
    heads: tuple[float, ...]
    wall_height: float

    shape = BedShape.LEVEL_WALLS

    @cached_property
    def ridges(self) -> tuple[Ridge, ...]:
        """The ridges between the parts, each once, level at the wall height."""
        return tuple(
            Ridge((number, beyond), line, np.full(len(line), self.wall_height))
            for number, part in enumerate(self.parts)
            for beyond, line in self._across(part)
            if number < beyond
        )

    def _across(self, part: Part) -> Iterator[tuple[int, Array]]:
        edges = part.reach.edges
        for edge in np.flatnonzero(part.is_ridge).tolist():
            ends = np.array([edges.starts[edge], edges.ends[edge]])
            yield int(self.owners(ends.mean(axis=0)[None] - _BEYOND * edges.inward[edge])[0]), ends

    @cached_property
    def least_fall_at(self) -> Spot:
        """The least fall over every part's runs [-], with the place on a wall or ridge."""
        return min((bed.least_fall_at for bed in self.beds), key=lambda spot: spot.value)

    @cached_property
    def most_fall_at(self) -> Spot:
        """The most fall over every part's runs [-], with the place on a wall or ridge."""
        return max((bed.most_fall_at for bed in self.beds), key=lambda spot: spot.value)

    @property
    def farthest_reaching(self) -> LevelWalls | ValleyWalls:
        """The bed, of all parts', that has the longest run."""
        return max(self.beds, key=lambda bed: bed.longest_run)

    @property
    def longest(self) -> Spot:
        """The longest run [mm], with its place on a wall or ridge."""
        return self.farthest_reaching.longest

    @property
    def steepest(self) -> float:
        """A bound on the surface's slope in any direction [-]."""
        return max(bed.steepest for bed in self.beds)

    def owners(self, points: Array) -> Index:
        """The number of the drain in whose part each point (k, 2) of the floor lies (k,); of a ridge the first."""
        shapes = np.array([part.shape for part in self.parts])
        inside = shapely.intersects_xy(shapes[:, None], points[:, 0], points[:, 1])
        owners = np.argmax(inside, axis=0)
        stray = np.flatnonzero(~inside.any(axis=0))  # a hair outside, where a wall's place is off by noise
        if len(stray):
            away = shapely.distance(shapes[:, None], shapely.points(points[stray]))
            owners[stray] = np.argmin(away, axis=0)
        return np.asarray(owners)

    def height(self, points: Array) -> Array:
        """The bed's height over the first flange (k,) [mm] at points (k, 2) on the floor."""
        owners = self.owners(points)
        heights = np.empty(len(points))
        for number, (bed, head) in enumerate(zip(self.beds, self.heads, strict=True)):
            own = owners == number
            if own.any():
                heights[own] = head + bed.height(points[own])
        return heights

    @cached_property
    def integral(self) -> float:
        """The bed's height over the first flange, summed over the floor [mm3]."""
        return sum(
            bed.integral + head * float(shapely.area(part.shape))
            for part, bed, head in zip(self.parts, self.beds, self.heads, strict=True)
        )
