"""How steep or out of depth level walls are at least wherever a drain is moved, by what planned beds tell."""

from functools import cached_property
from typing import NamedTuple

import numpy as np
import shapely

from ..arrays import cross
from ..bed.depth import Depth
from ..bed.level_walls import LevelWalls
from ..bed.parted_walls import PartedWalls
from ..bed.valley.bed import ValleyWalls
from ..records import result
from ..types import Array, Mask
from .any_parting import AnyParting
from .moved_ridges import Ridges
from .nearest import BESIDE
from .parted_moves import Parting

_TINY = 1e-9
_SIDE = 1e-6  # [mm2] a wall's end so near a line of sight is on it
_ALIKE, _AWAY = 1.15, 2.0  # times walls' height; times the fall over how far the drain is off


class _Worst(NamedTuple):
    """A place at which level walls leave the bed so high at least (way 1), or at most (-1) [mm]."""

    place: Array
    height: float
    way: int
    off: float  # the walls [mm]; 0: ridges are as high

    @property
    def known_by(self) -> tuple[float, ...]:
        """What is the same of those alike but for noise."""
        return (self.way, *(round(value / BESIDE) for value in (*self.place.tolist(), self.height)))


class LevelBounds:
    """What is known of level walls with a drain elsewhere, by its parting and the beds planned.

    is_open: the drains' height is planned: too thin here is as good as too thick there.
    """

    def __init__(self, own: Parting, number: int, *, is_open: bool) -> None:
        self._every, self._worst, self._is_open = AnyParting(own, number), dict[tuple[float, ...], _Worst](), is_open
        self._walls = list[tuple[Array, float]]()  # where the only drain stood, and how high walls with valleys then

    def learn(self, spot: Array, deep: Depth, outs: tuple[float, float]) -> None:
        """Takes in a bed's depth, and how much it is too thin and too thick [mm]."""
        gap = deep.gap
        if not isinstance(gap.bed, LevelWalls | PartedWalls | ValleyWalls):
            return
        if isinstance(gap.bed, ValleyWalls):
            self._walls.append((spot, gap.bed.wall_height))
        lift = gap.rough.shift if self._is_open else 0.0  # another bed's is another
        walls, is_alone = shapely.boundary(self._every.parting.floor.polygon), len(self._every.parting.flanges) == 1
        for worst, out, way in ((deep.least, outs[0], 1), (deep.most, outs[1], -1)):
            if np.isfinite(out) and (self._is_open or out > 0):
                at = np.array([worst.x, worst.y])
                off = is_alone * float(shapely.distance(walls, shapely.points(at)))
                height = float(gap.bed.height(at[None])[0]) - lift + way * out
                found = _Worst(at, height, way, off)
                self._worst.setdefault(found.known_by, found)

    def judged(self, spots: Array, slack: Array) -> tuple[Array, Array]:
        """How far the bed breaks a limit at least (k,) [mm] with straight ridges, and otherwise."""
        own, number = self._every.parting, self._every.number
        over, other = self._every.judged(spots, slack)
        _, is_parted = own.excess(number, spots, slack)
        may_crowd = own.known_runs(number, spots, slack, own.levels)[-1]
        rows = np.flatnonzero((over <= BESIDE) & is_parted)
        over[rows] = self._with_depth(own, spots[rows], slack[rows], own.levels)
        rows = rows[(over[rows] > BESIDE) & may_crowd[rows] & own.levels.any()]
        midway = self._with_depth(own, spots[rows], slack[rows], 0 * own.levels)
        over[rows] = np.minimum(over[rows], midway)  # where a ridge would meet a flange
        rows = np.flatnonzero((np.minimum(over, other) <= BESIDE) & ~is_parted & bool(self._worst))
        out = self._otherwise(spots[rows], slack[rows])
        over[rows], other[rows] = np.maximum(over[rows], out), np.maximum(other[rows], out)
        return over, other

    def _otherwise(self, spots: Array, slack: Array) -> Array:
        """How far out of depth a bed is at least wherever its ridges and valleys run (k,) [mm].

        It falls its fall from every place, and from walls to every place off them.
        """
        own, by = self._every.parting, np.full((2, len(spots)), -np.inf)
        walls, places = self._highest(spots, slack), own.places(self._every.number, spots)
        for worst in self._worst.values():
            if worst.way > 0:
                found = walls - own.fall * worst.off
            else:
                ways = np.hypot(*np.moveaxis(places - worst.place, -1, 0)) - slack
                rims = np.array([[np.hypot(*flange.halves)] for flange in own.flanges])
                found = (own.levels + own.fall * np.maximum(ways - rims, 0.0)).min(axis=0)
            row = int(worst.way > 0)
            by[row] = np.maximum(by[row], worst.way * (worst.height - found))
        return self._both(by)

    def _highest(self, spots: Array, slack: Array) -> Array:
        """How high walls with valleys stand at most (k,) [mm], also by those with the only drain elsewhere.

        By trial on 108,000 pairs of beds with valleys on a floor: neither was higher than 1.11 times the other plus
        twice the fall over the way between the drains.
        """
        own, least = self._every.parting, np.full(len(spots), np.inf)
        for place, walls in self._walls:
            away = np.hypot(*(spots - place).T) + slack
            least = np.minimum(least, _ALIKE * walls + _AWAY * own.fall * away)
        known = own.height(least) if self._walls else least
        return np.minimum(self._every.highest(spots, slack), known)

    def _both(self, by: Array) -> Array:
        return np.asarray(by.sum(axis=0) if self._is_open else by.max(axis=0))

    def _with_depth(self, own: Parting, spots: Array, slack: Array, heads: Array) -> Array:
        """How much straight ridges as for heads (d, 1) are at least too high, or out of depth (k,), all in [mm]."""
        number = self._every.number
        runs = own.known_runs(number, spots, slack, heads)
        out = own.judged(runs, own.levels)[0]
        out = np.where(slack > 0, out, np.maximum(out, own.too_flat_at(runs[0])))
        rows = np.flatnonzero(out <= BESIDE)
        by = np.full((2, len(rows)), -np.inf)
        for way in (1, -1):
            bounds = Bounds(own, number, spots[rows], slack[rows], heads, own.levels, runs[0][:, rows], way)
            for worst in self._worst.values():
                if worst.way == way:
                    by[int(way > 0)] = np.maximum(by[int(way > 0)], way * (worst.height - bounds.heights(worst.place)))
        out[rows] = np.maximum(out[rows], self._both(by))
        return out


