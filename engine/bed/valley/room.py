"""The room that valleys are laid in."""

from functools import cached_property

import numpy as np

from ...figures import GUARD
from ...records import result
from ...types import Array, Index
from ..even_fall import EvenFall
from ..flange import Flange
from ..reach import Node, Reach

_PAST = 0.1  # [mm] walls block sight so far past their ends: no line slips by a corner
_STEP = 150.0  # [mm] between the walls' places that ask which relay serves them
_IN = 2.0  # [mm] how far in front of the wall
_HEADROOM = 1.03  # walls come out a little higher than the longest way demands
_SLIGHT = np.radians(10.0)  # a corner that turns less is one of a bowed wall's
_EACH = np.radians(20.0)  # one corner stands for so much of a bowed wall's turn
_WIDEST = np.radians(115.0)  # one fence serves up to such a turn


@result
class Spur:
    """A direction (2,), unit, in which a fence may leave a hiding corner.

    lean: cosine of its angle to the normals of the corner's walls; even, balanced: how long a fence may grow [mm]
    before its tip is nearer other walls than the corner, or than the corner's walls.
    """

    direction: Array
    lean: float
    even: float
    balanced: float


@result
class Corner:
    """A hiding corner: place (2,), way to the flange [mm], whether the drain sees it straight.

    normals: inward, of the walls before and after it; squares: how far inside their lines the drain is [mm]; spurs:
    between the normals.
    """

    place: Array
    way: float
    is_direct: bool
    normals: tuple[Array, Array]
    squares: tuple[float, float]
    spurs: tuple[Spur, ...]


@result
class Room:
    """A floor, its drain, and the least fall [-] of every valley, crease and facet."""

    reach: Reach
    fall: float

    @property
    def flange(self) -> Flange:
        """The drain's flange."""
        return self.reach.flange

    @property
    def centre(self) -> Array:
        """The drain's centre (2,)."""
        return self.reach.flange.centre

    @cached_property
    def rim(self) -> float:
        """The rim's farthest point from the centre [mm]."""
        flange = self.flange
        return flange.half if flange.is_round else float(np.hypot(*flange.halves))

    @property
    def walls(self) -> tuple[Array, Array]:
        """Where walls and islands' sides start and end, (e, 2) each, floor on the left."""
        return self.reach.edges.starts, self.reach.edges.ends

    @property
    def rings(self) -> tuple[Array, ...]:
        """The outline's corners and each island's, floor on the left (k, 2), as walls are numbered."""
        return self.reach.floor.rings

    @cached_property
    def lengths(self) -> Array:
        """The walls' lengths (e,) [mm]."""
        return np.asarray(np.hypot(*self.reach.edges.along.T))

    @cached_property
    def blocks(self) -> tuple[Array, Array]:
        """The walls as they block sight: a little longer at both ends."""
        starts, ends = self.walls
        along = self.reach.edges.along / self.lengths[:, None]
        return starts - _PAST * along, ends + _PAST * along

    def steps(self, step: float) -> tuple[Index, Index, Index]:
        """Walls in equal pieces no longer than a step [mm]: each one's wall, its number there, of how many; (k,) each.

        In order round each ring.
        """
        counts = np.ceil(self.lengths / step - GUARD).astype(int)
        walls = np.repeat(np.arange(len(counts)), counts)
        return walls, np.arange(len(walls)) - np.repeat(np.cumsum(counts) - counts, counts), counts[walls]

    @cached_property
    def before_walls(self) -> Array:
        """Places just in front of the walls (k, 2): each must be served by a valley."""
        edges, (walls, numbers, counts) = self.reach.edges, self.steps(_STEP)
        part = ((numbers + 0.5) / counts)[:, None]
        return edges.starts[walls] + part * edges.along[walls] + _IN * edges.inward[walls]

    @cached_property
    def runs_before_walls(self) -> Array:
        """Those places' runs (k,) [mm]."""
        return self.flange.runs(self.before_walls)

    @cached_property
    def longest_way(self) -> float:
        """The longest shortest way from a wall to the flange [mm]."""
        return EvenFall(self.reach, self.fall).longest_run

    @cached_property
    def expected_height(self) -> float:
        """How high the walls will be, about [mm]."""
        return _HEADROOM * self.fall * self.longest_way

    @cached_property
    def corners(self) -> tuple[Corner, ...]:
        """The hiding corners with a way to the flange; of a bowed wall's chords only some."""
        return tuple(self._corner(node, turn) for node, turn in self.hiding)

    @cached_property
    def hiding(self) -> tuple[tuple[Node, float], ...]:
        """Those corners as the reach knows them, with the turn [rad] each stands for."""
        return tuple(told for chain in _chains(self.reach.nodes) for told in _told(chain))

    def _corner(self, node: Node, stands_for: float) -> Corner:
        after, before = (wall / np.hypot(*wall) for wall in node.walls)
        normals = (np.array([before[1], -before[0]]), np.array([-after[1], after[0]]))
        start = float(np.arctan2(*normals[0][::-1]))
        turn = _turn(node)
        count = int(np.ceil(turn / _WIDEST - GUARD))
        lean = float(np.cos(max(turn, stands_for) / (2 * count)))
        angles = [start - turn * (i + 0.5) / count for i in range(count)]
        rays = [np.array([np.cos(angle), np.sin(angle)]) for angle in angles]
        spurs = tuple(Spur(ray, lean, *self.grown(node.place, ray, 1.0, lean)) for ray in rays)
        offset = self.centre - node.place
        squares = (float(normals[0] @ offset), float(normals[1] @ offset))
        return Corner(node.place, node.way, node.is_direct, normals, squares, spurs)

    def grown(self, place: Array, direction: Array, *rates: float) -> list[float]:
        """How far along a direction other walls are as near as each rate times the way gone [mm].

        To a wall's line the distance is s + t (n . b) = rate t; to a wall's end e it is |t b - e| = rate t.
        """
        starts, ends = self.walls
        other = ((starts != place).any(axis=1)) & ((ends != place).any(axis=1))
        starts, ends, normals = starts[other], ends[other], self.reach.edges.inward[other]
        along, square = ends - starts, ((place - starts) * normals).sum(axis=1)
        toward, lengths = np.sign(square) * (normals @ direction), (along**2).sum(axis=1)
        at_ends = _to_ends(np.vstack([starts, ends]) - place, direction, rates)
        with np.errstate(divide="ignore", invalid="ignore"):
            far = np.abs(square) / (np.array(rates)[:, None] - toward)
            feet = place + far[..., None] * direction - starts
            part = (feet * along).sum(axis=2) / lengths
            far = np.where((far > 0) & (part >= 0) & (part <= 1), far, np.inf)
        least: list[float] = np.minimum(far.min(axis=1), at_ends).tolist()
        return least


