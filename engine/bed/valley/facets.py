"""Facets: the strip of floor between a ring of walls and the valleys before it, in straight pieces.

Walls and valleys are walked side by side. A facet stands on a piece of wall with its point on the net, or on a valley
with its point at the wall; turned one way, all cover the strip once. They are a path through the table of creases
(station i, step j of the walk): on a wall from (i, j) to (i + 1, j), on a valley to (i, j + 1).
"""

import math
from functools import cached_property
from typing import NamedTuple, TypeAlias

import numpy as np

from ...arrays import cross
from ...figures import GUARD
from ...records import result
from ...types import Array, Index, Mask
from ..flange import Flange
from .net import Net
from .slopes import Planes, Ruled

Table: TypeAlias = list[list[float]]
Parting: TypeAlias = list[tuple[int, int, bool]]  # facets in order: station, step, whether on the wall
_LEAST_TWICE = 20.0  # [mm2] twice a facet's area
_HIGHEST = 1.11  # times the least wall height, as high as walls may be raised
_INF = math.inf


class Slopes(NamedTuple):
    """The slopes of a strip's possible facets [-]: on walls (n, m + 1), on valleys (n + 1, m); infinite for none."""

    on_walls: Table
    on_valleys: Table


@result
class _Facets:
    """Facets, each at its cell (k,) of the tables; their corners (k, 2) thrice, a drain always last.

    heights: of the second and the last corners (k,) [mm], nan for the walls'; the first is always a wall's.
    """

    flange: Flange
    cells: Index
    corners: tuple[Array, Array, Array]
    heights: tuple[Array, Array]
    at_drain: Mask

    @cached_property
    def _planes(self) -> Planes:
        return Planes.of(*self.corners)

    @cached_property
    def _ruled(self) -> Ruled:
        return Ruled.of(self.flange, self.corners[0][self.at_drain], self.corners[1][self.at_drain])

    def slopes(self, height: float) -> Array:
        first = np.full(len(self.cells), height)
        second, last = np.where(np.isnan(self.heights[0]), height, self.heights[0]), self.heights[1]
        slopes = self._planes.slopes((first, second, last))
        slopes[self.at_drain] = self._ruled.steepest(first[self.at_drain], second[self.at_drain])
        return slopes


@result
class Strip:
    """A ring's stations (n + 1, 2), the walls between (n,), and the walk of net places before it (m + 1,)."""

    net: Net
    flange: Flange
    fall: float
    stations: Array
    walls: Index
    walk: Index

    @cached_property
    def _points(self) -> Array:
        return self.net.places[self.walk]

    @cached_property
    def _heights(self) -> Array:
        return self.fall * self.net.ways[self.walk]

    @cached_property
    def _spokes(self) -> Array:
        return self.stations[:, None] - self._points

    @cached_property
    def _on_walls(self) -> Array:
        """Twice the area of each facet on a wall (n, m + 1) [mm2]; positive when turned left."""
        return cross(self._spokes[:-1], self._spokes[1:])

    @cached_property
    def _on_valleys(self) -> Array:
        return cross(self._spokes[:, 1:], self._spokes[:, :-1])

    @cached_property
    def needed(self) -> Array:
        """The wall height with which each crease keeps the fall (n + 1, m + 1) [mm]."""
        runs = np.hypot(self._spokes[..., 0], self._spokes[..., 1])
        runs[:, self.walk == 0] = self.flange.runs(self.stations)[:, None]
        return self._heights + self.fall * runs

    @cached_property
    def least_height(self) -> float:
        """The lowest walls [mm] with which some parting keeps the fall; infinite where none does."""
        return _bottleneck(
            self.needed.tolist(),
            np.where(self._on_walls > _LEAST_TWICE, 0.0, _INF).tolist(),
            np.where(self._on_valleys > _LEAST_TWICE, 0.0, _INF).tolist(),
        )

    def slopes(self, height: float) -> Slopes:
        """The facets' slopes with walls `height` [mm] high, little over the least."""
        slopes = np.full(self._on_walls.size + self._on_valleys.size, _INF)
        slopes[self._facets.cells] = self._facets.slopes(height)
        on_walls, on_valleys = np.split(slopes, [self._on_walls.size])
        return Slopes(
            on_walls.reshape(self._on_walls.shape).tolist(), on_valleys.reshape(self._on_valleys.shape).tolist()
        )

    @cached_property
    def _facets(self) -> _Facets:
        fits = self.needed <= _HIGHEST * self.least_height
        points, stations, walk, heights = self._points, self.stations, self.walk, self._heights
        on_walls = (self._on_walls > _LEAST_TWICE) & fits[:-1] & fits[1:]
        on_valleys = (self._on_valleys > _LEAST_TWICE) & fits[:, :-1] & fits[:, 1:]
        (wall, step), (station, j) = on_walls.nonzero(), on_valleys.nonzero()
        to_relay = walk[j] == 0  # the relay: the walk's next place, or this one before the drain
        relay, other = np.where(to_relay, j + 1, j), np.concatenate([step, np.where(to_relay, j, j + 1)])
        return _Facets(
            self.flange,
            np.concatenate([on_walls.ravel(), on_valleys.ravel()]).nonzero()[0],
            (
                stations[np.concatenate([wall, station])],
                np.concatenate([stations[wall + 1], points[relay]]),
                points[other],
            ),
            (np.concatenate([np.full(len(wall), np.nan), heights[relay]]), heights[other]),
            walk[other] == 0,
        )

    def gentlest(self, slopes: Slopes, height: float) -> float:
        """The least steepness [-] of any parting whose creases keep the fall with walls so high [mm]."""
        return _bottleneck(self._allowed(height), *slopes)

    def _allowed(self, height: float) -> Table:
        allowed: Table = np.where(self.needed <= height * (1 + GUARD), 0.0, _INF).tolist()
        return allowed

    def parted(self, slopes: Slopes, height: float, steepest: float, wanted: float) -> Parting | None:
        """The parting with fewest patches, none over `steepest` [-], few over `wanted`; or None."""
        return _cheapest(self._allowed(height), slopes, steepest, wanted)


