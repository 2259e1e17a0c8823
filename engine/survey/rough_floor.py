"""The rough floor as a surface."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property, lru_cache

import numpy as np

from ..records import Same, result
from ..types import Array, Index
from .mesh import Mesh, Sites, mesh, sites, stood
from .outline import FloorOutline
from .spot import Spot


@result
class Frame:
    """Corners (c, 2), heights (c,) [mm], pairs (k, 2) round the surface's planes; used: those on the floor."""

    corners: Array
    heights: Array
    pairs: Index
    used: Index


@result
class RoughFloor:
    """The surface that the bed will sit on, in the floor's coordinates, heights over the flange datum [mm].

    mesh: the readings' triangles on the floor; heights (n,) [mm] of its stations over the level line (minus the drops);
    gradient (2,) [-] of their least-squares plane; shift [mm] from there to the datum; assumed: there was no reading.
    """

    mesh: Mesh
    heights: Array
    gradient: Array
    shift: float = 0.0
    assumed: bool = False

    @property
    def floor(self) -> FloorOutline:
        """The floor's outline."""
        return self.mesh.floor

    @property
    def stations(self) -> Array:
        """The places read (n, 2) [mm], each once."""
        return self.mesh.stations

    @property
    def triangles(self) -> Index:
        """The triangles between stations (t, 3), counter-clockwise."""
        return self.mesh.triangles

    def raised(self, shift: float) -> RoughFloor:
        """The same floor with another shift [mm] from the level line to the datum."""
        return replace(self, shift=shift)

    def height(self, points: Array) -> Array:
        """Heights over the flange datum (k,) [mm] at points (k, 2) [mm].

        Inside the readings' hull linear over their triangles; outside the least-squares plane plus the misfit at the
        nearest hull point. One reading: level. Several on one line: sloped along it, level across.
        """
        return self.mesh.footing(points).heights(self.heights, self.gradient) + self.shift

    def standing(self, places: Same[Array]) -> Array:
        """Heights as by `height`, at these very points (k, 2), whose footing is found again."""
        return stood(self.mesh, places).heights(self.heights, self.gradient) + self.shift

    @cached_property
    def _cut(self) -> Array:
        """Heights over the level line at the cut parts' corners, then centroids."""
        return self.mesh.cut.heights(self.heights, self.gradient)

    @cached_property
    def frame(self) -> Frame:
        """The corners and edges of all pieces of floor where the surface is one plane."""
        mesh = self.mesh
        heights = np.concatenate([self.heights, self._cut[: len(mesh.pieces.cut.corners)]])
        return Frame(mesh.corners, heights + self.shift, mesh.pairs, mesh.used)

    @cached_property
    def integral(self) -> float:
        """The surface's height over the datum, summed over the floor [mm3]; exact."""
        pieces = self.mesh.pieces
        parts = pieces.cut.areas @ (self._cut[len(pieces.cut.corners) :] + self.shift)
        whole = self.mesh.areas @ (self.heights[pieces.whole].sum(axis=1) / 3 + self.shift)
        return float(parts + whole)

    def slopes_near(self, centre: Array, reach: float) -> Array:
        """The gradients (m, 2) [-] of the planes within a square of that reach [mm] round a place (2,)."""
        near = self.mesh.slopes_near(self.heights, centre, reach)
        return np.concatenate([self.gradient[None], near, self.mesh.slopes_beyond(self.heights, self.gradient)])

    @property
    def guessed(self) -> float:
        """The floor's share (0 to 1) outside the readings' hull."""
        return self.mesh.pieces.guessed

    @cached_property
    def highest(self) -> Spot:
        """The highest place of the rough floor."""
        return self._extreme(1.0)

    @cached_property
    def lowest(self) -> Spot:
        """The lowest place of the rough floor."""
        return self._extreme(-1.0)

    def _extreme(self, sign: float) -> Spot:
        frame = self.frame
        best = frame.used[int((sign * frame.heights[frame.used]).round(9).argmax())]
        return Spot.at(frame.heights[best], frame.corners[best])


def rough_floor(floor: FloorOutline, stations: Array, drops: Array, *, assumed: bool = False) -> RoughFloor:
    """The rough floor from readings: places (n, 2) [mm], n >= 1, and drops (n,) [mm] below the level line.

    Readings at one place count as one, at their mean drop.
    """
    places, heights, triangles, gradient = _read(
        np.ascontiguousarray(stations).tobytes(), np.ascontiguousarray(drops).tobytes()
    )
    return RoughFloor(mesh(floor, places, triangles), heights, gradient, assumed=assumed)


@lru_cache(maxsize=4)
def _read(stations: bytes, drops: bytes) -> tuple[Sites, Array, Index, Array]:
    places = sites(stations)
    heights = places.heights(np.frombuffer(drops))
    return places, heights, places.triangles(heights), places.gradient(heights)