def _turn(node: Node) -> float:
    after, before = (wall / np.hypot(*wall) for wall in node.walls)
    return float(np.arccos(np.clip(-(after @ before), -1.0, 1.0)))


def _chains(nodes: tuple[Node, ...]) -> list[list[Node]]:
    chains: list[list[Node]] = []
    for node in nodes:
        last = chains[-1][-1] if chains else node
        follows = np.hypot(*(last.place + last.walls[0] - node.place)) < _PAST
        if chains and follows and max(_turn(last), _turn(node)) < _SLIGHT:
            chains[-1].append(node)
        else:
            chains.append([node])
    return chains


def _told(chain: list[Node]) -> list[tuple[Node, float]]:
    if len(chain) == 1:
        return [(chain[0], 0.0)]
    turned = np.cumsum([_turn(node) for node in chain])
    count = int(np.ceil(turned[-1] / _EACH - GUARD))
    share = float(turned[-1]) / count
    numbers = sorted({int(np.abs(turned - share * (i + 0.5)).argmin()) for i in range(count)})
    return [(chain[number], share) for number in numbers]


def _to_ends(offset: Array, direction: Array, rates: tuple[float, ...]) -> Array:
    """The least t > 0 at which |t b - e| = rate t for any end e: (1 - rate2) t2 - 2 t (e . b) + e2 = 0."""
    ahead, square = offset @ direction, (offset * offset).sum(axis=1)
    room = ahead * ahead - (1.0 - np.array(rates)[:, None] ** 2) * square
    met = (ahead > 0) & (room >= 0)
    far = square / np.where(met, ahead + np.sqrt(np.where(met, room, 0.0)), np.nan)
    return np.asarray(np.where(met, far, np.inf).min(axis=1))
