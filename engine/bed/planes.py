"""Planes: the bed rises square to a channel, past its ends too, or to each of several."""

from collections.abc import Iterator
from functools import cached_property
from itertools import permutations

import numpy as np
import shapely

from ..arrays import cross, distinct, groups
from ..boxes import box_round
from ..job.model import BedShape
from ..records import result
from ..survey.spot import Spot
from ..types import Array, Index, Mask, Shape
from .falls import OneFall
from .flange import Flange
from .parts import Part, Ridge, part_of
from .reach import Reach, SharedReach

_LEAST_FACE = 1e-3  # [mm2]
_ON_WALL = 1e-6  # [mm]
_CALM = 1e-7  # [mm] edges that nearly meet are one: the library loses its way between
_PAST = 1.0  # [mm] cuts run on past the walls
_SAME = 1e-6  # [mm]
_BESIDE = 1e-9  # [-] the sine of the angle between lines side by side
_SIGNS = (1.0, -1.0)


@result
class PlaneBed(OneFall):
    """A bed at height fall x distance square to the channel's edge, 0 between its edges; fall [-]."""

    reach: Reach
    fall: float

    shape = BedShape.PLANE

    @cached_property
    def farthest(self) -> Spot:
        """The longest square distance from the channel [mm], with its place on the outline."""
        corners = self.reach.floor.ring
        away = square_off(self.reach.flange, corners)
        at = int(np.argmax(away))
        return Spot.at(away[at], corners[at])

    def height(self, points: Array) -> Array:
        """The height over the flange (k,) [mm] at points (k, 2) on the floor."""
        return self.fall * square_off(self.reach.flange, points)

    @cached_property
    def integral(self) -> float:
        """The height over the flange, summed over the floor [mm3]; exact, a plane on each side."""
        flange, polygon = self.reach.flange, self.reach.floor.polygon
        low, high = box_round(polygon)
        far = 2 * (float(np.hypot(*(high - low))) + flange.length)
        along, square = flange.frame * far
        total = 0.0
        for side in (1.0, -1.0):
            edge = flange.centre + side * flange.half * flange.frame[1]
            half = shapely.polygons(
                [edge - along, edge + along, edge + along + side * square, edge - along + side * square]
            )
            part = shapely.intersection(polygon, half)
            if shapely.area(part) > 0:
                centroid = shapely.get_coordinates(shapely.centroid(part))
                total += float(shapely.area(part) * self.height(centroid)[0])
        return total


def square_off(flange: Flange, points: Array) -> Array:
    """The distance square to a channel's edges (k,) [mm] from points (k, 2), 0 between their lines."""
    return np.asarray(np.maximum(np.abs((points - flange.centre) @ flange.frame[1]) - flange.half, 0.0))


