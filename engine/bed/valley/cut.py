"""The cut from an island to a wall: a ridge as high as the walls, which makes a floor with an island a simple one.

It is opened by a hair while valleys are sought, and closed in what comes of them.
"""

from __future__ import annotations

import numpy as np
import shapely

from ...job.model import EdgeKind
from ...records import result
from ...survey.outline import FloorOutline, corner_names
from ...types import Array
from ..reach import Reach
from .mesh import Mesh
from .room import Room
from .sightlines import is_blocked

_HAIR = 5e-3  # [mm] how far each side of the cut is moved off it
_CLEAR = 50.0  # [mm] the cut keeps from the flange
_INNER = 0.02  # [-] nor does it end this near a wall's end, as part of the wall
_TRIED = 4


@result
class Cut:
    """A floor cut open along a line from a wall to an island's corner, (2,) each [mm]; reach: in the opened floor."""

    wall_end: Array
    island_end: Array
    reach: Reach

    def closed(self, mesh: Mesh, room: Room) -> Mesh:
        """A mesh of the opened floor on the floor itself, the cut's sides drawn together."""
        corners = self._drawn(mesh.corners.reshape(-1, 2)).reshape(mesh.corners.shape)
        starts, ends = room.walls
        sides = shapely.linestrings(np.stack([starts, ends], axis=1))
        middles = (corners[:, 1] + corners[:, 2]) / 2
        away = shapely.distance(sides[None], shapely.points(middles)[:, None])
        nearest = away.argmin(axis=1)
        on_wall = (mesh.walls >= 0) & (away[np.arange(len(away)), nearest] < _HAIR)
        return Mesh(corners, mesh.heights, mesh.at_drain, np.where(on_wall, nearest, -1))

    def drawn_to(self, other: Cut) -> Cut:
        """The cut with ends that lie on another one's sides drawn to where those meet."""
        wall_end, island_end = other._drawn(np.array([self.wall_end, self.island_end]))
        return Cut(wall_end, island_end, self.reach)

    def _drawn(self, points: Array) -> Array:
        along = self.island_end - self.wall_end
        part = np.clip((points - self.wall_end) @ along / (along @ along), 0.0, 1.0)
        feet = self.wall_end + part[:, None] * along
        near = np.hypot(*(points - feet).T) < 4 * _HAIR
        return np.where(near[:, None], feet, points)


def cuts(room: Room) -> list[Cut]:
    """A few cuts to try, best first: short ones, far behind an island."""
    outer, *islands = room.rings
    island = np.vstack(islands)
    count = len(outer)
    starts, ends = room.walls
    part = room.reach.edges.parts(island[:, None])[:, :count]
    feet = starts[:count] + np.clip(part, 0.0, 1.0)[..., None] * room.reach.edges.along[:count]
    corners = np.broadcast_to(island[:, None], feet.shape)
    spans = np.hypot(*(feet - corners).transpose(2, 0, 1))
    inner = feet + (corners - feet) * 1e-6
    outside = corners + (feet - corners) * 1e-6
    clear = ~is_blocked(inner, outside, (starts, ends))
    lines = shapely.linestrings(np.stack([feet, corners], axis=-2))
    off_flange = shapely.distance(lines, shapely.points(room.centre)) > room.rim + _CLEAR
    clear &= off_flange & (part > _INNER) & (part < 1 - _INNER)
    ways = room.reach.way(((feet + corners) / 2).reshape(-1, 2)).reshape(spans.shape)
    merit = np.where(clear & np.isfinite(ways), spans - ways, np.inf)
    order = np.argsort(merit, axis=None, kind="stable")[:_TRIED]
    rows, walls = np.unravel_index(order[np.isfinite(merit.ravel()[order])], merit.shape)
    return [_opened(room, int(row), int(wall), feet[row, wall]) for row, wall in zip(rows, walls, strict=True)]


def _opened(room: Room, corner: int, wall: int, foot: Array) -> Cut:
    outer, *islands = room.rings
    at = 0
    while corner >= len(islands[at]):
        corner, at = corner - len(islands[at]), at + 1
    island = islands.pop(at)
    line = island[corner] - foot
    aside = _HAIR * np.array([-line[1], line[0]]) / np.hypot(*line)
    before, after = outer[: wall + 1], outer[wall + 1 :]
    # Walked with the floor on the left: to the island along the cut's far side, round it, and back.
    around = np.vstack([island[corner + 1 :], island[:corner]])
    ring = np.vstack(
        [before, foot + aside, island[corner] + aside, around, island[corner] - aside, foot - aside, after]
    )
    apart = np.hypot(*(ring - np.roll(ring, 1, axis=0)).T) > _HAIR / 2
    count = int(apart.sum())
    floor = FloorOutline(ring[apart], corner_names(count), (EdgeKind.WALL,) * count, tuple(islands))
    return Cut(foot, island[corner], Reach(floor, room.flange))
