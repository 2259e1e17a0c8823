"""How steep a floor's parts become with a drain moved, with ridges from inward corners."""

from functools import cached_property, lru_cache, reduce
from typing import NamedTuple

import numpy as np
import shapely

from ..bed.flange import Flanges
from ..bed.parts import CALM, cut_floors, floor_of, room_round
from ..bed.reach import EDGE_ON, bends_of
from ..bed.sight import Edges
from ..records import result
from ..survey.outline import FloorOutline
from ..types import Array, Mask
from .parted_moves import ALLOWED, Part, Parting, walls_at

_Asked = tuple[FloorOutline, Flanges, tuple[float, ...], float, bool]
_MOST_BENDS = 6  # corners that point into the floor: more, as a bowed wall has, take too long
_MOST_DRAINS = 3  # in a parting by cuts
_LOOSE = 60.0  # [mm] of more slack nothing is asked


@result
class CutPartings:
    """A floor with its drains, one of which moves, parted from inward corners as `engine.bed.parts` does."""

    parting: Parting
    number: int

    def excess(self, centres: Array, slack: Array) -> tuple[Array, Mask]:
        """The excess (k,) [mm] and whether the floor is surely parted by a cut: see `Parting.excess`.

        Without slack that of the cut taken, or more than none where no cut has none. Nothing is known once no more may
        be reckoned.
        """
        over, is_sure = np.full(len(centres), np.inf), np.zeros(len(centres), dtype=bool)
        if self.parting.known.left < 0:
            return over, is_sure
        over[(slack > _LOOSE) & bool(self._all)] = -np.inf
        for may_do, half in self._halves:
            rows = np.flatnonzero((over > 0) & (may_do | ~is_sure))
            rows = rows[shapely.dwithin(half.piece.floor.polygon, shapely.points(centres[rows]), slack[rows])]
            if len(rows):
                self.parting.known.left -= half.piece.takes(len(rows))
                by, is_seen, _ = self.parting.judged(self.parting.joined(half.parts(centres[rows], slack[rows])))
                over[rows] = np.minimum(over[rows], by) if may_do else over[rows]
                is_sure[rows] |= is_seen & half.holds(centres[rows], slack[rows])
        rows = np.flatnonzero((over <= 0) & (slack == 0))
        if len(rows):
            over[rows] = self._taken(centres[rows])
        return over, is_sure

    def _taken(self, centres: Array) -> Array:
        none, longest = np.zeros(len(centres)), np.full(len(centres), np.inf)
        far, near = np.zeros((2, len(self.parting.flanges), len(centres)))
        for half in self._all:
            rows = np.flatnonzero(half.holds(centres, none) & (half.least_reach < longest))
            rows = rows[half.has_room(centres[rows])]
            if not len(rows):
                continue
            parts = half.parts(centres[rows], none[rows])
            reach = np.round(reduce(np.maximum, (part.reach for part in parts), none[rows]), CALM)
            own_far, own_near, is_blind, *_ = self.parting.joined(parts)
            is_better = (reach < longest[rows]) & ~is_blind
            rows = rows[is_better]
            longest[rows] = reach[is_better]
            far[:, rows], near[:, rows] = own_far[:, is_better], own_near[:, is_better]
        return self.parting.over(far, near)

    @cached_property
    def _halves(self) -> list[tuple[bool, "_Half"]]:
        return sorted(((self._may_do(half), half) for half in self._all), key=lambda pair: not pair[0])

    @property
    def _all(self) -> list["_Half"]:
        own = self.parting
        return _halves((own.floor, own.flanges, own.heads, own.fall, own.square), self.number)

    def _may_do(self, half: "_Half") -> bool:
        own, others = self.parting, half.others
        walls = own.height(np.array([max(own.heads[i] + own.fall * part.far[0] for i, part in others.items())]))[0]
        return all(walls - own.heads[i] <= own.most[i] * ALLOWED * others[i].near[0] for i in others)


