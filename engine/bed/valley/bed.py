"""Level walls with valleys: the bed where the drain does not see the whole floor."""

from __future__ import annotations

from enum import Enum
from functools import cached_property
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np
import shapely

from ...job.model import BedShape
from ...phrases import phrase
from ...records import record, result
from ...survey.spot import Spot
from ...types import Array, Index
from ..falls import ManyFalls
from ..hidden import Hidden
from ..level_walls import ray_parts
from ..quadrature import over_sectors
from ..reach import Reach
from .slopes import Ruled

if TYPE_CHECKING:
    from .mesh import Mesh
    from .net import Net

_NOISE = 1e-9
_PARTS = 1024  # of a ruled facet's far side: between them none is steeper by 2e-6 of its slope
_ROOM = 1.1  # for what lies between the places that slopes are asked at
_WORTH_A_TREE = 64  # facets: fewer are all asked
_AT_ONCE = 60_000  # points times facets: what stays near at hand


class Verdict(Enum):
    """How the steepest facet stands to the most fall."""

    FITS = phrase("within the most fall, or there is none")
    NOT_FOUND = phrase("steeper; a gentler one was not found, and may exist")
    IMPOSSIBLE = phrase("steeper, as every bed with level walls on this floor is")


@record
class Line:
    """A straight line to set out on the floor: its lower and upper end, values are heights over the flange [mm].

    drain: the number from 0 of the one at whose flange it begins; None for one on the floor.
    """

    low: Spot
    high: Spot
    drain: int | None = None

    def over(self, head: float, drain: int) -> Line:
        """The line as of that drain, `head` [mm] higher than the first."""
        low, high = (Spot(end.value + head, end.x, end.y) for end in (self.low, self.high))
        return Line(low, high, None if self.drain is None else drain)


class Falls(NamedTuple):
    """Every facet's least fall and steepest slope [-] with the place (2,) told, (f,) each."""

    least: Array
    most: Array
    places: Array


