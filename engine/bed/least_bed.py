"""The least bed: the lowest surface that keeps least fall, most fall and least depth over a given rough floor.

With z the bed's height over the drain, d the water's way to it, s the least and m the most fall, b the rough floor plus
the least depth, put y = z - s d: it is at least b - s d and the y of the next place down the way, and at most
m |step| - s (difference of d) over any neighbour's. The lowest such y is the most that a chain of these differences
carries to a place (Cormen et al., Introduction to Algorithms, ch. 24.4), found by Bellman and Ford's rounds over all at
once, which end, since no difference adds anything.
"""

from collections.abc import Sequence
from functools import cached_property

import numpy as np
import shapely

from ..arrays import groups
from ..boxes import along_ring, box_round, grid_inside
from ..records import record, result
from ..survey.outline import FloorOutline
from ..survey.rough_floor import RoughFloor
from ..survey.tin import delaunay, edges_of, steady
from ..types import Array, Index
from .quadrature import areas
from .reach import Reach, SharedReach
from .surfaces import Bed
from .valley.sightlines import apart

_RAYS = 36  # places along the perimeter are so many of it apart ...
_MOST_STEP = 120.0  # [mm] ... but no farther than this
_LEAST_STEP = 25.0  # [mm] nor nearer
_MOST_PLACES = 500  # along the perimeter: 120 mm apart up to 60 m
_MOST_READINGS = 40  # of more, those that stand highest over an even fall
_PER_WAY = 1 / 48  # [-] the fall by which readings are ranked
_SAME = 1e-3  # [mm]
_ON_FLOOR = 1e-6  # [mm]
_CALM = 3  # decimals of a millimetre
_NOISE = 1e-9  # of a step: no step more for so little


@record
class Demands:
    """What the bed is held to: least and most fall [-] (None for no most), least depth [mm]."""

    least_fall: float
    most_fall: float | None
    least_depth: float


@result
class Ways:
    """Places (n, 2) along the water's ways, the way from each (n,) [mm], and the next place down it (n,).

    On a flange the next is -1. triangles: (t, 3) between neighbours, within the floor; step: the most between places
    along a way [mm].
    """

    floor: FloorOutline
    places: Array
    ways: Array
    down: Index
    triangles: Index
    step: float

    @cached_property
    def edges(self) -> Index:
        """Pairs of neighbouring places (e, 2) with the floor between them, each once."""
        sides = edges_of(self.triangles)
        roomy = shapely.buffer(self.floor.polygon, _ON_FLOOR, join_style="mitre")
        shapely.prepare(roomy)
        sides = sides[shapely.covers(roomy, shapely.linestrings(self.places[sides]))]
        below = np.flatnonzero(self.down >= 0)
        return np.vstack([sides, np.column_stack([below, self.down[below]])])

    @cached_property
    def twins(self) -> Index:
        """Pairs (k, 2) of places that are one, met on two ways."""
        first, owner = groups(*np.round(self.places, 3).T)
        firsts = first[owner]
        later = np.flatnonzero(firsts != np.arange(len(firsts)))
        return np.column_stack([firsts[later], later])

    @cached_property
    def weights(self) -> Array:
        """The area that each place stands for (n,) [mm2]: a third of its triangles'."""
        thirds = np.repeat(areas(self.places[self.triangles]) / 3, 3)
        return np.bincount(self.triangles.ravel(), thirds, len(self.places)).astype(float)


@result
class LeastBed:
    """The lowest bed: its heights (n,) [mm] over the drain as it is, at the places of `ways`.

    rise: how far the drain must rise for it to exist [mm]. Sums are over the triangles between places.
    """

    ways: Ways
    heights: Array
    rough: RoughFloor
    rise: float

    @cached_property
    def volume(self) -> float:
        """Its mud [mm3]."""
        depths = self.heights - self.rough.height(self.ways.places)
        return float((self.ways.weights * depths).sum())

    def saves(self, planned: Bed) -> float:
        """How much less mud it takes than another bed raised with the drain [mm3]."""
        above = planned.height(self.ways.places) + self.rise - self.heights
        return float((self.ways.weights * above).sum())

    def is_over(self, planned: Bed) -> bool:
        """Whether another bed, raised with the drain, is somewhere lower and so breaks a limit."""
        return bool((self.heights > planned.height(self.ways.places) + self.rise + _ON_FLOOR).any())

    def at(self, places: Array) -> Array:
        """Its heights over the raised drain (k,) [mm] at some of its places (k, 2), such as corners."""
        return np.asarray(self.heights[np.argmin(apart(places, self.ways.places), axis=1)] - self.rise)


