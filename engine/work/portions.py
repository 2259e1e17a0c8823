"""Portions: parts of the floor packed one after the other."""

import math
from collections.abc import Iterator, Sequence
from functools import cached_property, lru_cache
from itertools import pairwise

import numpy as np
import shapely

from ..arrays import distinct
from ..bed.depth import Gap
from ..bed.flange import Flange
from ..bed.quadrature import areas
from ..bed.reach import Reach
from ..job.model import DrainKind
from ..quantities import INCH, Units
from ..records import record, result
from ..survey.outline import FloorOutline
from ..types import Array, Index, Shape
from . import practice
from .site import Site
from .triangles import Looks, floor_triangles, quarters, split, summed

_STEP = Units.pair(INCH, 10.0)  # [mm] portions end at whole steps from the way out
_SILL = 1e-6  # [mm] the width of the line that ways out are measured to
_AT_CORNER = 1e-6  # [mm]
_MOST_QUARTERINGS = 4
_MOST_SILLS = 16  # of one curved wall
_LEVELS = 65  # at which the area nearer the way out is asked


@result
class Portion:
    """A part of the floor, in the order of packing from 1.

    near, far: how far from the way out, walked on the floor [mm]; corners: the outline's on it; area [mm2]; volume,
    upper: of the planned bed on it, and of the one over a liner [mm3]; triangles: (t, 3, 2) [mm].
    """

    number: int
    near: float
    far: float
    corners: tuple[str, ...]
    area: float
    volume: float
    upper: float
    triangles: Array

    @property
    def shape(self) -> Shape:
        """The portion as one shapely geometry."""
        return shapely.union_all(shapely.polygons(self.triangles))


@record
class Portions:
    """The portions, far ones first; way_out: the edges the floor is left over.

    is_assumed: without a curb or an open edge the longest wall is taken.
    """

    way_out: tuple[str, ...]
    is_assumed: bool
    parts: tuple[Portion, ...]


def portions(site: Site, most: float) -> Portions:
    """The floor in portions of about equal area, whose beds take little more than `most` [mm3].

    A third of the floor at a time, less where that passes `most`, between lines of one distance to the way out, round
    corners, straight within triangles. Volumes are sure to 0.1 %; together they are the bed's.
    """
    out = site.thresholds or (int(np.argmax(site.floor.lengths)),)
    volume = max(site.depth.volume, site.floor.area * site.upper_bed)
    count = min(max(practice.LEAST_PORTIONS, math.ceil(volume / most - 1e-9)), practice.MOST_PORTIONS)
    ground = _ground(site.floor, out, _STEP[site.units], count)
    return Portions(tuple(site.floor.walls[i] for i in out), not site.thresholds, tuple(_parts(site, ground)))


@result
class _Ground:
    """A floor in portions from the way out on, whatever lies on it.

    looks: its triangles (t, 3, 2); owners (t,): each one's portion; bounds: how near and far each lies [mm]; corners:
    the outline's on each; sizes [mm2].
    """

    looks: Looks
    owners: Index
    bounds: tuple[tuple[float, float], ...]
    corners: tuple[tuple[str, ...], ...]
    sizes: tuple[float, ...]

    @cached_property
    def triangles(self) -> tuple[Array, ...]:
        return tuple(self.looks.triangles[self.owners == k] for k in range(len(self.bounds)))


@lru_cache(maxsize=4)
def _ground(floor: FloorOutline, out: tuple[int, ...], step: float, count: int) -> _Ground:
    """A floor in about `count` portions of equal area, bounded at whole steps [mm] from the ways out."""
    reaches = [Reach(floor, sill) for wall in out for sill in _sills(floor, wall)]
    triangles, ways = _with_ways(reaches, floor_triangles(floor.polygon), step)
    cuts = _cuts(triangles, ways, count, step)
    triangles, ways = split(triangles, ways, cuts)
    looks, owners = Looks(triangles), np.searchsorted(cuts, ways.mean(axis=1))
    found = np.bincount(owners, weights=looks.areas, minlength=len(cuts) + 1)
    at = np.searchsorted(cuts, _ways(reaches, floor.corners) - _AT_CORNER).tolist()
    names = [tuple(name for name, own in zip(floor.names, at, strict=True) if own == k) for k in range(len(found))]
    sizes = found * (floor.area / float(found.sum()))
    bounds = pairwise([0.0, *cuts.tolist(), float(ways.max())])
    return _Ground(looks, owners, tuple(bounds), tuple(names), tuple(sizes.tolist()))


