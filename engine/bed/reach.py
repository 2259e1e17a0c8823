"""Reach: the exact shortest way for water from any point of the floor to the flange's edge.

A shortest path among straight walls bends only at corners that point into the floor (de Berg et al., Computational
Geometry, ch. 15). Dijkstra runs once among the flange and those; each point takes the best it sees.
"""

import heapq
import math
from collections.abc import Sequence
from functools import cached_property, lru_cache

import numpy as np
import shapely

from ..arrays import following, preceding
from ..records import result
from ..survey.outline import STRAIGHT, FloorOutline
from ..types import Array, Mask
from .flange import Flange, Flanges
from .sight import Beam, Edges, Fan

EDGE_ON = 1e-3  # [mm] a wall whose line passes this near the drain's centre is not seen from it
_AT_FLANGE = 1e-2  # [mm] a corner this near the flange's edge has no direction to come from
_FEW = 200  # points; of so few it is as quick to ask which are seen
_TURN = 2 * np.pi
_NOISE = 1e-9  # [rad]
_ASIDE = 1e-5  # [mm, and rad] a point this little off a way's last directions may be reached
_NONE = np.empty((0, 2))


@result
class Node:
    """A corner that paths may bend round.

    place (2,) [mm], its fan, its way to the flange [mm], the place before it on that way, the walls' directions to the
    corners after and before it, floor on the left; is_direct: it sees the flange.
    """

    place: Array
    fan: Fan
    way: float
    before: Array
    walls: tuple[Array, Array]
    is_direct: bool

    @cached_property
    def course(self) -> tuple[tuple[float, float], tuple[float, float]] | None:
        """The first and last unit direction in which shortest ways go on from here; None for any."""
        if np.hypot(*(self.place - self.before)) < _AT_FLANGE:
            return None
        start, width = taut(self)
        end = start + width
        return (math.cos(start), math.sin(start)), (math.cos(end), math.sin(end))


def taut(node: Node) -> tuple[float, float]:
    """The directions (start, width) [rad] in which a way bends round the node's corner."""
    incoming = node.place - node.before
    heading = float(np.arctan2(incoming[1], incoming[0]))
    after, before = (_relative(direction, heading) for direction in node.walls)
    if before >= -_NOISE and (after >= -_NOISE or after <= -np.pi + _NOISE):
        return heading, max(before, 0.0)
    if after <= _NOISE and (before <= _NOISE or before >= np.pi - _NOISE):
        return heading + min(after, 0.0), -min(after, 0.0)
    return heading, 0.0


def _relative(direction: Array, heading: float) -> float:
    angle = (float(np.arctan2(direction[1], direction[0])) - heading) % _TURN
    return angle - _TURN if angle > np.pi else angle


def may_lead(node: Node, offset: Array) -> Mask:
    """Whether a shortest way may go on from a node to points `offset` (k, 2) from it; False only where surely not.

    It would bend away from the corner, or back on itself: a shorter way goes past.
    """
    if node.course is None:
        return np.ones(len(offset), dtype=bool)
    (first_x, first_y), (last_x, last_y) = node.course
    x, y = offset.T
    room = -_ASIDE * (1.0 + np.hypot(x, y))
    return np.asarray((first_x * y - first_y * x >= room) & (x * last_y - y * last_x >= room))