def _bottleneck(cells: Table, on_walls: Table, on_valleys: Table) -> float:
    row = [_INF] * len(cells[0])
    above: list[float] = []
    for i, (here, right) in enumerate(zip(cells, on_valleys, strict=True)):
        best = _INF if i else 0.0
        for j, cell in enumerate(here):
            # Written out, for a call of max costs more than the rest.
            if j and right[j - 1] > best:
                best = right[j - 1]
            if i:
                down = row[j] if row[j] > above[j] else above[j]
                best = down if down < best else best
            best = cell if cell > best else best
            row[j] = best
        above = on_walls[i] if i < len(on_walls) else above
    return row[-1]


def _cheapest(cells: Table, slopes: Slopes, steepest: float, wanted: float) -> Parting | None:
    costs: list[list[tuple[float, float]]] = []  # arriving by a facet on a wall, on a valley
    for i, row in enumerate(cells):
        line: list[tuple[float, float]] = []
        for j, cell in enumerate(row):
            by_wall = by_valley = _INF if i or j else 0.0
            if i and cell <= 0:
                on_wall, on_valley = costs[i - 1][j]
                by_wall = min(on_wall, on_valley + 1.0) + _cost(slopes.on_walls[i - 1][j], steepest, wanted)
            if j and cell <= 0:
                on_wall, on_valley = line[j - 1]
                by_valley = min(on_valley, on_wall + 1.0) + _cost(slopes.on_valleys[i][j - 1], steepest, wanted)
            line.append((by_wall, by_valley))
        costs.append(line)
    return _traced(costs)


def _cost(slope: float, steepest: float, wanted: float) -> float:
    if slope > steepest:
        return _INF
    over = slope / wanted - 1.0
    return 1e-3 * slope + (0.2 * over if over > 0 else 0.0)


def _traced(costs: list[list[tuple[float, float]]]) -> Parting | None:
    i, j = len(costs) - 1, len(costs[0]) - 1
    by_wall, by_valley = costs[i][j]
    if not math.isfinite(min(by_wall, by_valley)):
        return None
    on_wall = by_wall <= by_valley + GUARD
    found = []
    while i or j:
        i, j = (i - 1, j) if on_wall else (i, j - 1)
        found.append((i, j, on_wall))
        by_wall, by_valley = costs[i][j]
        on_wall = by_wall <= by_valley + 1.0 + GUARD if on_wall else by_wall + 1.0 < by_valley - GUARD
    return found[::-1]
