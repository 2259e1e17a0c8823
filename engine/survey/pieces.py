"""The floor cut into pieces."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely

from ..arrays import distinct, following, preceding
from ..records import result
from ..types import Array, Index, Mask, Shape
from .outline import FloorOutline
from .tin import doubled_areas, edges_of

if TYPE_CHECKING:
    from .mesh import Mesh

_WHOLE = 1e-9  # relative area below which nothing lies outside the hull
_POLYGON = shapely.GeometryType.POLYGON
_NONE = np.empty(0, dtype=np.intp), np.empty(0, dtype=object)  # numbers and shapes
_FEW = 200  # triangles; of more the walls' neighbours are sorted out first
_ROOM = 1e-6  # [mm]
_NO_TURN = 1e-9  # neighbouring hull edges this nearly in line leave no wedge
_FAR = 4.0  # how many floor extents a strip outside the hull reaches


@result
class Cut:
    """Parts cut to the floor, each with its owner: a triangle's number, or -1 outside the hull.

    corners (k, 2) [mm], part (k,) that each belongs to, sides (s, 2) as pairs of corners; areas (m,) [mm2], centroids
    (m, 2) [mm], owners (m,).
    """

    corners: Array
    part: Index
    sides: Index
    areas: Array
    centroids: Array
    owners: Index


@result
class Pieces:
    """The floor as whole triangles (indices) with the edges (e, 2) that bound them, each once, and cut parts.

    guessed: the floor's share, 0 to 1, outside the readings' hull.
    """

    whole: Index
    edges: Index
    cut: Cut
    guessed: float


def cut_to_floor(mesh: Mesh) -> Pieces:
    """Cuts a mesh's triangles, and the strips and wedges outside the ring round them, to the floor.

    Outside the hull the nearest hull point moves straight with the point or not at all: the surface is one plane over
    each hull edge's strip and each hull corner's wedge.
    """
    floor, stations, triangles = mesh.floor, mesh.stations, mesh.triangles
    inside, crossing, shapes = _sorted_out(mesh)
    parts, owners = _clip(floor.polygon, shapes)
    owners = crossing[owners]
    whole = triangles[inside]
    known = float(doubled_areas(stations, whole).sum() / 2 + shapely.area(parts).sum())
    guessed = max(0.0, 1.0 - known / floor.area)
    if guessed >= _WHOLE:
        beyond, _ = _clip(floor.polygon, _outer(floor, stations, mesh.ring))
        parts, owners = np.concatenate([parts, beyond]), np.concatenate([owners, np.full(len(beyond), -1)])
    return Pieces(whole, edges_of(whole), _described(parts, owners), guessed)


def _sorted_out(mesh: Mesh) -> tuple[Index, Index, Shape]:
    """The numbers of triangles wholly on the floor, and of those perhaps partly on it with their shapes."""
    polygon, stations, triangles = mesh.floor.polygon, mesh.stations, mesh.triangles
    if mesh.floor.is_convex and shapely.intersects_xy(polygon, stations[:, 0], stations[:, 1]).all():
        return np.arange(len(triangles)), *_NONE
    if len(triangles) <= _FEW:
        shapes = _polygons(stations[triangles])
        inside = shapely.covers(polygon, shapes)
        crossing = (~inside).nonzero()[0]
        return inside.nonzero()[0], crossing, shapes[crossing]
    near = _beside_walls(mesh).nonzero()[0]
    shapes = _polygons(stations[triangles[near]])
    inside = shapely.contains_xy(polygon, stations[:, 0], stations[:, 1])[triangles[:, 0]]
    inside[near] = shapely.covers(polygon, shapes)
    crossing = (~inside[near] & shapely.intersects(polygon, shapes)).nonzero()[0]
    return inside.nonzero()[0], near[crossing], shapes[crossing]


def _beside_walls(mesh: Mesh) -> Mask:
    found = np.zeros(len(mesh.triangles), dtype=bool)
    (left, low), (right, high) = (np.ascontiguousarray(corner.T) for corner in mesh.boxes)
    for ring in mesh.floor.rings:
        for (ax, ay), (bx, by) in zip(ring.tolist(), following(ring).tolist(), strict=True):
            boxed = (left <= max(ax, bx)) & (right >= min(ax, bx)) & (low <= max(ay, by)) & (high >= min(ay, by))
            near = boxed.nonzero()[0]
            x, y = mesh.stations[mesh.triangles[near]].T
            side = (bx - ax) * (y - ay) - (by - ay) * (x - ax)
            room = _ROOM * math.hypot(bx - ax, by - ay)
            found[near[(side.min(axis=0) <= room) & (side.max(axis=0) >= -room)]] = True
    return found


def _described(parts: Shape, owners: Index) -> Cut:
    rings, part = parts, np.arange(len(parts))
    if shapely.get_num_interior_rings(parts).any():
        rings, part = shapely.get_rings(parts, return_index=True)
    corners, ring = shapely.get_coordinates(rings, return_index=True)
    starts = (ring[1:] == ring[:-1]).nonzero()[0]
    return Cut(
        corners=corners,
        part=part[ring],
        sides=np.array([starts, starts + 1]).T,
        areas=shapely.area(parts),
        centroids=shapely.get_coordinates(shapely.centroid(parts)),
        owners=owners,
    )


def _clip(polygon: Shape, shapes: Shape) -> tuple[Shape, Index]:
    """Shapes cut to the polygon, as simple polygons, and the number of the shape each comes from."""
    if not len(shapes):
        return shapes, np.empty(0, dtype=np.intp)
    cut, owner = shapely.intersection(polygon, shapes), np.arange(len(shapes))
    if ((shapely.get_type_id(cut) == _POLYGON) & (shapely.area(cut) > 0)).all():
        return cut, owner
    cut, owner = shapely.get_parts(cut, return_index=True)
    cut, inner = shapely.get_parts(cut, return_index=True)
    good = (shapely.get_type_id(cut) == _POLYGON) & (shapely.area(cut) > 0)
    return cut[good], owner[inner[good]]


def _outer(floor: FloorOutline, stations: Array, ring: Index) -> Shape:
    if len(ring) == 1:
        return np.array([floor.polygon])
    points = stations[ring]
    corners = np.concatenate([floor.ring, points])
    reach = _FAR * float(np.hypot(*np.ptp(corners, axis=0)))
    ends = following(points)
    along = ends - points
    along /= np.hypot(*along.T)[:, None]
    outward = np.array([along[:, 1], -along[:, 0]]).T * reach
    # No floor lies over a side without corners outside its line, nor in a wedge between two such.
    over = ((floor.ring @ outward.T).max(axis=0) > (points * outward).sum(axis=1)).nonzero()[0]
    strips = np.array([points, points + outward, ends + outward, ends])[:, over].transpose(1, 0, 2)
    arriving = preceding(along)
    beside = distinct(np.concatenate([over, (over + 1) % len(points)]))
    # Floor may lie between the outward directions at a corner past one side's end, short of the next's start.
    past = (floor.ring @ arriving.T).max(axis=0) > (points * arriving).sum(axis=1)
    short = (floor.ring @ along.T).min(axis=0) < (points * along).sum(axis=1)
    beside = beside[(past & short)[beside]]
    wedges = _wedges(points[beside], (arriving[beside], along[beside]), (preceding(outward)[beside], outward[beside]))
    return _polygons(strips, wedges)


def _polygons(*stacks: Array) -> Shape:
    rings = [np.concatenate([stack, stack[:, :1]], axis=1) for stack in stacks]
    sizes = np.concatenate([[0], *(np.full(len(ring), ring.shape[1]) for ring in rings)])
    corners = np.concatenate([ring.reshape(-1, 2) for ring in rings])
    return shapely.from_ragged_array(_POLYGON, corners, (sizes.cumsum(), np.arange(len(sizes))))


def _wedges(points: Array, sides: tuple[Array, Array], outward: tuple[Array, Array]) -> Array:
    """Pentagons (k, 5, 2) between the outward directions of two neighbouring hull edges that meet at points.

    Each reaches out along both and their bisector: right too where a line of readings ends, the ring turns back and the
    wedge is a half plane.
    """
    bisector = sides[0] - sides[1]
    size = np.hypot(*bisector.T)
    turns = size > _NO_TURN
    points, before, after = points[turns], outward[0][turns], outward[1][turns]
    on = bisector[turns] / size[turns, None] * np.hypot(*after.T)[:, None]
    corners = [points, points + before, points + before + on, points + after + on, points + after]
    return np.array(corners).transpose(1, 0, 2)