@result
class Planes(OneFall):
    """A bed at the least of fall x distance square to a channel's edge over that channel, over all; fall [-].

    reach.heads: how much longer each channel's distance counts, for standing higher [mm]. It has ridges, but no pits.
    """

    reach: SharedReach
    fall: float

    shape = BedShape.PLANE

    def each(self, points: Array) -> Array:
        """The distance square to each channel's edge as it counts (d, k) [mm] at points (k, 2)."""
        away = [square_off(flange, points) for flange in self.reach.flanges]
        return np.asarray(np.array(away) + np.array(self.reach.heads)[:, None])

    def height(self, points: Array) -> Array:
        """The height over the first flange (k,) [mm] at points (k, 2) on the floor."""
        return np.asarray(self.fall * self.each(points).min(axis=0))

    def owners(self, points: Array) -> Index:
        """Which channel each point (k, 2) falls to (k,); of two alike the first."""
        return np.asarray(np.argmin(np.round(self.each(points), 6), axis=0))

    def falls_to(self, points: Array) -> Mask:
        """Whether each point falls to each channel (d, k): on a ridge to both."""
        each = self.each(points)
        return np.asarray(each <= each.min(axis=0) + _SAME)

    @cached_property
    def lines(self) -> tuple[Array, Array]:
        """Lines (points, directions), (m, 2) each, that may be creases of the bed: rims and ridges."""
        flanges = self.reach.flanges
        rims = [
            (flange.centre + sign * flange.half * flange.frame[1], flange.frame[1])
            for flange in flanges
            for sign in _SIGNS
        ]
        found = [*rims, *self._ridges()]
        points, normals = (np.array(column) for column in zip(*found, strict=True))
        return points, np.column_stack([-normals[:, 1], normals[:, 0]])

    def crossings(self, start: Array, along: Array) -> Array:
        """Where a line from `start` (2,) along a unit vector crosses those lines (k,) [mm]."""
        points, directions = self.lines
        turn, off = cross(along, directions), cross(points - start, directions)
        crossed = np.abs(turn) > _BESIDE
        return off[crossed] / turn[crossed]

    def _ridges(self) -> Iterator[tuple[Array, Array]]:
        """Points on the lines where two planes are equally high, and those lines' normals.

        s (x - c) . n - r + w = t (x - d) . m - q + v with s, t = 1 or -1 is the line x . (s n - t m) = k; where the
        other plane crosses a channel's own level, s = 0 and r = 0.
        """
        flanges, heads = self.reach.flanges, self.reach.heads
        for i, j in permutations(range(len(flanges)), 2):
            first, second = flanges[i], flanges[j]
            for s in (1.0, -1.0, 0.0) if i < j else (0.0,):
                for t in _SIGNS:
                    normal = s * first.frame[1] - t * second.frame[1]
                    size = float(np.hypot(*normal))
                    if size < _SAME:
                        continue
                    rims = abs(s) * first.half - second.half - heads[i] + heads[j]
                    offset = s * (first.centre @ first.frame[1]) - t * (second.centre @ second.frame[1])
                    yield normal * float(offset + rims) / size**2, normal / size

    @cached_property
    def faces(self) -> tuple[Shape, ...]:
        """The floor cut along those lines: the bed is one plane on each face."""
        polygon = self.reach.floor.polygon
        low, high = box_round(polygon)
        middle, far = (low + high) / 2, 2 * float(np.hypot(*(high - low)))
        points, directions = self.lines
        feet = points + ((middle - points) * directions).sum(axis=1)[:, None] * directions
        cuts = shapely.linestrings(np.stack([feet - far * directions, feet + far * directions], axis=1))
        # A cut ending at a wall would miss it by a last digit, and part nothing there.
        past = shapely.intersection(cuts, shapely.buffer(polygon, _PAST, join_style="mitre"))
        edges = shapely.union_all([shapely.boundary(polygon), *past[~shapely.is_empty(past)]])
        found = shapely.get_parts(shapely.polygonize([edges]))
        on = shapely.intersects(polygon, shapely.point_on_surface(found))
        return tuple(found[on & (shapely.area(found) > _LEAST_FACE)])

    @cached_property
    def vertices(self) -> Array:
        """The faces' corners (k, 2): only there is the bed, or it less a plane, highest or lowest."""
        corners = np.round(shapely.get_coordinates(self.faces), 9)
        return np.asarray(corners[groups(*corners.T)[0]])

    @cached_property
    def farthest(self) -> Spot:
        """The longest square distance as it counts along the walls [mm], with its place."""
        return self._most(self.each(self._on_walls).min(axis=0))

    @cached_property
    def longest(self) -> Spot:
        """The longest square distance from a wall to its own channel [mm], with its place."""
        runs = self.each(self._on_walls) - np.array(self.reach.heads)[:, None]
        return self._most(np.where(self.falls_to(self._on_walls), runs, 0.0).max(axis=0))

    @cached_property
    def _on_walls(self) -> Array:
        walls = shapely.boundary(self.reach.floor.polygon)
        return np.asarray(self.vertices[shapely.distance(walls, shapely.points(self.vertices)) < _ON_WALL])

    def _most(self, away: Array) -> Spot:
        at = int(np.argmax(np.round(away, 6)))
        return Spot.at(away[at], self._on_walls[at])

    @cached_property
    def integral(self) -> float:
        """The height over the first flange, summed over the floor [mm3]; exact, a plane on each face."""
        middles = shapely.get_coordinates(shapely.centroid(self.faces))
        return float((shapely.area(self.faces) * self.height(middles)).sum())

    @cached_property
    def shares(self) -> tuple[tuple[int, Shape], ...]:
        """The pieces of floor that fall to one channel, with its number."""
        faces = np.array(self.faces)
        owners = self.owners(shapely.get_coordinates(shapely.point_on_surface(faces)))
        return tuple(
            (number, piece)
            for number in distinct(owners).tolist()
            for piece in shapely.get_parts(shapely.union_all(faces[owners == number]))
        )

    @cached_property
    def parts(self) -> tuple[Part, ...]:
        """The same pieces with their edges, of which some are ridges."""
        floor, flanges = self.reach.floor, self.reach.flanges
        return tuple(part_of(floor, flanges[number], piece) for number, piece in self.shares)

    @cached_property
    def ridges(self) -> tuple[Ridge, ...]:
        """The straight ridges between what falls to different channels, each once, without rims."""
        return tuple(
            Ridge((first, second), points, self.height(points))
            for at, (first, piece) in enumerate(self.shares)
            for second, other in self.shares[at + 1 :]
            if first != second
            for points in _common(piece, other)
            if self.height(points).max() > self.fall * max(self.reach.heads[first], self.reach.heads[second]) + _SAME
        )


def highest_flange(reach: SharedReach) -> tuple[int, int] | None:
    """A channel that stands higher than the plane to another does there, and that other; or None."""
    heads = reach.heads
    for i, j in permutations(range(len(heads)), 2):
        other = reach.flanges[j]
        off = (reach.flanges[i].corners - other.centre) @ other.frame[1]
        nearest = 0.0 if off.min() <= 0.0 <= off.max() else float(np.abs(off).min())
        if heads[i] > heads[j] + max(nearest - other.half, 0.0) + _SAME:
            return i, j
    return None


def _common(piece: Shape, other: Shape) -> Iterator[Array]:
    met = shapely.intersection(piece, other, grid_size=_CALM)
    for line in shapely.get_parts(shapely.line_merge(met)):
        if shapely.length(line) > _ON_WALL:
            points = shapely.get_coordinates(shapely.simplify(line, _ON_WALL))
            yield from np.stack([points[:-1], points[1:]], axis=1)