def least_bed(
    reach: Reach | SharedReach, rough: RoughFloor, demands: Demands, heads: Sequence[float] = (0.0,)
) -> LeastBed:
    """The lowest bed over a rough floor, its heights over the drain as it is.

    heads: each drain's height over the first [mm].
    """
    if isinstance(reach, SharedReach):
        reach = SharedReach(reach.reaches, tuple(head / demands.least_fall for head in heads))
    ways = water_ways(reach, rough)
    lifted = rough.height(ways.places) + demands.least_depth - demands.least_fall * ways.ways
    carried = _carried(lifted, *differences(ways, demands))
    rise = float(carried[ways.down < 0].max())
    rise = rise if rise > _ON_FLOOR else 0.0
    return LeastBed(ways, np.maximum(carried, rise) + demands.least_fall * ways.ways, rough, rise)


def differences(ways: Ways, demands: Demands) -> tuple[Index, Array]:
    """The limits as differences: pairs (k, 2) of places i, j, and w (k,) <= 0, for y_j >= y_i + w."""
    below = np.flatnonzero(ways.down >= 0)
    pairs = [np.column_stack([ways.down[below], below]), ways.twins, ways.twins[:, ::-1]]
    drops = [np.zeros(sum(map(len, pairs)))]
    if demands.most_fall is not None:
        both = np.vstack([ways.edges, ways.edges[:, ::-1]])
        steps = np.hypot(*(ways.places[both[:, 0]] - ways.places[both[:, 1]]).T)
        gain = demands.least_fall * (ways.ways[both[:, 0]] - ways.ways[both[:, 1]])
        pairs.append(both)
        drops.append(np.minimum(gain - demands.most_fall * steps, 0.0))
    return np.vstack(pairs), np.concatenate(drops)


def _carried(lifted: Array, pairs: Index, drops: Array) -> Array:
    """The least y that is at least `lifted` and keeps y_j >= y_i + w: all raised at once until none rises more."""
    order = np.argsort(pairs[:, 1], kind="stable")
    (begins, ends), drops = pairs[order].T, drops[order]
    firsts = np.flatnonzero(np.diff(ends, prepend=-1))
    carried, raised = lifted.copy(), ends[firsts]
    while len(firsts):
        through = np.maximum.reduceat(carried[begins] + drops, firsts)
        if (through <= carried[raised]).all():
            break
        carried[raised] = np.maximum(carried[raised], through)
    return carried


def water_ways(reach: Reach | SharedReach, rough: RoughFloor) -> Ways:
    """Places along the ways from walls, readings and, where ways part, all over the floor."""
    floor = reach.floor
    step = float(np.clip(floor.perimeter / _RAYS / 2, _LEAST_STEP, _MOST_STEP))
    step = max(step, floor.perimeter / _MOST_PLACES)
    tree = _Tree(reach, step)
    tree.add(np.vstack([along_ring(ring, step) for ring in floor.rings]))
    tree.add(_highest(reach, rough), behind=True)
    if reach.has_ridges:
        tree.add(grid_inside(floor.polygon, 2 * step))
    return tree.ways()


def _highest(reach: Reach | SharedReach, rough: RoughFloor) -> Array:
    on_floor = shapely.dwithin(reach.floor.polygon, shapely.points(rough.stations), _ON_FLOOR)
    places = rough.stations[on_floor]
    asked = rough.height(places) - _PER_WAY * reach.way(places)
    return np.asarray(places[np.argsort(-np.round(asked, 6), kind="stable")[:_MOST_READINGS]])


