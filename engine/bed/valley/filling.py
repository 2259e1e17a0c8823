"""Filling: a net of valleys and the floor on its sides, in facets from stations on the walls."""

import math
from collections.abc import Iterator
from functools import cached_property
from itertools import pairwise

import numpy as np

from ...records import result
from ...types import Array, Index
from .facets import Slopes, Strip
from .mesh import Mesh, facets_of
from .net import Net
from .room import Room
from .sightlines import apart, first_hits, is_blocked

_HIGHER = (1.01, 1.03, 1.06, 1.1)  # walls a little higher may have gentler facets
_WORTH_IT = 0.97  # of the steepness before
_NEAR_ENOUGH = 1.1  # times the steepness aimed at
_ROOM = 1.02  # above the gentlest, for fewer patches
_CALM = 6  # decimals of distances [mm] that are told apart
_TRIED, _NEAREST = 24, 4  # first creases: all, and those by the drain, one of which is mostly clear
_STEP = 500.0  # [mm] stations stand no farther apart
_SAME = 1.0  # [mm] nor nearer to each other


@result
class Stations:
    """Stations on all walls, in order round each ring: places (n, 2), and the wall that each begins or lies on.

    rings: each ring's first station and the one past its last.
    """

    places: Array
    walls: Index
    rings: tuple[tuple[int, int], ...]

    def from_(self, ring: int, first: int) -> tuple[Array, Index]:
        """A ring's stations (n + 1, 2) from one of them round to it again, and the walls between (n,)."""
        start, end = self.rings[ring]
        order = np.concatenate([np.arange(first, end), np.arange(start, first)])
        return self.places[np.append(order, first)], self.walls[order]


@result
class Surveyor:
    """What sets stations out in one room, for any net."""

    room: Room
    step: float = _STEP

    @cached_property
    def _fixed(self) -> tuple[Index, Array]:
        walls, numbers, counts = self.room.steps(self.step)
        return walls, numbers / counts

    def stations(self, net: Net) -> Stations:
        """The corners, steps along the walls, and where a net's places and valleys ask for more."""
        found = [self._fixed, self._feet(net), self._hits(net)]
        walls, parts = (np.concatenate(column) for column in zip(*found, strict=True))
        lengths = self.room.lengths
        off_corner = (parts == 0) | ((parts * lengths[walls] > _SAME) & ((1 - parts) * lengths[walls] > _SAME))
        walls, parts = walls[off_corner], parts[off_corner]
        order = np.lexsort([parts, walls])
        walls, parts = walls[order], parts[order]
        kept = np.append(True, (np.diff(walls) > 0) | (np.diff(parts) * lengths[walls[1:]] > _SAME))
        walls, parts = walls[kept], parts[kept]
        bounds = np.cumsum([0, *map(len, self.room.rings)])
        return Stations(self._on(walls, parts), walls, tuple(pairwise(walls.searchsorted(bounds).tolist())))

    def _on(self, walls: Index, parts: Array) -> Array:
        edges = self.room.reach.edges
        return edges.starts[walls] + parts[:, None] * edges.along[walls]

    def _feet(self, net: Net) -> tuple[Index, Array]:
        edges, places = self.room.reach.edges, net.places[:, None]
        parts = edges.parts(places)
        inside = ((places - edges.starts) * edges.inward).sum(axis=2) > 0
        rows, walls = np.nonzero(inside & (parts > 0) & (parts < 1))
        parts = parts[rows, walls]
        near = self._on(walls, parts) + _SAME * edges.inward[walls]
        seen = ~is_blocked(net.places[rows], near, self.room.walls)
        return walls[seen], parts[seen]

    def _hits(self, net: Net) -> tuple[Index, Array]:
        """Where walls are met by rays halving the gaps between valleys, or past a square flange's corners."""
        origins, angles = [], []
        for i, around in enumerate(net.around):
            headings = [net.heading(i, other) for other in around]
            for k, heading in enumerate(headings):
                gap = (headings[(k + 1) % len(headings)] - heading) % math.tau or math.tau
                origins.append(i)
                angles.append(heading + gap / 2)
        rays = np.column_stack([np.cos(angles), np.sin(angles)])
        starts = net.places[origins]
        flange = self.room.flange
        if not flange.is_round:
            rays = np.vstack([rays, flange.corners - flange.centre])
            starts = np.vstack([starts, np.broadcast_to(flange.centre, (4, 2))])
        walls, parts = first_hits(starts, rays, self.room.walls)
        return walls[walls >= 0], parts[walls >= 0]


