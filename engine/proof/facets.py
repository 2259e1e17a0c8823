"""Falls that hang on more than a strip's two ends: of valleys, of facets beside them, and off ridges.

A hand sets strips' ends, valleys' relays and ridges' meeting points; between them mud is pulled straight. So a fall is
as far out as what it hangs on: a valley by both ends, a line to the flange by its start, a facet on a wall by the strip
there and its point, at its plane's steepest. Where a rulebook measures square to walls the drop from wall to point
counts over the square distance, and with valleys only what stands at walls. A facet on a valley falls no less than it.

A place's share of a hand's error is by its way to the drain (`share`); of two within a level's reach one is set from
the other, and their fall is out by less.
"""

from typing import NamedTuple

import numpy as np
import shapely

from ..arrays import groups
from ..bed.level_walls import LevelWalls
from ..bed.parted_walls import PartedWalls
from ..bed.parts import Part
from ..bed.surfaces import Bed, valley_parts
from ..bed.valley.bed import ValleyWalls
from ..bed.valley.sightlines import apart
from ..bed.valley.slopes import Ruled
from ..records import result
from ..types import Array, Index, Mask
from .falls import LEAST_RUN, lines_from, on_border, runs_to_drain, square_lines
from .strips import ON_BORDER, Strips, between, share

_ONE_PLACE = 1e-3  # [mm]
_LEAST_SPREAD = 1e-12  # [-]


class Facets(NamedTuple):
    """Falls (m,) by what they hang on (n,), strips' ends first, in shares of a hand's own error at each.

    starts (m, 2): where each is told; rises and runs (m,) [mm]; weights (m, n): what each error lifts the rise by;
    aside (m, n): and square to that: the whole rise is hypot(rise + weights e, aside e).
    """

    starts: Array
    rises: Array
    runs: Array
    weights: Array
    aside: Array

    def of(self, numbers: "Index | Mask") -> "Facets":
        """Some of the falls alone."""
        return Facets(*(column[numbers] for column in self))

    @property
    def spreads(self) -> Array:
        """How far off the rises are, in a hand's spreads (m,) [-]."""
        return np.asarray(np.sqrt((self.weights**2).sum(axis=1)))


def facets(bed: Bed, found: Strips, *, square: bool) -> Facets:
    """Those falls of a bed with such strips; none without valleys or ridges between level walls.

    square: fall is measured square to walls.
    """
    hung = _hung(bed, found)
    none = _plain(np.empty((0, 2)), np.empty(0), np.empty(0), np.empty((0, len(hung.shares))))
    parts = [none, *(_valley_bed(hung, part.bed, square=square) for part in valley_parts(bed))]
    if isinstance(bed, PartedWalls):
        parts += [
            _off_ridges(hung, own, part, square=square)
            for own, part in zip(bed.beds, bed.parts, strict=True)
            if isinstance(own, LevelWalls)
        ]
    whole = _joined(parts)
    whole = whole.of(whole.runs > LEAST_RUN)
    whole = whole._replace(weights=whole.weights * hung.shares, aside=whole.aside * hung.shares)
    levelled = np.sqrt(2.0) * share(whole.runs) / np.maximum(whole.spreads, _LEAST_SPREAD)
    part = np.minimum(levelled, 1.0)[:, None]
    return whole._replace(weights=part * whole.weights, aside=part * whole.aside)


def _plain(starts: Array, rises: Array, runs: Array, weights: Array) -> Facets:
    return Facets(starts, rises, runs, weights, np.zeros(weights.shape))


def _joined(parts: list[Facets]) -> Facets:
    return Facets(*(np.concatenate(columns) for columns in zip(*parts, strict=True)))


@result
class _Hung:
    """What a hand sets (n,): strips' ends, then at places (p, 2): drains and relays, and ridges' ends on the floor.

    ridges (r, 2, 2); shares (n,): how much of a hand's error each has.
    """

    bed: Bed
    found: Strips
    places: Array
    ridges: Array
    shares: Array

    def at(self, points: Array) -> Array:
        """How the bed's height at points (k, 2) hangs on what is set (k, n) [-]."""
        weights = np.zeros((len(points), len(self.shares)))
        away = apart(points, self.places)
        is_set = (away < _ONE_PLACE).any(axis=1)
        if is_set.any():
            weights[is_set, len(self.found.tops) + away[is_set].argmin(axis=1)] = 1.0
        on = on_border(self.bed, points, ON_BORDER) & ~is_set
        first, second, part, _ = between(self.bed.reach.floor.borders, self.found.places, points[on])
        rows = np.flatnonzero(on)
        weights[rows, first] = 1 - part
        weights[rows, second] += part
        rows = np.flatnonzero(~on & ~is_set)
        if rows.size:
            lines = shapely.linestrings(self.ridges)
            nearest = shapely.distance(lines[:, None], shapely.points(points[rows])).argmin(axis=0)
            starts, ends = self.ridges[nearest].transpose(1, 0, 2)
            part = np.hypot(*(points[rows] - starts).T) / np.hypot(*(ends - starts).T)
            weights[rows] = _part_way(part[:, None], self.at(starts), self.at(ends))
        return weights