class _Tree:
    """Ways followed down to the flanges; all round a bend share its place."""

    def __init__(self, reach: Reach | SharedReach, step: float) -> None:
        self._reach, self._step = reach, step
        self._reaches, self._heads = reach.reaches, reach.heads
        self._places: list[Array] = []
        self._ways: list[Array] = []
        self._down: list[Index] = []
        self._count = 0
        self._bends: dict[tuple[int, int], int] = {}
        for k, one in enumerate(self._reaches):
            self._put(one.flange.centre[None], np.array([self._heads[k]]), -1)

    def _put(self, places: Array, ways: Array, down: int, firsts: "Index | int" = 0) -> int:
        """Adds places (n, 2), each the next one's way down, that of the firsts `down`; the last one's number."""
        numbers = np.arange(self._count - 1, self._count - 1 + len(places))
        numbers[firsts] = down
        self._places.append(places)
        self._ways.append(ways)
        self._down.append(numbers)
        self._count += len(places)
        return self._count - 1

    def add(self, starts: Array, *, behind: bool = False) -> None:
        """Adds the ways from places (k, 2); behind: also from the walls that drain over them."""
        if not len(starts):
            return
        total = [one.way(starts) + head for one, head in zip(self._reaches, self._heads, strict=True)]
        owners = np.argmin(np.round(total, _CALM), axis=0)  # on a ridge, noise does not decide
        for k, one in enumerate(self._reaches):
            mine = starts[owners == k]
            if len(mine):
                self._add(k, one, (mine, total[k][owners == k]), behind=behind)

    def _add(self, k: int, one: Reach, asked: tuple[Array, Array], *, behind: bool) -> None:
        starts, ways = asked
        through = np.full(len(starts), -1)
        best = one.straight(starts)
        for i, node in enumerate(one.nodes):
            longer = node.way + np.hypot(*(starts - node.place).T)
            better = np.flatnonzero(longer < best - _SAME)
            better = better[node.fan.sees(starts[better])] if len(better) else better
            best[better], through[better] = longer[better], i
        if not behind:
            parts = np.flatnonzero(np.diff(through)) + 1
            for legs in zip(*(np.split(each, parts) for each in (starts, ways, through)), strict=True):
                self._follow(k, one, legs[:2], int(legs[2][0]))
            return
        for start, way, i in zip(starts, ways, through.tolist(), strict=True):
            below = self._follow(k, one, (start[None], way[None]), i)
            foot = one.flange.foot(start[None])[0] if i < 0 else one.nodes[i].place
            self._climb(one, (start, float(way)), foot, below)

    def _climb(self, one: Reach, start: tuple[Array, float], foot: Array, below: int) -> None:
        place, way = start
        far = float(np.hypot(*(place - foot)))
        if far <= _SAME:
            return
        run = _to_wall(one.floor.polygon, place, (place - foot) / far)
        count = max(int(np.ceil(run / self._step - _NOISE)), 1)
        part = np.arange(1, count + 1) / count * run
        at, ways = place + (place - foot) / far * part[:, None], way + part
        other = (part <= _SAME) | (np.abs(self._reach.way(at) - ways) > _SAME)
        if other.any():  # from here on water takes another way
            at, ways = at[: other.argmax()], ways[: other.argmax()]
        if len(at):
            self._put(at, ways, below)

    def _follow(self, k: int, one: Reach, legs: tuple[Array, Array], bend: int) -> int:
        """Adds straight legs from places (n, 2) with ways (n,) to a bend, or the rim; the last one's number."""
        if bend < 0:
            feet, end, below = one.flange.foot(legs[0]), self._heads[k], k
        else:
            node = one.nodes[bend]
            feet, end, below = node.place[None], node.way + self._heads[k], self._bend(k, one, bend)
        runs = legs[1] - end
        far = runs > _SAME
        if not far.any():
            return below
        starts, runs, back = legs[0][far], runs[far], (feet - legs[0])[far]
        counts = np.maximum(np.ceil(runs / self._step - _NOISE), 1.0)
        # From the rim, where the way ends, or from one step past the bend.
        first = 0 if bend < 0 else 1
        lengths = counts.astype(np.intp) + 1 - first
        firsts = np.cumsum(lengths) - lengths
        own = np.repeat(np.arange(len(runs)), lengths)
        step = np.arange(len(own)) - firsts[own] + first
        left = runs[own] * (1 - step / counts[own]) / np.hypot(*back.T)[own]
        ways = end + runs[own] * step / counts[own]
        return self._put(starts[own] + back[own] * left[:, None], ways, -1 if bend < 0 else below, firsts)

    def _bend(self, k: int, one: Reach, i: int) -> int:
        if (k, i) not in self._bends:
            node = one.nodes[i]
            parent = next(
                (j for j, other in enumerate(one.nodes) if not node.is_direct and (other.place == node.before).all()),
                -1,
            )
            self._bends[k, i] = self._follow(k, one, (node.place[None], np.array([node.way + self._heads[k]])), parent)
        return self._bends[k, i]

    def ways(self) -> Ways:
        places, floor = np.concatenate(self._places), self._reach.floor
        return Ways(
            floor,
            places,
            np.concatenate(self._ways),
            np.concatenate(self._down),
            _triangles(floor.polygon, places),
            self._step,
        )


def _to_wall(polygon: object, place: Array, heading: Array) -> float:
    """How far it is straight on to the next wall [mm]; 0 on a wall with no floor beyond."""
    low, high = box_round(polygon)
    line = shapely.linestrings([place, place + 2 * float(np.hypot(*(high - low))) * heading])
    met = shapely.get_coordinates(shapely.intersection(line, shapely.boundary(polygon)))
    away = (met - place) @ heading
    away = away[away > _SAME]
    return float(away.min()) if len(away) else 0.0


def _triangles(polygon: object, places: Array) -> Index:
    """Triangles (t, 3) between the places on the floor; no noise decides how they are split."""
    calm = np.round(places, _CALM)
    firsts = np.sort(groups(*calm[::-1].T)[0])
    sites = calm[::-1][firsts]
    found = steady(sites, delaunay(sites))
    found = found[shapely.contains_xy(polygon, *sites[found].mean(axis=1).T)]
    return np.asarray((len(places) - 1 - firsts)[found])