def _ways(reaches: Sequence[Reach], points: Array) -> Array:
    """How far points (k, 2) are from the nearest way out, walked on the floor (k,) [mm].

    No way is shorter than the straight: sills are asked, nearest first, while they might be nearer.
    """
    least = np.array([reach.flange.distance(points) for reach in reaches])
    ways, rows = np.full(len(points), np.inf), np.arange(len(points))
    for nth in np.argsort(least, axis=0, kind="stable"):
        rows = rows[least[nth[rows], rows] < ways[rows]]
        for sill in distinct(nth[rows]).tolist():
            own = rows[nth[rows] == sill]
            ways[own] = np.minimum(ways[own], reaches[sill].way(points[own]))
    return ways


def _with_ways(reaches: Sequence[Reach], triangles: Array, step: float) -> tuple[Array, Array]:
    """Triangles (t, 3, 2), quartered where ways bend over a step, and their corners' ways (t, 3)."""
    ways = _ways(reaches, triangles.reshape(-1, 2)).reshape(-1, 3)
    for _ in range(_MOST_QUARTERINGS):
        middles = (triangles + np.roll(triangles, -1, axis=1)) / 2
        between = _ways(reaches, middles.reshape(-1, 2)).reshape(-1, 3)
        bent = (np.abs(between - (ways + np.roll(ways, -1, axis=1)) / 2) > step).any(axis=1)
        if not bent.any():
            break
        finer = quarters(triangles[bent], middles[bent])
        finer_ways = quarters(ways[bent], between[bent])
        triangles = np.concatenate([triangles[~bent], finer])
        ways = np.concatenate([ways[~bent], finer_ways])
    return triangles, ways


def _sills(floor: FloorOutline, wall: int) -> Iterator[Flange]:
    """An edge as what ways lead to: channels nearly without width along its sides.

    Chords of a far bowed wall are taken as one, on the floor and within half a step of it.
    """
    sides = np.flatnonzero(floor.sides.walls == wall).tolist()
    arc = floor.arcs[wall]
    together = 1 if arc is None or arc.rise < 0 else math.ceil(len(sides) / _MOST_SILLS)
    for k in range(0, len(sides), together):
        start, end = floor.sides.starts[sides[k]], floor.sides.ends[sides[k : k + together][-1]]
        length = float(np.hypot(*(end - start)))
        along = (end - start) / length
        left = np.array([-along[1], along[0]])
        inward = left if floor.is_counter_clockwise else -left
        yield Flange(DrainKind.CHANNEL, (start + end) / 2 + inward * _SILL / 2, _SILL, along, length)


def _cuts(triangles: Array, ways: Array, count: int, step: float) -> Array:
    levels = np.linspace(0.0, float(ways.max()), _LEVELS)
    reached = _share_below(levels[:, None], *np.sort(ways, axis=1).T) @ areas(triangles)
    wanted = reached[-1] * np.arange(1, count) / count
    found = distinct(np.round(np.interp(wanted, reached, levels) / step)) * step
    return np.asarray(found[(found > 0) & (found < ways.max())])


def _share_below(level: Array, low: Array, middle: Array, high: Array) -> Array:
    tiny = np.finfo(float).tiny
    rising = np.clip(level, low, middle) - low
    falling = high - np.clip(level, middle, high)
    under = rising**2 / np.maximum((middle - low) * (high - low), tiny)
    over = falling**2 / np.maximum((high - middle) * (high - low), tiny)
    return np.where(level >= high, 1.0, np.where(level >= middle, 1.0 - over, np.where(level > low, under, 0.0)))


def _parts(site: Site, ground: _Ground) -> Iterator[Portion]:
    gap, count = Gap(site.bed, site.rough), len(ground.bounds)
    volumes = summed(lambda places: np.maximum(gap.standing(places), 0.0), ground.looks, ground.owners, count)
    total = float(volumes.sum())
    if total > 0:
        volumes = volumes * (site.depth.volume / total)
    for k in reversed(range(count)):
        (near, far), size = ground.bounds[k], ground.sizes[k]
        yield Portion(
            number=count - k,
            near=near,
            far=far,
            corners=ground.corners[k],
            area=size,
            volume=float(volumes[k]),
            upper=size * site.upper_bed,
            triangles=ground.triangles[k],
        )
