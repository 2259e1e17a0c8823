"""Sight lines: which edge of the floor each direction meets first, from a point or square off a line.

Both go by sorted angles or distances: no corner lies between neighbours, so the edge met in mid-gap is met all over it.
"""

from functools import cached_property

import numpy as np

from ..arrays import distinct, following
from ..records import result
from ..types import Array, Index, Mask
from .valley.sightlines import first_hits

_ON_EDGE = 2e-6  # [mm] a point this far past an edge is on it
_SAME_KEY = 1e-9  # [rad] or, relative to the floor, [-]: nearer keys are asked on both sides
_AT_SOURCE = 1e-9  # [mm]
_BESIDE = 1e-3  # [mm] a point this near a corner is seen from it
_NEAR = _ON_EDGE / (2 * _SAME_KEY)  # [mm] from here on the angle alone tells whether it is in line with one
_TURN = 2 * np.pi


@result
class Edges:
    """The floor's edges, walked with the floor on the left: starts, ends, inward unit normals, (e, 2)."""

    starts: Array
    ends: Array
    inward: Array

    @cached_property
    def offset(self) -> Array:
        """Each edge line's square distance from the origin, inward positive (e,) [mm]."""
        return np.asarray((self.starts * self.inward).sum(axis=1))

    @cached_property
    def along(self) -> Array:
        """The ways from starts to ends (e, 2)."""
        return self.ends - self.starts

    @staticmethod
    def of(rings: tuple[Array, ...]) -> "Edges":
        """The edges of an outline and its islands, each walked with the floor on the left."""
        starts = np.concatenate(rings)
        return Edges.between(starts, np.concatenate([following(ring) for ring in rings]))

    @staticmethod
    def between(starts: Array, ends: Array) -> "Edges":
        """Edges from starts to ends (e, 2), the floor on their left."""
        along = ends - starts
        along = along / np.hypot(*along.T)[:, None]
        return Edges(starts, ends, np.array([-along[:, 1], along[:, 0]]).T)

    def parts(self, points: Array) -> Array:
        """At which part of each edge's line a point's foot lies (..., e) [-]; points (..., 1 or e, 2)."""
        return np.asarray(((points - self.starts) * self.along).sum(axis=-1) / (self.along * self.along).sum(axis=-1))

    def hits(self, edges: Index, origins: Array, rays: Array) -> Array:
        """Where rays (k, 2) meet the lines of edges (k,), (k, 2); along a line, where they start."""
        inward = self.inward[edges]
        towards = (rays * inward).sum(axis=1)
        off = ((self.starts[edges] - origins) * inward).sum(axis=1)
        far = np.divide(off, towards, out=np.zeros_like(off), where=np.abs(towards) > np.finfo(float).tiny)
        return np.asarray(origins + far[:, None] * rays)

    def depth(self, points: Array, edges: Index) -> Array:
        """How far inside its own edge each point lies (k,) [mm]; edges (k,)."""
        across, up = self.inward.T
        return np.asarray(points[:, 0] * across[edges] + points[:, 1] * up[edges] - self.offset[edges])


class _Gaps:
    """Gaps between sight lines, with the edge met in each (g,); -1 where it is blocked."""

    edges: Edges
    met: Index

    @cached_property
    def _walls(self) -> Array:
        """Each gap's edge as a line: a x + b y >= c on its floor's side (3, g); none is on a blocked gap's."""
        lines = np.array([*self.edges.inward.T, self.edges.offset - _ON_EDGE])[:, self.met]
        lines[:, self.met < 0] = [[0.0], [0.0], [np.inf]]
        return lines

    def _meets(self, points: Array, gap: Index) -> Mask:
        a, b, c = self._walls[:, gap]
        return np.asarray(points[:, 0] * a + points[:, 1] * b >= c)