def _part_way(part: Array, start: Array, end: Array) -> Array:
    return start + part * (end - start)


def _hung(bed: Bed, found: Strips) -> _Hung:
    ridges = _ridges(bed)
    ends = ridges.reshape(-1, 2)[groups(*np.round(ridges.reshape(-1, 2), 3).T)[0]]
    ends = ends[~on_border(bed, ends, ON_BORDER)]
    nets = [part.bed.net for part in valley_parts(bed)]
    ways = np.concatenate([*(net.ways for net in nets), runs_to_drain(bed, ends)[0]])
    places = np.concatenate([*(net.places for net in nets), ends])
    return _Hung(bed, found, places, ridges, np.append(found.shares, share(ways)))


def _ridges(bed: Bed) -> Array:
    cuts = [np.array([cut]) for part in valley_parts(bed) for cut in part.bed.cuts]
    lines = [ridge.points for ridge in bed.ridges] if isinstance(bed, PartedWalls) else []
    pieces = [np.stack([line[:-1], line[1:]], axis=1) for line in lines]
    return np.concatenate([np.empty((0, 2, 2)), *cuts, *pieces])


def _valley_bed(hung: _Hung, bed: ValleyWalls, *, square: bool) -> Facets:
    mesh = bed.mesh
    corners = hung.at(mesh.corners.reshape(-1, 2)).reshape(len(mesh.areas), 3, -1)
    judged = (mesh.walls >= 0) | (not square)
    level = (mesh.heights[:, 1:] == bed.wall_height).all(axis=1)
    rays = _rays(bed, corners, judged & mesh.at_drain)
    faces = _faces(bed, corners, judged & level & ~mesh.at_drain, square=square)
    return _joined([rays, faces] if square else [rays, faces, _valleys(hung, bed)])


def _rays(bed: ValleyWalls, corners: Array, chosen: Mask) -> Facets:
    starts, ends = bed.mesh.corners[chosen, 1], bed.mesh.corners[chosen, 2]
    ruled = Ruled.of(bed.reach.flange, starts, ends)
    rows, columns = np.nonzero(ruled.runs > LEAST_RUN)
    part, (low, high) = ruled.shares[rows, columns], bed.mesh.heights[chosen, 1:][rows].T
    return _plain(
        _part_way(part[:, None], starts[rows], ends[rows]),
        _part_way(part, low, high),
        ruled.runs[rows, columns],
        _part_way(part[:, None], corners[chosen, 1][rows], corners[chosen, 2][rows]),
    )


def _faces(bed: ValleyWalls, corners: Array, chosen: Mask, *, square: bool) -> Facets:
    point, start, end = (bed.mesh.corners[chosen, k] for k in range(3))
    low, first, last = (corners[chosen, k] for k in range(3))
    along = end - start
    length = np.hypot(*along.T)
    runs = 2 * bed.mesh.areas[chosen] / length
    part = (((point - start) * along).sum(axis=1) / length**2)[:, None]
    on_wall = np.clip(part, 0.0, 1.0)
    weights = _part_way(on_wall if square else part, first, last) - low
    aside = 0.0 if square else (runs / length)[:, None]
    rises = bed.wall_height - bed.mesh.heights[chosen, 0]
    return Facets(_part_way(on_wall, start, end), rises, runs, weights, aside * (last - first))


def _valleys(hung: _Hung, bed: ValleyWalls) -> Facets:
    low, high = np.array(bed.net.edges, dtype=np.intp).reshape(-1, 2).T
    places, ways = bed.net.places, np.maximum(bed.net.ways, 0.0)
    runs = np.where(low == 0, bed.reach.flange.runs(places[high]), np.hypot(*(places[high] - places[low]).T))
    rises = bed.valley_fall * (ways[high] - ways[low])
    return _plain(places[high], rises, runs, hung.at(places[high]) - hung.at(places[low]))


def _off_ridges(hung: _Hung, bed: LevelWalls, part: Part, *, square: bool) -> Facets:
    edges = part.reach.edges
    ends = np.vstack([edges.starts[part.is_ridge], edges.ends[part.is_ridge]])
    lines = square_lines(bed) if square else lines_from(bed, ends)
    lines = lines.of(~on_border(hung.bed, lines.starts, ON_BORDER)) if square else lines
    return _plain(lines.starts, np.full(len(lines.runs), bed.wall_height), lines.runs, hung.at(lines.starts))