@lru_cache(maxsize=8)
def _halves(parting: "_Asked", number: int) -> list["_Half"]:
    """The halves of cut floors that a drain may stand in, the other half seen whole by its drains."""
    floor, flanges, *_ = parting
    centres, found = np.array([flange.centre for flange in flanges]), []
    is_short = 1 < len(flanges) <= _MOST_DRAINS and len(bends_of(floor)[0]) <= _MOST_BENDS
    for pair in _cut_floors(floor) if is_short else []:
        held = [shapely.contains_xy(piece.floor.polygon, *centres.T) for piece in pair]
        for here, there in ((0, 1), (1, 0)):
            beyond = [i for i in range(len(flanges)) if i != number and held[there][i]]
            stay = [i for i in range(len(flanges)) if i == number or held[here][i]]
            if beyond and len(beyond) + len(stay) == len(flanges) and pair[there].may_see(centres[beyond]):
                parts = _on(pair[there], parting, beyond).parts(0, centres[beyond[:1]], np.zeros(1))
                rooms = [(side, i) for side, drains in ((there, beyond), (here, stay)) for i in drains if i != number]
                is_clear = all(shapely.contains(pair[side].floor.polygon, room_round(flanges[i])) for side, i in rooms)
                if is_clear and not any(part.is_blind[0] for part in parts):
                    own = _on(pair[here], parting, stay)
                    found.append(_Half(own, stay, number, dict(zip(beyond, parts, strict=True))))
    return found


def _on(piece: "_Piece", parting: "_Asked", drains: list[int]) -> Parting:
    _, flanges, heads, fall, square = parting
    own = tuple(flanges[i] for i in drains), tuple(heads[i] for i in drains)
    return Parting(piece.floor, *own, fall, (), walls_at(0.0), square)


class _Piece(NamedTuple):
    floor: FloorOutline
    edges: Edges

    def may_see(self, centres: Array) -> bool:
        """Whether drains at places (d, 2) face all walls between them."""
        return bool((centres @ self.edges.inward.T - self.edges.offset).max(axis=0).min() >= EDGE_ON)


@lru_cache(maxsize=4)
def _cut_floors(floor: FloorOutline) -> list[list[_Piece]]:
    floors = [[floor_of(shape) for shape in pair] for pair in cut_floors(floor)]
    return [[_Piece(each, Edges.of(each.rings)) for each in pair] for pair in floors]


@result
class _Half:
    """A half of a cut floor and its drains' numbers, of which `moved` moves; the other's parts by their drains."""

    piece: Parting
    drains: list[int]
    moved: int
    others: dict[int, Part]

    def has_room(self, centres: Array) -> Mask:
        flange = self.piece.flanges[self.drains.index(self.moved)]
        ring = shapely.get_coordinates(room_round(flange)) - flange.centre
        rooms = shapely.polygons(centres[:, None] + ring) if len(centres) else []
        return np.asarray(shapely.contains(self.piece.floor.polygon, rooms), dtype=bool)

    @property
    def least_reach(self) -> float:
        """How far the farthest corner is from its drain at least [mm]: those of the other half stay."""
        return float(np.round(max(part.reach[0] for part in self.others.values()), CALM))

    def parts(self, centres: Array, slack: Array) -> list[Part]:
        own = self.piece.parts(self.drains.index(self.moved), centres, slack)
        parts = dict(zip(self.drains, own, strict=True)) | self.others
        return [parts[i] for i in sorted(parts)]

    def holds(self, centres: Array, slack: Array) -> Mask:
        return lie_in(self.piece.floor, centres, slack)


def lie_in(floor: FloorOutline, centres: Array, slack: Array) -> Mask:
    """Whether places (k, 2) lie on a floor with all within a slack (k,) [mm] of them."""
    inside = shapely.contains_xy(floor.polygon, *centres.T)
    if slack.any():
        inside &= shapely.distance(shapely.boundary(floor.polygon), shapely.points(centres)) >= slack
    return np.asarray(inside)
