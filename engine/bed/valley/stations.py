"""Stations: the places along a ring of walls that facets may start from."""

import math
from functools import cached_property
from itertools import pairwise

import numpy as np

from ...records import result
from ...types import Array, Index
from .net import Net
from .room import Room
from .sightlines import first_hits, is_blocked

_STEP = 500.0  # [mm] stations stand no farther apart
_SAME = 1.0  # [mm] nor nearer to each other


@result
class Stations:
    """Stations on all walls, in order round each ring: places (n, 2) [mm], and the wall that each begins or lies on.

    rings: for each ring of walls the first station and the one past the last.
    """

    places: Array
    walls: Index
    rings: tuple[tuple[int, int], ...]

    def from_(self, ring: int, first: int) -> tuple[Array, Index]:
        """A ring's stations (n + 1, 2) from one of them round to it again, and the walls between them (n,)."""
        start, end = self.rings[ring]
        order = np.concatenate([np.arange(first, end), np.arange(start, first)])
        return self.places[np.append(order, first)], self.walls[order]


@result
class Surveyor:
    """What sets stations out in one room, for any net in it."""

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
        """Where rays meet the walls that halve the gaps between valleys, and that pass a square flange's corners."""
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
