"""The mesh: a bed's facets as triangles with heights, and whether it is one."""

from dataclasses import fields
from functools import cached_property

import numpy as np
import shapely

from ...arrays import cross
from ...records import result
from ...types import Array, Index, Mask
from .facets import Parting, Strip
from .room import Room

_AREA = 1e-9  # [-] of the floor
_FALL = 1.0 - 1e-6  # [-] of the fall
_OVER_RIM = 1e-6  # [mm]


@result
class Mesh:
    """Facets as triangles turned left: corners (t, 3, 2), heights (t, 3) [mm].

    at_drain: ruled to the flange from the drain's centre, their first corner; walls: the wall under each, from second
    corner to third, -1 on a valley.
    """

    corners: Array
    heights: Array
    at_drain: Mask
    walls: Index

    @staticmethod
    def joined(parts: list["Mesh"]) -> "Mesh":
        """Several meshes as one."""
        return Mesh(*(np.concatenate([getattr(part, one.name) for part in parts]) for one in fields(Mesh)))

    def raised(self, walls: float, height: float) -> "Mesh":
        """The mesh with walls at `height`, not `walls` [mm], all heights in proportion."""
        heights = np.where(self.heights == walls, height, self.heights * (height / walls))
        return Mesh(self.corners, heights, self.at_drain, self.walls)

    @cached_property
    def areas(self) -> Array:
        """The facets' areas (t,) [mm2], negative for one turned the wrong way."""
        a, b, c = (self.corners[:, k] for k in range(3))
        return cross(b - a, c - a) / 2

    @cached_property
    def planes(self) -> Array:
        """Rows (gx, gy, z0): the plane z = gx x + gy y + z0 through each facet's corners, (t, 3)."""
        a, b, c = (self.corners[:, k] for k in range(3))
        za, zb, zc = self.heights.T
        ab, ac = b - a, c - a
        rise = (zb - za)[:, None] * ac - (zc - za)[:, None] * ab
        slope = np.column_stack([rise[:, 1], -rise[:, 0]]) / (2 * self.areas)[:, None]
        return np.column_stack([slope, za - (slope * a).sum(axis=1)])


def facets_of(strip: Strip, parting: Parting, height: float) -> Mesh:
    """A strip's parting as a mesh; pieces of one wall with one point are one facet."""
    runs = _runs(strip, parting)
    corners, heights, at_drain, walls = [], [], [], []
    for first, last, step, on_wall in runs:
        here = int(strip.walk[step])
        if on_wall:
            places = [strip.net.places[here], strip.stations[first], strip.stations[last]]
            levels = [strip.fall * float(strip.net.ways[here]), height, height]
            turn = 0
        else:
            after = int(strip.walk[step + 1])
            places = [strip.stations[first], strip.net.places[after], strip.net.places[here]]
            levels = [height, *(strip.fall * float(strip.net.ways[place]) for place in (after, here))]
            turn = 2 if here == 0 else 1 if after == 0 else 0
        corners.append(places[turn:] + places[:turn])
        heights.append(levels[turn:] + levels[:turn])
        at_drain.append(here == 0 if on_wall else turn > 0)
        walls.append(int(strip.walls[first]) if on_wall else -1)
    return Mesh(np.array(corners), np.array(heights), np.array(at_drain), np.array(walls, dtype=np.intp))


def _runs(strip: Strip, parting: Parting) -> list[tuple[int, int, int, bool]]:
    runs: list[tuple[int, int, int, bool]] = []
    for station, step, on_wall in parting:
        if on_wall and runs and runs[-1][3] and runs[-1][1:3] == (station, step):
            first = runs[-1][0]
            if strip.walls[first] == strip.walls[station]:
                runs[-1] = (first, station + 1, step, True)
                continue
        runs.append((station, station + 1, step, on_wall))
    return runs


def is_sound(room: Room, mesh: Mesh) -> bool:
    """Whether the facets cover the floor once, and every crease and valley keeps the room's fall.

    None is turned over, their areas make up the floor's, the flange lies in those ruled to it.
    """
    floor = room.reach.floor.area
    if mesh.areas.min() <= 0 or abs(mesh.areas.sum() - floor) > _AREA * floor:
        return False
    return bool(_falls(room, mesh).all() and _clears_flange(room, mesh))


def _falls(room: Room, mesh: Mesh) -> Mask:
    wall = mesh.heights.max()
    starts, ends = mesh.corners, np.roll(mesh.corners, -1, axis=1)
    before, after = mesh.heights, np.roll(mesh.heights, -1, axis=1)
    run = np.hypot(*(ends - starts).transpose(2, 0, 1))
    centre = room.centre
    for place, other in ((starts, ends), (ends, starts)):
        at = (place == centre).all(axis=2)
        run[at] = room.flange.runs(other[at])
    level = (before == wall) & (after == wall)
    return np.asarray(level | (np.abs(after - before) >= _FALL * room.fall * run))


def _clears_flange(room: Room, mesh: Mesh) -> bool:
    flange = room.flange
    others = shapely.polygons(mesh.corners[~mesh.at_drain])
    if flange.is_round:
        return bool((shapely.distance(others, shapely.points(room.centre)) > flange.half - _OVER_RIM).all())
    return bool((shapely.area(shapely.intersection(others, flange.polygon)) < _OVER_RIM).all())