@result
class ValleyWalls(ManyFalls):
    """A bed that is 0 on the flange and `wall_height` [mm] at every wall, in straight facets between walls and valleys.

    net: the valleys, which fall `valley_fall` [-]; cuts: the ends (2,) of level lines from wall to island; square:
    falls are judged only on facets at walls, square to them; bound: a slope [-] that every bed with level walls and
    that least fall reaches; hidden: what the drain does not see.
    """

    reach: Reach
    wall_height: float
    mesh: Mesh
    net: Net
    valley_fall: float
    cuts: tuple[tuple[Array, Array], ...]
    square: bool
    bound: float
    verdict: Verdict
    hidden: Hidden

    shape = BedShape.LEVEL_WALLS

    @cached_property
    def least_fall_at(self) -> Spot:
        """The least fall [-]: the longest way's, at its wall's place, unless a facet falls less."""
        falls = self._judged
        at = int(np.argmin(np.round(falls.least, 12)))
        least = float(falls.least[at])
        if self.square or least < self.valley_fall * (1 - _NOISE):
            return Spot.at(least, falls.places[at])
        return Spot(self.valley_fall, self.longest.x, self.longest.y)

    @cached_property
    def longest(self) -> Spot:
        """The longest way [mm] from a wall down a crease and the valleys, with the wall's place."""
        ends, levels = (np.stack([at, np.roll(at, -1, axis=1)]) for at in (self.mesh.corners, self.mesh.heights))
        crease = (levels == self.wall_height) & (levels[::-1] < levels)
        high, low, foot = ends[crease], ends[::-1][crease], levels[::-1][crease]
        flange = self.reach.flange
        run = np.hypot(*(high - low).T)
        at_drain = (low == flange.centre).all(axis=1)
        run[at_drain] = flange.runs(high[at_drain])
        ways = foot / self.valley_fall + run
        at = int(np.argmax(np.round(ways, 6)))
        return Spot.at(ways[at], high[at])

    @property
    def ridges(self) -> tuple[Line, ...]:
        """The level lines at the walls' height, across the floor."""
        height = self.wall_height
        return tuple(Line(Spot.at(height, wall_end), Spot.at(height, island_end)) for wall_end, island_end in self.cuts)

    @cached_property
    def valleys(self) -> tuple[Line, ...]:
        """The valleys from the flange outward; at the drain they begin at the flange's edge."""
        places, heights = self.net.places, self.valley_fall * self.net.ways
        calm = np.round(np.column_stack([self.net.ways, places]), 3).tolist()  # of two as far, the leftmost first
        order = sorted(self.net.edges, key=lambda edge: (calm[edge[1]], calm[edge[0]]))
        return tuple(
            Line(self._end(low, high), Spot.at(heights[high], places[high]), None if low else 0) for low, high in order
        )

    def _end(self, place: int, beyond: int) -> Spot:
        places = self.net.places
        if place:
            return Spot.at(self.valley_fall * float(self.net.ways[place]), places[place])
        return Spot.at(0.0, self.reach.flange.rim_towards(places[beyond][None])[0])

    @cached_property
    def most_fall_at(self) -> Spot:
        """The steepest facet's slope [-], with its wall's place."""
        falls = self._judged
        at = int(np.argmax(np.round(falls.most, 12)))
        return Spot.at(falls.most[at], falls.places[at])

    @property
    def _judged(self) -> Falls:
        if not self.square:
            return self.falls
        on_wall = self.mesh.walls >= 0
        return Falls(*(column[on_wall] for column in self.falls))

    @cached_property
    def falls(self) -> Falls:
        """The facets' falls: one slope for a plane, a range for those ruled to the flange."""
        mesh, drain = self.mesh, self.mesh.at_drain
        slopes = np.hypot(mesh.planes[:, 0], mesh.planes[:, 1])
        least, most = slopes.copy(), slopes.copy()
        low, high = mesh.heights[drain, 1], mesh.heights[drain, 2]
        least[drain] = self._ruled.falls(low, high).min(axis=1)
        most[drain] = self._ruled.steepest(low, high)
        return Falls(least, most, self._wall_places())

    @cached_property
    def _ruled(self) -> Ruled:
        corners = self.mesh.corners[self.mesh.at_drain]
        return Ruled.of(self.reach.flange, corners[:, 1], corners[:, 2], _PARTS)

    def _wall_places(self) -> Array:
        """The wall's place nearest a wall facet's point; of a facet on a valley its corner at the wall."""
        corners = self.mesh.corners
        along = corners[:, 2] - corners[:, 1]
        part = ((corners[:, 0] - corners[:, 1]) * along).sum(axis=1) / (along * along).sum(axis=1)
        feet = corners[:, 1] + np.clip(part, 0.0, 1.0)[:, None] * along
        highest = corners[np.arange(len(corners)), self.mesh.heights.argmax(axis=1)]
        return np.asarray(np.where((self.mesh.walls >= 0)[:, None], feet, highest))

    @cached_property
    def steepest(self) -> float:
        """A bound on the surface's slope in any direction [-]."""
        return _ROOM * float(self.falls.most.max())

    @cached_property
    def _sides(self) -> tuple[Array, Array]:
        """The lines of the facets' sides, first sides first: inward normals (2, 3 t), offsets (3 t,) [mm]."""
        corners = self.mesh.corners
        along = np.roll(corners, -1, axis=1) - corners
        along = along / np.hypot(along[..., 0], along[..., 1])[..., None]
        normals = np.stack([-along[..., 1], along[..., 0]], axis=-1)
        offsets = (normals * corners).sum(axis=2)
        return normals.transpose(2, 1, 0).reshape(2, -1).copy(), offsets.T.reshape(-1)

    def facet(self, points: Array) -> Index:
        """The facet that each point (k, 2) of the floor lies in."""
        asked = len(points) * len(self.mesh.areas)
        if len(self.mesh.areas) > _WORTH_A_TREE and asked > _AT_ONCE:
            return self._found(points)
        parts = np.array_split(points, asked // _AT_ONCE + 1)
        return np.concatenate([self._deepest(part) for part in parts])

    def _deepest(self, points: Array) -> Index:
        # No matrix product, which would wake threads for two columns; facets, being fewer, by rows.
        normals, offsets = self._sides
        x, y = np.ascontiguousarray(points.T)
        deepest = np.full((len(self.mesh.areas), len(points)), np.inf)
        for side in range(3):
            own = slice(side * len(deepest), (side + 1) * len(deepest))
            depths = normals[0, own, None] * x
            depths += normals[1, own, None] * y
            depths -= offsets[own, None]
            np.minimum(deepest, depths, out=deepest)
        return np.asarray(deepest.argmax(axis=0))

    def _found(self, points: Array) -> Index:
        """The same for many points: only facets whose boxes hold one are asked."""
        rows, near = self._tree.query(shapely.points(points))
        order = np.argsort(rows, kind="stable")
        rows, near = rows[order], near[order]
        normals, offsets = self._sides
        deep = np.full(len(rows), np.inf)
        for side in range(3):
            at = near + side * len(self.mesh.areas)
            across = points[rows, 0] * normals[0, at] + points[rows, 1] * normals[1, at] - offsets[at]
            np.minimum(deep, across, out=deep)
        found = np.full(len(points), -1)
        first = np.flatnonzero(np.diff(rows, prepend=-1))
        if first.size:
            deepest = np.maximum.reduceat(deep, first)
            is_deepest = deep == np.repeat(deepest, np.diff(np.append(first, len(rows))))
            own = np.minimum.reduceat(np.where(is_deepest, near, len(self.mesh.areas)), first)  # of two alike the first
            found[rows[first]] = np.where(deepest >= 0.0, own, -1)
        lost = np.flatnonzero(found < 0)  # beside all facets by mere noise
        for part in np.array_split(lost, len(lost) * len(self.mesh.areas) // _AT_ONCE + 1):
            found[part] = self._deepest(points[part])
        return found

    @cached_property
    def _tree(self) -> Any:
        corners = self.mesh.corners
        return shapely.STRtree(shapely.box(*corners.min(axis=1).T, *corners.max(axis=1).T))

    def height(self, points: Array) -> Array:
        """The height over the flange (k,) [mm] at points (k, 2) on the floor.

        On a facet ruled to the flange, with L the plane through its corners, u the part of the way from the centre to
        its far side and v the part from the rim: z = L (v - 1) / (v - u), straight along each ray.
        """
        facet = self.facet(points)
        plane = self.mesh.planes[facet]
        heights = plane[:, 0] * points[:, 0] + plane[:, 1] * points[:, 1] + plane[:, 2]
        ruled = np.flatnonzero(self.mesh.at_drain[facet])
        if ruled.size:
            part = self._part(points[ruled], facet[ruled])
            stretch = self.reach.flange.stretch(points[ruled])
            outside = stretch > 1.0
            span = np.where(outside, stretch - part, 1.0)
            heights[ruled] *= np.where(outside, (stretch - 1.0) / span, 0.0)
        return heights

    def _part(self, points: Array, facet: Index) -> Array:
        normals, offsets = self._sides
        far = facet + len(self.mesh.areas)
        return np.asarray(1.0 - ((points * normals.T[far]).sum(axis=1) - offsets[far]) / self._far_sides[facet])

    @cached_property
    def _far_sides(self) -> Array:
        far = self.mesh.corners[:, 2] - self.mesh.corners[:, 1]
        return np.asarray(2 * self.mesh.areas / np.hypot(*far.T))

    @cached_property
    def creases(self) -> tuple[Array, Array]:
        """Lines (points, directions), (m, 2) each, on which all facets' sides lie."""
        corners = self.mesh.corners
        starts, ends = corners.reshape(-1, 2), np.roll(corners, -1, axis=1).reshape(-1, 2)
        return starts, ends - starts

    @cached_property
    def relays(self) -> Array:
        """The places where valleys bend, meet or begin (k, 2)."""
        return self.net.places[1:]

    @cached_property
    def integral(self) -> float:
        """The height over the flange, summed over the floor [mm3]: prisms, and along rays at the drain.

        Along a ray to the far side, R from the centre, r of it on the flange, at height z there, a sector holds
        z (R - r)(2 R + r) / 6 a radian.
        """
        mesh, drain = self.mesh, self.mesh.at_drain
        prisms = float((mesh.areas * mesh.heights.mean(axis=1))[~drain].sum())
        return prisms + _over_drain(self.reach, mesh.corners[drain], mesh.heights[drain])


def _over_drain(reach: Reach, corners: Array, heights: Array) -> float:
    flange = reach.flange
    starts, ends, low, high = _cut_at_corners(reach, corners, heights)
    rate = (high - low) / np.hypot(*(ends - starts).T)

    def per_radian(far: Array, rays: Array) -> Array:
        rim = flange.rim(rays)
        offset = flange.centre + far[..., None] * rays - starts[:, None]
        z = low[:, None] + np.hypot(offset[..., 0], offset[..., 1]) * rate[:, None]
        return np.asarray(z * (far - rim) * (2 * far + rim) / 6)

    return over_sectors(flange.centre, starts, ends, per_radian)


def _cut_at_corners(reach: Reach, corners: Array, heights: Array) -> tuple[Array, Array, Array, Array]:
    starts, ends, low, high = corners[:, 1], corners[:, 2], heights[:, 1], heights[:, 2]
    flange = reach.flange
    if flange.is_round:
        return starts, ends, low, high
    along, offset = ends - starts, starts - flange.centre
    parts = [np.zeros(len(starts)), np.ones(len(starts))]
    parts += [ray_parts(offset, along, corner) for corner in flange.corners - flange.centre]
    cuts = np.sort(np.column_stack(parts), axis=1)
    rows, columns = np.nonzero(np.diff(cuts, axis=1) > 1e-9)
    first, last = cuts[rows, columns], cuts[rows, columns + 1]
    rise = (high - low)[rows]
    return (
        starts[rows] + first[:, None] * along[rows],
        starts[rows] + last[:, None] * along[rows],
        low[rows] + first * rise,
        low[rows] + last * rise,
    )
