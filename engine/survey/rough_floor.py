"""The rough floor: a linear surface over the readings' triangles, and a stated guess beyond them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
import shapely

from engine.distinct import distinct, groups
from engine.rings import following
from engine.survey.pieces import Pieces, cut_to_floor
from engine.survey.spot import Spot
from engine.survey.tin import boundary, doubled, doubled_areas, triangulate

if TYPE_CHECKING:
    from engine.survey.outline import FloorOutline
    from engine.types import Array, Index, Shape

_INSIDE = 1e-9  # a weight this far below 0 still counts as inside a triangle
_RANK = 1e-9  # stations nearer than this to one line, relative to its length, fix no slope across it
_MANY_PAIRS = 200_000  # from here on a search tree is quicker than comparing every point with every box
_BOX_ROOM = 1e-6  # [mm]


@dataclass(frozen=True, eq=False)
class Frame:
    """Corners (c, 2) [mm] with heights (c,) [mm], and pairs (k, 2) of corners that bound the surface's planes.

    used: the corners that lie on the floor.
    """

    corners: Array
    heights: Array
    pairs: Index
    used: Index


@dataclass(frozen=True, eq=False)
class RoughFloor:
    """The surface that the bed will sit on, in the floor's coordinates, heights over the flange datum [mm].

    stations (n, 2) [mm], heights (n,) [mm] over the laser line (so: minus the drops), triangles (t, 3),
    ring (k,) of stations round them; shift [mm] carries heights to the datum; assumed tells that there was no
    reading to go by.
    """

    floor: FloorOutline
    stations: Array
    heights: Array
    triangles: Index
    ring: Index
    gradient: Array
    shift: float = 0.0
    assumed: bool = False

    def raised(self, shift: float) -> RoughFloor:
        """The same floor with heights carried by another shift [mm] from the laser line to the datum."""
        moved = replace(self, shift=shift)
        for name in ("_shapes", "_pieces"):  # what does not depend on the datum
            moved.__dict__[name] = getattr(self, name)
        return moved

    def height(self, points: Array) -> Array:
        """Heights over the flange datum (k,) [mm] at points (k, 2) [mm].

        Inside the readings' hull linear over their triangles; outside the least-squares plane plus the misfit at
        the nearest hull point. One reading: level. Readings on one line: sloped along it, level across.
        """
        values = np.full(len(points), np.nan)
        if len(self.triangles):
            self._fill_inside(points, values)
        outside = np.isnan(values)
        values[outside] = self._beyond(points[outside])
        return values + self.shift

    def _beyond(self, points: Array) -> Array:
        """Heights over the laser line at points outside the hull: the plane and the nearest hull point's misfit."""
        if not len(points):
            return np.empty(0)
        return self._plane(points) + self._misfit_at_hull(points)

    def _plane(self, points: Array) -> Array:
        return np.asarray(self.heights.mean() + (points - self.stations.mean(axis=0)) @ self.gradient)

    @cached_property
    def _misfits(self) -> Array:
        return self.heights - self._plane(self.stations)

    def _misfit_at_hull(self, points: Array) -> Array:
        """The readings' misfit to the plane at the hull point nearest to each point."""
        starts, ends = self.ring, following(self.ring)
        a = self.stations[starts]
        along = self.stations[ends] - a
        squared = np.maximum((along * along).sum(axis=1), np.finfo(float).tiny)
        offset = points[:, None, :] - a
        t = np.clip((offset * along).sum(axis=2) / squared, 0.0, 1.0)
        away = offset - t[..., None] * along
        nearest = np.argmin((away * away).sum(axis=2), axis=1)
        rows = np.arange(len(points))
        first, second = self._misfits[starts][nearest], self._misfits[ends][nearest]
        return np.asarray(first + t[rows, nearest] * (second - first))

    def _fill_inside(self, points: Array, values: Array) -> None:
        rows, owners = self._candidates(points)
        weights = self._weights(points[rows], owners)
        inside = weights.min(axis=1) >= -_INSIDE
        found = (weights * self.heights[self.triangles[owners]]).sum(axis=1)
        values[rows[inside]] = found[inside]

    def _candidates(self, points: Array) -> tuple[Index, Index]:
        """Pairs of point and triangle that may belong together: by their boxes, or for many of both by a tree."""
        if len(points) * len(self.triangles) > _MANY_PAIRS:
            rows, owners = self._tree.query(shapely.points(points), predicate="intersects")
            return rows, owners
        low, high = self._boxes
        x, y = points[:, 0, None], points[:, 1, None]
        inside = (x >= low[:, 0]) & (x <= high[:, 0]) & (y >= low[:, 1]) & (y <= high[:, 1])
        rows, owners = np.nonzero(inside)
        return rows, owners

    @cached_property
    def _boxes(self) -> tuple[Array, Array]:
        corners = self.stations[self.triangles]
        return corners.min(axis=1) - _BOX_ROOM, corners.max(axis=1) + _BOX_ROOM

    @cached_property
    def _tree(self) -> shapely.STRtree:
        return shapely.STRtree(self._shapes)

    @cached_property
    def _shapes(self) -> Shape:
        """The triangles as shapely polygons (t,)."""
        return shapely.polygons(self.stations[self.triangles])

    def _weights(self, points: Array, owners: Index) -> Array:
        """Barycentric weights (k, 3) of points in the triangles that own them: each from the area facing it."""
        a, b, c = (self.stations[self.triangles[owners, k]] for k in range(3))
        facing = [doubled(points, b, c), doubled(a, points, c), doubled(a, b, points)]
        return np.column_stack(facing) / doubled(a, b, c)[:, None]

    @cached_property
    def _pieces(self) -> Pieces:
        return cut_to_floor(self.floor, self.stations, (self.triangles, self._shapes), self.ring)

    @cached_property
    def frame(self) -> Frame:
        """The corners and edges of all pieces of floor on which the surface is one plane."""
        pieces = self._pieces
        cut, count = pieces.cut, len(self.stations)
        corners = np.concatenate([self.stations, cut.corners])
        heights = np.concatenate([self.heights, self._on_parts(cut.corners, cut.owners[cut.part])])
        pairs = np.concatenate([pieces.edges, cut.sides + count])
        used = np.concatenate([distinct(pieces.edges), np.arange(count, len(corners))])
        return Frame(corners, heights + self.shift, pairs, used)

    def _on_parts(self, points: Array, owners: Index) -> Array:
        """Heights over the laser line at points of cut parts, each by the plane of its own part."""
        values = np.empty(len(points))
        inside = owners >= 0
        owned = owners[inside]
        weights = self._weights(points[inside], owned)
        values[inside] = (weights * self.heights[self.triangles[owned]]).sum(axis=1)
        values[~inside] = self._beyond(points[~inside])
        return values

    @cached_property
    def integral(self) -> float:
        """The surface's height over the datum, summed over the floor [mm3]; exact."""
        pieces, cut = self._pieces, self._pieces.cut
        parts = cut.areas @ (self._on_parts(cut.centroids, cut.owners) + self.shift)
        areas = doubled_areas(self.stations, pieces.whole) / 2
        whole = areas @ (self.heights[pieces.whole].mean(axis=1) + self.shift)
        return float(parts + whole)

    def slopes_near(self, centre: Array, reach: float) -> Array:
        """The gradients (m, 2) [-] of the planes found within a square of that reach [mm] round a place (2,)."""
        low, high = self._boxes
        near = np.flatnonzero((low <= centre + reach).all(axis=1) & (high >= centre - reach).all(axis=1))
        return np.vstack([self.gradient[None], self._triangle_slopes(near), self._strip_slopes])

    def _triangle_slopes(self, owners: Index) -> Array:
        a, b, c = (self.stations[self.triangles[owners, k]] for k in range(3))
        first, second, third = (self.heights[self.triangles[owners, k]] for k in range(3))
        u, v, rise_u, rise_v = b - a, c - a, second - first, third - first
        x = rise_u * v[:, 1] - rise_v * u[:, 1]
        y = rise_v * u[:, 0] - rise_u * v[:, 0]
        return np.asarray(np.column_stack([x, y]) / doubled(a, b, c)[:, None])

    @property
    def _strip_slopes(self) -> Array:
        starts, ends = self.ring, following(self.ring)
        along = self.stations[ends] - self.stations[starts]
        squared = np.maximum((along * along).sum(axis=1), np.finfo(float).tiny)
        change = (self._misfits[ends] - self._misfits[starts]) / squared
        return np.asarray(self.gradient + change[:, None] * along)

    @property
    def guessed(self) -> float:
        """The share (0 to 1) of the floor that lies outside the readings' hull."""
        return self._pieces.guessed

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
        best = frame.used[int(np.argmax(np.round(sign * frame.heights[frame.used], 9)))]
        x, y = frame.corners[best].tolist()
        return Spot(float(frame.heights[best]), x, y)


def rough_floor(floor: FloorOutline, stations: Array, drops: Array, *, assumed: bool = False) -> RoughFloor:
    """The rough floor from readings: places (n, 2) [mm], n >= 1, and drops (n,) [mm] below the laser line.

    Readings at one place count as one, at their mean drop.
    """
    first, owner = groups(*np.round(stations, 6).T)
    places = stations[first]
    heights = -np.bincount(owner, weights=drops) / np.bincount(owner)
    triangles = triangulate(places, heights)
    ring = boundary(places, triangles)
    return RoughFloor(floor, places, heights, triangles, ring, _slope(places, heights), assumed=assumed)


def _slope(stations: Array, heights: Array) -> Array:
    """The least-squares plane's gradient (2,); along the line only where all stations stand on one."""
    middle = stations - stations.mean(axis=0)
    return np.asarray(np.linalg.lstsq(middle, heights - heights.mean(), rcond=_RANK)[0])