@result
class Reach:
    """The shortest ways to one flange on one floor."""

    floor: FloorOutline
    flange: Flange

    heads = (0.0,)

    @property
    def reaches(self) -> "tuple[Reach, ...]":
        """The ways to each of the flanges."""
        return (self,)

    @property
    def flanges(self) -> Flanges:
        """The flanges that water may run to."""
        return (self.flange,)

    @property
    def has_ridges(self) -> bool:
        """Whether ways to the flange may part along lines on the floor, as round islands."""
        return bool(self.floor.islands)

    @cached_property
    def edges(self) -> Edges:
        """The floor's edges, islands' too."""
        return _edges(self.floor)

    @cached_property
    def offs(self) -> Array:
        """The centre's square distance to each edge's line (e,) [mm], negative behind it."""
        return np.asarray(((self.flange.centre - self.edges.starts) * self.edges.inward).sum(axis=1))

    @property
    def sees_whole(self) -> bool:
        """Whether the flange's centre sees the whole floor."""
        return bool(self.offs.min() >= EDGE_ON)

    @cached_property
    def is_open(self) -> bool:
        """Whether nothing can stand between any two places."""
        return self.floor.is_convex

    @cached_property
    def fan(self) -> Fan:
        """The sight lines from the flange's centre."""
        return Fan.of(self.edges, self.flange.centre)

    @cached_property
    def corner_fans(self) -> tuple[Fan, ...]:
        """The sight lines from a square flange's corners."""
        return tuple(Fan.of(self.edges, corner) for corner in self.flange.corners)

    @cached_property
    def beams(self) -> tuple[Beam, ...]:
        """The sight lines square off a square flange's sides."""
        corners = self.flange.corners
        return tuple(Beam.of(self.edges, corners[k], corners[(k + 1) % 4]) for k in range(4))

    def straight(self, points: Array) -> Array:
        """The straight way to the flange's edge (k,) [mm]; infinite where a wall or island is in it."""
        ways = self.flange.distance(points)
        if self.is_open:
            return ways
        return np.where(self._sees_flange(points) | (ways == 0), ways, np.inf)

    def _sees_flange(self, points: Array) -> Mask:
        if self.flange.is_round:
            return self.fan.sees(points)
        sides = (points - self.flange.centre) @ self.flange.frame.T
        seen = np.zeros(len(points), dtype=bool)
        for beam in self.beams:
            seen |= beam.covers(points)
        for fan, corner in zip(self.corner_fans, self.flange.corners, strict=True):
            sign = np.sign((corner - self.flange.centre) @ self.flange.frame.T)
            beyond = (sides * sign >= self.flange.halves).all(axis=1)
            if beyond.any():
                seen[beyond] |= fan.sees(points[beyond])
        return seen

    @cached_property
    def nodes(self) -> tuple[Node, ...]:
        """The bends that water can reach the flange from, with their shortest ways (Dijkstra)."""
        places, after, before = bends_of(self.floor)
        if not len(places):
            return ()
        fans = _bend_fans(self.floor)
        ways, parents = self._shortest(places, fans)
        feet = self.flange.foot(places)
        return tuple(
            Node(
                places[i],
                fans[i],
                float(ways[i]),
                feet[i] if parents[i] < 0 else places[parents[i]],
                (after[i] - places[i], before[i] - places[i]),
                parents[i] < 0,
            )
            for i in range(len(places))
            if np.isfinite(ways[i])
        )

    def _shortest(self, places: Array, fans: Sequence[Fan]) -> tuple[Array, list[int]]:
        ways = self.straight(places)
        parents = [-1] * len(places)
        queue = [(way, i) for i, way in enumerate(ways.tolist()) if np.isfinite(way)]
        heapq.heapify(queue)
        while queue:
            way, i = heapq.heappop(queue)
            if way > ways[i]:
                continue
            longer = np.where(fans[i].sees(places), way + np.hypot(*(places - places[i]).T), np.inf)
            for j in (longer < ways).nonzero()[0].tolist():
                ways[j], parents[j] = longer[j], i
                heapq.heappush(queue, (float(longer[j]), j))
        return ways, parents

    @cached_property
    def _is_clear(self) -> bool:
        return bool(shapely.covers(self.floor.polygon, shapely.polygons(self.flange.corners)))

    def way(self, points: Array) -> Array:
        """The shortest way to the flange's edge (k,) [mm] from points (k, 2) on the floor, 0 on the flange."""
        ways = self.straight(points)
        hidden = np.isinf(ways).nonzero()[0]  # no way is shorter than a straight one
        if hidden.size:
            ways[hidden] = self._round_corners(points[hidden])
        return ways

    def _round_corners(self, points: Array) -> Array:
        ways = np.full(len(points), np.inf)
        for node in self.nodes:
            offset = points - node.place
            longer = node.way + np.hypot(offset[:, 0], offset[:, 1])
            rows = (longer < ways).nonzero()[0]
            if rows.size > _FEW and self._is_clear:
                rows = rows[may_lead(node, offset[rows])]
            if rows.size:
                rows = rows[node.fan.sees(points[rows])]
                ways[rows] = longer[rows]
        return ways


@lru_cache(maxsize=16)
def _edges(floor: FloorOutline) -> Edges:
    return Edges.of(floor.rings)


@lru_cache(maxsize=16)
def bends_of(floor: FloorOutline) -> tuple[Array, Array, Array]:
    """A floor's inward corners with those after and before each, all (m, 2)."""
    if floor.is_convex:
        return _NONE, _NONE, _NONE
    reflex = floor.turns < -STRAIGHT
    places = np.concatenate(floor.rings)[reflex]
    after = np.concatenate([following(ring) for ring in floor.rings])[reflex]
    return places, after, np.concatenate([preceding(ring) for ring in floor.rings])[reflex]


@lru_cache(maxsize=16)
def _bend_fans(floor: FloorOutline) -> tuple[Fan, ...]:
    edges, bends = _edges(floor), zip(*bends_of(floor), strict=True)
    return tuple(Fan.of(edges, place, cone=(after, before)) for place, after, before in bends)


@lru_cache(maxsize=16)
def reach(floor: FloorOutline, flange: Flange) -> Reach:
    """The ways to this flange on this floor, the same each time."""
    return Reach(floor, flange)


@result
class SharedReach:
    """The ways to the best of several flanges; heads (k,) [mm]: how much longer each counts."""

    reaches: tuple[Reach, ...]
    heads: tuple[float, ...]

    has_ridges = True

    @property
    def floor(self) -> FloorOutline:
        """The floor."""
        return self.reaches[0].floor

    @property
    def flange(self) -> Flange:
        """The first flange, whose top is the datum."""
        return self.reaches[0].flange

    @property
    def flanges(self) -> Flanges:
        """The flanges that water may run to."""
        return tuple(reach.flange for reach in self.reaches)

    @property
    def edges(self) -> Edges:
        """The floor's edges, islands' too."""
        return self.reaches[0].edges

    def way(self, points: Array) -> Array:
        """The shortest counted way to any flange's edge (k,) [mm] from points (k, 2) on the floor."""
        return np.asarray(np.min(self.each(points), axis=0))

    def each(self, points: Array) -> Array:
        """The shortest counted way to each flange's edge (d, k) [mm] from points (k, 2) on the floor."""
        return np.array([reach.way(points) + head for reach, head in zip(self.reaches, self.heads, strict=True)])

    def runs(self, points: Array) -> tuple[Array, Array]:
        """The ways themselves (k,) [mm] to the flanges that water from points (k, 2) runs to, with their heads (k,)."""
        ways, heads = np.stack([reach.way(points) for reach in self.reaches]), np.array(self.heads)
        owners = np.argmin(ways + heads[:, None], axis=0)
        return ways[owners, np.arange(len(points))], heads[owners]
