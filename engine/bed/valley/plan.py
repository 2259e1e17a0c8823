"""From a floor that the drain does not see whole to its bed with level walls, islands or not, or to none.

A cut from an island to a wall, a ridge as high as the walls, makes a floor simple: opened by a hair while valleys are
sought, and closed in what comes of them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import shapely

from ...job.model import EdgeKind
from ...quantities import round_up
from ...records import result
from ...survey.outline import FloorOutline, corner_names
from ...types import Array
from ..effort import MOST_ISLANDS
from ..falls import Terms
from ..hidden import Hidden
from ..reach import Reach, bends_of
from .bed import ValleyWalls, Verdict
from .bounds import least_square, least_steepness
from .choice import Chosen, choose
from .mesh import Mesh, is_sound
from .room import Room
from .sightlines import is_blocked

_MOST_TRIED, _WINDING, _FEW = 6, 2500, 3  # rooms cut open; with more walls times inward corners, fewer: each takes long
_AIMS = (1.0, 0.0)  # of the most fall: marks may round a bed over it; 0: as gentle as can be
_SAME = 1.0 + 1e-9
_HAIR = 5e-3  # [mm] each side of the cut is moved so far
_CLEAR = 50.0  # [mm] the cut keeps off the flange
_INNER = 0.02  # [-] nor does it end this near a wall's end, as part of the wall
_TRIED = 4


@result
class Cut:
    """A floor cut open along a line from a wall to an island's corner, (2,) each; reach: in the opened floor."""

    wall_end: Array
    island_end: Array
    reach: Reach

    def closed(self, mesh: Mesh, room: Room) -> Mesh:
        """A mesh of the opened floor with the cut's sides drawn together."""
        corners = self._drawn(mesh.corners.reshape(-1, 2)).reshape(mesh.corners.shape)
        starts, ends = room.walls
        sides = shapely.linestrings(np.stack([starts, ends], axis=1))
        middles = (corners[:, 1] + corners[:, 2]) / 2
        away = shapely.distance(sides[None], shapely.points(middles)[:, None])
        nearest = away.argmin(axis=1)
        on_wall = (mesh.walls >= 0) & (away[np.arange(len(away)), nearest] < _HAIR)
        return Mesh(corners, mesh.heights, mesh.at_drain, np.where(on_wall, nearest, -1))

    def drawn_to(self, other: Cut) -> Cut:
        """The cut with ends on another one's sides drawn to where those meet."""
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
    found = (_cut_to(room, int(row), int(wall), feet[row, wall]) for row, wall in zip(rows, walls, strict=True))
    return [cut for cut in found if cut.reach.floor.polygon.is_valid]  # none along the island's own side


def _cut_to(room: Room, corner: int, wall: int, foot: Array) -> Cut:
    outer, *islands = room.rings
    at = 0
    while corner >= len(islands[at]):
        corner, at = corner - len(islands[at]), at + 1
    island = islands.pop(at)
    line = island[corner] - foot
    aside = _HAIR * np.array([-line[1], line[0]]) / np.hypot(*line)
    before, after = outer[: wall + 1], outer[wall + 1 :]
    # Floor on the left: to the island along the cut's far side, round it, and back.
    around = np.vstack([island[corner + 1 :], island[:corner]])
    ring = np.vstack(
        [before, foot + aside, island[corner] + aside, around, island[corner] - aside, foot - aside, after]
    )
    apart = np.hypot(*(ring - np.roll(ring, 1, axis=0)).T) > _HAIR / 2
    count = int(apart.sum())
    floor = FloorOutline(ring[apart], corner_names(count), (EdgeKind.WALL,) * count, tuple(islands))
    return Cut(foot, island[corner], Reach(floor, room.flange))


@result
class Opened:
    """The valleys chosen, and the cuts that opened the room, in order."""

    chosen: Chosen
    cuts: tuple[Cut, ...] = ()


def _opened(room: Room, most: float | None, left: Iterator[int]) -> Iterator[Opened]:
    chosen = choose(room, most)
    if chosen is not None:
        yield Opened(chosen)
    if len(room.rings) == 1:
        return
    for cut in cuts(room):
        if next(left, None) is None:
            return
        for found in _opened(Room(cut.reach, room.fall), most, left):
            mesh = cut.closed(found.chosen.mesh, room)
            if is_sound(room, mesh):
                inner = tuple(other.drawn_to(cut) for other in found.cuts)
                yield Opened(replace(found.chosen, mesh=mesh), (cut, *inner))


def valley_walls(own: float | None, reach: Reach, hidden: Hidden, terms: Terms) -> ValleyWalls | Hidden:
    """The bed with level walls and valleys; what is hidden, with its bound, where no facets keep the fall.

    own: the walls' height [mm] that the user sets; else it is a whole number of marks.
    """
    best = None
    for part in _AIMS if own is None else _AIMS[:1]:
        most = None if terms.most_fall is None else part * terms.most_fall
        bed = lowest(reach, hidden, replace(terms, most_fall=most))
        if isinstance(bed, Hidden):
            return best or bed
        height = round_up(least_height(bed, terms.fall), terms.mark_step) if own is None else own
        bed = raised(bed, height, terms.most_fall)
        if best is None or bed.most_fall < best.most_fall:
            best = bed
        if bed.verdict is not Verdict.NOT_FOUND:
            break
    return best or hidden


def least_height(bed: ValleyWalls, fall: float) -> float:
    """How high a found bed's walls must be [mm] for every facet to keep the fall [-]."""
    return bed.wall_height / min(1.0, float(bed.falls.least.min()) / fall)


def raised(bed: ValleyWalls, height: float, most: float | None) -> ValleyWalls:
    """A bed with walls at a height [mm], all in proportion, and how it then meets the most fall."""
    mesh, factor = bed.mesh.raised(bed.wall_height, height), height / bed.wall_height
    bed = replace(bed, wall_height=height, mesh=mesh, valley_fall=bed.valley_fall * factor)
    if most is None or bed.most_fall <= most * _SAME:
        return bed
    proven = bed.bound > most * _SAME
    return replace(bed, verdict=Verdict.IMPOSSIBLE if proven else Verdict.NOT_FOUND)


def lowest(reach: Reach, hidden: Hidden, terms: Terms) -> ValleyWalls | Hidden:
    """The bed before its height is set; what is hidden, with its bound, where none is found."""
    room = Room(reach, terms.fall)
    is_winding = len(room.walls[0]) * len(bends_of(reach.floor)[0]) > _WINDING
    opened = _opened(room, terms.most_fall, iter(range(_FEW if is_winding else _MOST_TRIED)))
    found = next(opened, None) if len(room.rings) <= 1 + MOST_ISLANDS else None
    bound = (least_square if terms.square else least_steepness)(room)
    if found is None:
        return replace(hidden, bound=bound)
    return ValleyWalls(
        reach=reach,
        wall_height=found.chosen.filling.height,
        mesh=found.chosen.mesh,
        net=found.chosen.filling.net,
        valley_fall=terms.fall,
        cuts=tuple((cut.wall_end, cut.island_end) for cut in found.cuts),
        square=terms.square,
        bound=bound,
        verdict=Verdict.FITS,
        hidden=hidden,
    )