@result
class Filling:
    """A net filled with facets; height: the walls' [mm]."""

    net: Net
    strips: tuple[Strip, ...]
    height: float

    @cached_property
    def steepest(self) -> float:
        """Its steepest facet [-]; infinite where none fit at that height."""
        return max(strip.gentlest(strip.slopes(self.height), self.height) for strip in self.strips)

    def mesh(self, wanted: float) -> Mesh | None:
        """The facets, few patches before gentle ones up to a steepness `wanted` [-]."""
        found = []
        for strip, slopes in zip(self.strips, self._slopes, strict=True):
            parting = strip.parted(slopes, self.height, max(_ROOM * self.steepest, wanted), wanted)
            if parting is None:
                return None
            found.append(facets_of(strip, parting, self.height))
        return Mesh.joined(found)

    @cached_property
    def _slopes(self) -> list[Slopes]:
        return [strip.slopes(self.height) for strip in self.strips]


def filled(surveyor: Surveyor, net: Net, highest: float = np.inf) -> Filling | None:
    """The net filled, walls at their lowest; None where nothing fits up to `highest` [mm]."""
    strips = _strips(surveyor, net)
    if strips is None:
        return None
    lowest = max(strip.least_height for strip in strips)
    return Filling(net, strips, lowest) if np.isfinite(lowest) and lowest <= highest else None


def gentler(filling: Filling, aim: float) -> Filling:
    """The same net with walls a little higher, where that makes facets gentler; aim: gentle enough [-]."""
    best = filling
    for factor in _HIGHER:
        if best.steepest <= _NEAR_ENOUGH * aim:
            break
        higher = Filling(filling.net, filling.strips, factor * filling.height)
        if higher.steepest < _WORTH_IT * best.steepest:
            best = higher
    return best


def _strips(surveyor: Surveyor, net: Net) -> tuple[Strip, ...] | None:
    room, stations = surveyor.room, surveyor.stations(net)
    found = []
    for ring in range(len(stations.rings)):
        first = _first_crease(room, net, stations, ring)
        if first is None:
            return None
        place, station = first
        walk = np.array(net.tour(place, stations.places[station]), dtype=np.intp)
        around, walls = stations.from_(ring, station)
        found.append(Strip(net, room.flange, room.fall, around, walls, walk))
    return tuple(found)


def _first_crease(room: Room, net: Net, stations: Stations, ring: int) -> tuple[int, int] | None:
    """A place of the net, if possible the drain, and a station near it in sight."""
    start, end = stations.rings[ring]
    around = stations.places[start:end]
    away = apart(net.places, around)
    valleys = np.array(net.edges, dtype=np.intp).reshape(-1, 2)
    walls, beyond = (np.vstack([net.places[ends], wall]) for ends, wall in zip(valleys.T, room.walls, strict=True))
    for places, numbers in _tried(away):
        goals = around[numbers]
        goals = goals + 1e-3 * (net.places[places] - goals) / away[places, numbers][:, None]
        clear = np.flatnonzero(~is_blocked(net.places[places], goals, (walls, beyond)))
        if clear.size:
            return int(places[clear[0]]), start + int(numbers[clear[0]])
    return None


def _tried(away: Array) -> Iterator[tuple[Index, Index]]:
    first = _nearest(away[:1], _NEAREST)
    yield first
    pairs = zip(_nearest(away[:1], _TRIED), _nearest(away, _TRIED), strict=True)
    places, stations = (np.concatenate(pair)[len(first[0]) :] for pair in pairs)
    yield places, stations


def _nearest(away: Array, most: int) -> tuple[Index, Index]:
    order = np.argsort(np.round(away, _CALM), axis=None, kind="stable")[:most]
    places, stations = np.unravel_index(order, away.shape)
    return places, stations