@result
class Fan(_Gaps):
    """All sight lines from a point: gap i, from direction keys[i] on, meets edge met[i] (-1: blocked)."""

    edges: Edges
    source: Array
    keys: Array
    met: Index

    @staticmethod
    def of(edges: Edges, source: Array, *, cone: tuple[Array, Array] | None = None) -> "Fan":
        """Sight lines from a source (2,) on the floor.

        cone: at a corner, those after and before it: the floor lies from the first counter-clockwise to the second.
        """
        offset = edges.starts - source
        away = np.hypot(*offset.T) > _AT_SOURCE
        keys = distinct(np.arctan2(offset[away, 1], offset[away, 0]))
        # Corners in one line with the source differ in the last digit: one key, or a ray would slip between.
        keys = keys[keys - np.concatenate([[keys[-1] - _TURN], keys[:-1]]) > _SAME_KEY]
        middles = (keys + np.concatenate([keys[1:], [keys[0] + _TURN]])) / 2
        rays = np.array([np.cos(middles), np.sin(middles)]).T
        apart = np.flatnonzero(away & (np.hypot(*(edges.ends - source).T) > _AT_SOURCE))
        hits, _ = first_hits(np.broadcast_to(source, rays.shape), rays, (edges.starts[apart], edges.ends[apart]))
        met = np.append(apart, -1)[hits]  # what meets none stays -1
        if cone is None:
            met[_outward(edges, source, rays)] = -1
        else:
            start, end = (np.arctan2(*(corner - source)[::-1]) for corner in cone)
            met[(middles - start) % _TURN >= (end - start) % _TURN] = -1
        return Fan(edges, source, keys, met)

    def gap(self, angles: Array) -> Index:
        """The gap that each angle [rad] falls in; -1 before the first key: the last gap goes round."""
        return self.keys.searchsorted(angles, side="right") - 1

    def between(self, start: float, width: float) -> tuple[Array, Index]:
        """The keys from direction `start` over `width` [rad], both ends too, and the edge met after each."""
        keys = np.sort(np.concatenate([(self.keys - start) % _TURN, [0.0]]))
        keys = np.append(keys[keys < width], width)
        keys = keys[np.append(True, np.diff(keys) > _SAME_KEY)]
        return keys, self.met[self.gap(wrapped((keys[:-1] + keys[1:]) / 2 + start))]

    def sees(self, points: Array) -> Mask:
        """Whether the source sees each point (k, 2) on the floor; grazing a corner is seeing."""
        offset = points - self.source
        angles = np.arctan2(offset[:, 1], offset[:, 0])
        gap = self.gap(angles)
        seen = self._meets(points, gap)
        doubtful = (~seen).nonzero()[0]
        if doubtful.size:
            far = np.hypot(offset[doubtful, 0], offset[doubtful, 1])
            seen[doubtful] = self._grazes(points[doubtful], far, angles[doubtful], gap[doubtful])
        return seen

    @cached_property
    def _ends(self) -> Array:
        return np.array([[self.keys[-1] - _TURN, *self.keys], [*self.keys, self.keys[0] + _TURN]])

    def _grazes(self, points: Array, far: Array, angles: Array, gap: Index) -> Mask:
        """Whether points not seen through their own gap lie at the source, or in line with a corner beside it.

        far (k,) [mm]: their distance from the source.
        """
        seen = far <= _BESIDE
        turn = np.abs(angles - self._ends[:, gap + 1])
        # A point in line with a corner belongs to the gaps on both sides.
        end, rows = (turn * np.minimum(far, _NEAR) < _ON_EDGE).nonzero()
        if rows.size:
            beside = (gap[rows] + 2 * end - 1) % len(self.keys)
            seen[rows[self._meets(points[rows], beside)]] = True
        return seen


def wrapped(angles: Array) -> Array:
    """Angles [rad] brought to [-pi, pi)."""
    return (angles + np.pi) % _TURN - np.pi


def _outward(edges: Edges, source: Array, rays: Array) -> Mask:
    off, part = ((source - edges.starts) * edges.inward).sum(axis=1), edges.parts(source)
    on = (np.abs(off) < _ON_EDGE) & (part > -_SAME_KEY) & (part < 1 + _SAME_KEY)
    return np.asarray((rays @ edges.inward[on].T < -_SAME_KEY).any(axis=1))


@result
class Beam(_Gaps):
    """Sight lines square off one side of a flange, to its outside.

    start (2,), along (2,) unit, square (2,) unit outward, length [mm]; gaps of the distance along as in Fan.
    """

    edges: Edges
    start: Array
    along: Array
    square: Array
    length: float
    keys: Array
    met: Index

    @staticmethod
    def of(edges: Edges, start: Array, end: Array) -> "Beam":
        """The beam off a side walked with the flange on its left."""
        length = float(np.hypot(*(end - start)))
        along = (end - start) / length
        square = np.array([along[1], -along[0]])
        keys = (edges.starts - start) @ along
        keys = distinct(np.concatenate([[0.0], keys[(keys > 0) & (keys < length)], [length]]))
        keys = keys[np.append(np.diff(keys) > _SAME_KEY * length, True)]
        keys[0] = 0.0
        middles = (keys[1:] + keys[:-1]) / 2
        # From just inside the flange, so that a wall flush with its side is met.
        origins = start + middles[:, None] * along - _BESIDE * square
        met, _ = first_hits(origins, np.tile(square, (len(origins), 1)), (edges.starts, edges.ends))
        return Beam(edges, start, along, square, length, keys, met)

    def covers(self, points: Array) -> Mask:
        """Whether each point (k, 2) lies outside over the side, and is seen square from it."""
        offset = points - self.start
        at, room = offset @ self.along, _SAME_KEY * self.length
        over = (at >= -room) & (at <= self.length + room) & (offset @ self.square >= -_ON_EDGE)
        rows = over.nonzero()[0]
        if rows.size:
            here, at = points[rows], at[rows]
            over[rows] = self._meets(here, self._gap(at - room)) | self._meets(here, self._gap(at + room))
        return over

    def _gap(self, at: Array) -> Index:
        return np.minimum(np.maximum(self.keys.searchsorted(at, side="right") - 1, 0), len(self.met) - 1)