@result
class Bounds:
    """Level walls on a floor, one drain at places (k, 2) within slacks (k,) [mm]: at most (way 1), at least (-1).

    heads: those that ridges are laid for; levels: the drains' (d, 1 or k); far: the parts' longest runs at least (d,
    k); all in [mm]. Valid where straight ridges surely part the floor, each part seen whole.

    With u the part of the way from a drain's middle to a wall's or ridge's line at a place, v from its rim, a bed is H
    u (v - 1) / (v - u) high there. It grows with H, u and v, which change no faster than the drain's distance. Behind
    its ridges a drain's bed counts as high as they are: the least of all is the bed.
    """

    parting: Parting
    number: int
    spots: Array
    slack: Array
    heads: Array
    levels: Array
    far: Array
    way: int

    def heights(self, at: Array) -> Array:
        """The bed's height over the first flange (k,) [mm] at a place (2,)."""
        return np.asarray(np.min([self._over(i, at - place) for i, place in enumerate(self._places)], axis=0))

    def _over(self, i: int, offset: Array) -> Array:
        flange, head, slack = self.parting.flanges[i], self.levels[i], self._slack(i)
        part = np.clip(np.maximum(self._to_walls(i, offset), self._to_ridges(i, offset)), 0.0, 1.0)
        beyond = flange.stretch(flange.centre + offset) + self.way * slack / flange.halves.min() - 1.0
        beyond = np.maximum(beyond, 0.0)
        return np.asarray(head + (self._walls - head) * part * beyond / np.maximum(beyond + 1.0 - part, _TINY))

    def _to_walls(self, i: int, offset: Array) -> Array:
        """Which part of the way to the wall behind it a place off a drain (k, 2) is (k,) [-]."""
        own, slack = self.parting, self._slack(i)[:, None]
        off = self._places[i] @ own.edges.inward.T - own.edges.offset
        part = 1.0 - (off + offset @ own.edges.inward.T) / np.maximum(off + self.way * slack, _TINY)
        is_met = off + self.way * slack > 0
        if not own.floor.is_convex:
            starts = own.edges.starts - (self._places[i] + offset)[:, None]
            is_met &= self._side(offset, starts, -1.0, slack) & self._side(offset, starts + own.along, 1.0, slack)
        return np.asarray(np.where(is_met, part, 0.0).max(axis=1))

    def _side(self, offset: Array, ends: Array, hand: float, slack: Array) -> Mask:
        """Whether walls' ends (k, e, 2) off a place may be, or surely are, to a hand of the ways from a drain to it."""
        loose = self.way * slack * np.hypot(ends[..., 0], ends[..., 1]) + _SIDE
        return np.asarray(hand * cross(offset[:, None], ends) + loose >= 0)

    def _to_ridges(self, i: int, offset: Array) -> Array:
        ridges, slack = self._ridges[i], self._slack(i)
        along = (ridges.towards * offset).sum(axis=2)
        along = along + self.way * (slack + (np.hypot(*offset.T) + slack) * ridges.turn)
        part = along / np.maximum(ridges.least if self.way > 0 else ridges.most, _TINY)
        return np.asarray(part.max(axis=0, initial=0.0))

    def _slack(self, i: int) -> Array:
        return self.slack * (i == self.number)

    @cached_property
    def _places(self) -> Array:
        return self.parting.places(self.number, self.spots)

    @cached_property
    def _ridges(self) -> list[Ridges]:
        return self.parting.ridges(self.number, self.spots, self.slack, self.heads)

    @cached_property
    def _walls(self) -> Array:
        own = self.parting
        far = self.far
        if self.way > 0:
            drains = enumerate(own.flanges)
            ways = [own.farthest(each, self._places[i], self._ridges[i], self._slack(i)) for i, each in drains]
            far = np.array(ways)
        return own.height((self.levels + own.fall * far).max(axis=0))
