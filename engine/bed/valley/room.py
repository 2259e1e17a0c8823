"""The room that valleys are laid in: its walls, its hiding corners, and how far they lie from the drain."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from engine.bed.even_fall import EvenFall

if TYPE_CHECKING:
    from engine.bed.flange import Flange
    from engine.bed.reach import Node, Reach
    from engine.types import Array

_PAST = 0.1  # [mm] walls block sight so far past their ends, so that no line slips by a corner
_HEADROOM = 1.03  # walls come out a little higher than the longest way demands
_WIDEST = np.radians(115.0)  # one fence serves a corner that turns so much


@dataclass(frozen=True, eq=False)
class Spur:
    """A direction (2,), unit, in which a fence may leave a hiding corner.

    lean: cosine of its angle to the corner's walls' normals; even, balanced: how long a fence may grow [mm] before
    other walls are nearer its tip than the corner is, or than the corner's own walls are.
    """

    direction: Array
    lean: float
    even: float
    balanced: float


@dataclass(frozen=True, eq=False)
class Corner:
    """A hiding corner: place (2,) [mm], way to the flange [mm], whether the drain sees it straight.

    normals: the inward normals of the walls before and after it; squares: the drain's distance off those walls'
    lines [mm], inside positive; spurs: between the normals, normal_spurs: along them.
    """

    place: Array
    way: float
    is_direct: bool
    normals: tuple[Array, Array]
    squares: tuple[float, float]
    spurs: tuple[Spur, ...]
    normal_spurs: tuple[Spur, Spur]


@dataclass(frozen=True, eq=False)
class Room:
    """A floor, its drain, and the least fall [-] that every valley, crease and facet keeps."""

    reach: Reach
    fall: float

    @property
    def flange(self) -> Flange:
        """The drain's flange."""
        return self.reach.flange

    @property
    def centre(self) -> Array:
        """The drain's centre (2,) [mm]."""
        return self.reach.flange.centre

    @cached_property
    def rim(self) -> float:
        """The rim's farthest point from the centre [mm]."""
        flange = self.flange
        return flange.half if flange.is_round else float(np.hypot(*flange.halves))

    @property
    def walls(self) -> tuple[Array, Array]:
        """Where walls start and end, islands' sides too, (e, 2) each [mm], floor on the left."""
        return self.reach.edges.starts, self.reach.edges.ends

    @property
    def rings(self) -> tuple[Array, ...]:
        """The outline's corners and each island's, floor on the left (k, 2) [mm]; walls are numbered along them."""
        return self.reach.floor.rings

    @cached_property
    def lengths(self) -> Array:
        """The walls' lengths (e,) [mm]."""
        starts, ends = self.walls
        return np.asarray(np.hypot(*(ends - starts).T))

    @cached_property
    def blocks(self) -> tuple[Array, Array]:
        """The walls as they block sight: a little longer at both ends."""
        starts, ends = self.walls
        along = (ends - starts) / self.lengths[:, None]
        return starts - _PAST * along, ends + _PAST * along

    @cached_property
    def longest_way(self) -> float:
        """The longest shortest way from a wall to the flange [mm]."""
        return EvenFall(self.reach, self.fall).longest_run

    @cached_property
    def expected_height(self) -> float:
        """What the walls' height will be, about [mm]."""
        return _HEADROOM * self.fall * self.longest_way

    def runs(self, places: Array) -> Array:
        """The distance from the flange's edge along rays from its centre (k,) [mm]; negative on the flange."""
        offset = places - self.centre
        far = np.hypot(offset[..., 0], offset[..., 1])
        rays = offset / np.maximum(far, 1e-9)[..., None]
        return np.asarray(far - self.flange.rim(rays.reshape(-1, 2)).reshape(far.shape))

    @cached_property
    def corners(self) -> tuple[Corner, ...]:
        """The hiding corners that water can reach the flange from."""
        return tuple(self._corner(node) for node in self.reach.nodes)

    def _corner(self, node: Node) -> Corner:
        after, before = (wall / np.hypot(*wall) for wall in node.walls)
        normals = (np.array([before[1], -before[0]]), np.array([-after[1], after[0]]))
        start = float(np.arctan2(*normals[0][::-1]))
        turn = float(np.arccos(np.clip(normals[0] @ normals[1], -1.0, 1.0)))
        count = int(np.ceil(turn / _WIDEST))
        lean = float(np.cos(turn / (2 * count)))
        angles = [start - turn * (i + 0.5) / count for i in range(count)]
        spurs = [self._spur(node.place, np.array([np.cos(angle), np.sin(angle)]), lean) for angle in angles]
        first, second = (self._spur(node.place, normal, 1.0) for normal in normals)
        offset = self.centre - node.place
        squares = (float(normals[0] @ offset), float(normals[1] @ offset))
        return Corner(node.place, node.way, node.is_direct, normals, squares, tuple(spurs), (first, second))

    def _spur(self, place: Array, direction: Array, lean: float) -> Spur:
        return Spur(direction, lean, self._grown(place, direction, 1.0), self._grown(place, direction, lean))

    def _grown(self, place: Array, direction: Array, rate: float) -> float:
        """How far along a direction other walls are as near as `rate` times the way gone [mm].

        To a wall's line the distance is s + t (n . b) = rate t; to a wall's end e it is |t b - e| = rate t.
        """
        starts, ends = self.walls
        other = ((starts != place).any(axis=1)) & ((ends != place).any(axis=1))
        starts, ends, normals = starts[other], ends[other], self.reach.edges.inward[other]
        square = ((place - starts) * normals).sum(axis=1)
        toward = np.sign(square) * (normals @ direction)
        with np.errstate(divide="ignore", invalid="ignore"):
            far = np.abs(square) / (rate - toward)
            feet = place + far[:, None] * direction - starts
            part = (feet * (ends - starts)).sum(axis=1) / ((ends - starts) ** 2).sum(axis=1)
            far = np.where((far > 0) & (part >= 0) & (part <= 1), far, np.inf)
        return float(min(far.min(), _to_ends(np.vstack([starts, ends]) - place, direction, rate)))


def _to_ends(offset: Array, direction: Array, rate: float) -> float:
    """The least t > 0 at which |t b - e| = rate t for any end e: (1 - rate2) t2 - 2 t (e . b) + e2 = 0."""
    ahead, square = offset @ direction, (offset * offset).sum(axis=1)
    bend = 1.0 - rate * rate
    room = ahead * ahead - bend * square
    met = (ahead > 0) & (room >= 0)
    if not met.any():
        return np.inf
    return float((square[met] / (ahead[met] + np.sqrt(room[met]))).min())
