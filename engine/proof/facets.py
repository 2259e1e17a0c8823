"""Falls that hang on more than a strip's two ends: of valleys, of facets between them and the walls, and off ridges.

A hand sets strips' ends, the relays of valleys, and where ridges meet out on the floor; in between mud is pulled
straight. So each fall is as far out as what it hangs on is, by weights that its geometry gives: a valley by both its
ends, a line to the flange by where it starts, a facet on a wall by the strip there and by its point. Water runs down
that facet as it leans then, along the wall too: its fall is the steepest of its plane. Where a rulebook measures square
to walls the drop from the wall to the point counts over the square distance, and of a bed with valleys what stands at
the walls alone, as the plan tells its falls. A facet on a valley falls no less than the valley does.

A relay is set from the place below it with the level as far as that reaches, and beyond off the line: its error is a
share of its own and the rest of the lower place's, see `share`.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import shapely

from engine.bed.level_walls import LevelWalls
from engine.bed.parted_walls import PartedWalls
from engine.bed.surfaces import Bed
from engine.bed.valley.bed import ValleyWalls
from engine.bed.valley.slopes import Ruled
from engine.bed.valley_lines import valley_parts
from engine.distinct import groups
from engine.proof.falls import LEAST_RUN, lines_from, runs_to_drain, square_lines
from engine.proof.strips import ON_BORDER, Strips, between, share
from engine.records import result
from engine.types import Array, Index, Mask

_ONE_PLACE = 1e-6  # [mm]


class Facets(NamedTuple):
    """Falls (m,) by what they hang on (n,), strips' ends first, in shares of a hand's errors that are each one's own.

    starts (m, 2): where each is told at; rises and runs (m,) [mm]; weights (m, n): what each error lifts the rise by;
    aside (m, n): and what it lifts square to that, so that the whole rise is hypot(rise + weights e, aside e).
    """

    starts: Array
    rises: Array
    runs: Array
    weights: Array
    aside: Array

    def of(self, numbers: Index | Mask) -> Facets:
        """Some of the falls alone."""
        return Facets(*(column[numbers] for column in self))

    @property
    def spreads(self) -> Array:
        """How far off the rises are, in a hand's spreads (m,) [-]."""
        return np.sqrt((self.weights**2).sum(axis=1))

    def off(self, errors: Array) -> tuple[Array, Array]:
        """What errors (k, n) [mm] lift each rise by, and square to it, (k, m) each [mm]."""
        return errors @ self.weights.T, errors @ self.aside.T


def facets(bed: Bed, found: Strips, *, square: bool) -> Facets:
    """Those falls of a bed with such strips; none where there are neither valleys nor ridges between level walls.

    square: the rulebook measures fall square to the walls.
    """
    hung = _Hung.of(bed, found)
    parts = [_valley_bed(hung, part.drain, part.bed, square=square) for part in valley_parts(bed)]
    if isinstance(bed, PartedWalls):
        parts += [_off_ridges(hung, bed, number, square=square) for number in range(len(bed.beds))]
    whole = Facets(*(np.concatenate(columns) for columns in zip(_none(hung), *parts, strict=True)))
    long = whole.runs > LEAST_RUN
    return whole._replace(weights=whole.weights @ hung.mixed, aside=whole.aside @ hung.mixed).of(long)


def _none(hung: _Hung) -> Facets:
    nothing = np.empty((0, len(hung.mixed)))
    return Facets(np.empty((0, 2)), np.empty(0), np.empty(0), nothing, nothing)


@result
class _Hung:
    """What a hand sets (n,): strips' ends, then each bed's relays, then ridges' ends out on the floor.

    relays: the number of each drain's first relay; ends (k, 2): those ridges' ends, with the number of the first;
    ridges (r, 2, 2) [mm]; mixed (n, n): each one's error as a sum of errors of their own.
    """

    bed: Bed
    found: Strips
    relays: dict[int, int]
    ends: Array
    first_end: int
    ridges: Array
    mixed: Array

    @staticmethod
    def of(bed: Bed, found: Strips) -> _Hung:
        """What a hand sets for a bed with such strips."""
        count, relays, shares, below = len(found.tops), {}, [found.shares], [np.full(len(found.tops), -1)]
        for part in valley_parts(bed):
            relays[part.drain] = count
            set_from, apart = _set_from(part.bed)
            shares.append(share(apart))
            below.append(np.where(set_from > 0, count + set_from - 1, -1))
            count += len(apart)
        ridges = _ridges(bed)
        ends = _once(ridges.reshape(-1, 2))
        ends = ends[~_on_border(bed, ends)]
        shares.append(share(runs_to_drain(bed, ends)[0]))
        below.append(np.full(len(ends), -1))
        return _Hung(
            bed, found, relays, ends, count, ridges, _mixed(np.concatenate(shares), np.concatenate(below))
        )

    def at(self, points: Array) -> Array:
        """How the bed's height at points (k, 2) on borders and ridges hangs on what is set (k, n) [-]."""
        weights = np.zeros((len(points), len(self.mixed)))
        on = _on_border(self.bed, points)
        rows = np.flatnonzero(on)
        first, second, part, _ = between(self.bed.reach.floor.borders, self.found.places, points[rows])
        np.add.at(weights, (rows, first), 1 - part)
        np.add.at(weights, (rows, second), part)
        rows = np.flatnonzero(~on)
        if not rows.size:
            return weights
        lines = shapely.linestrings(self.ridges)
        nearest = shapely.distance(lines[:, None], shapely.points(points[rows])).argmin(axis=0)
        starts, ends = self.ridges[nearest].transpose(1, 0, 2)
        share_on = (np.hypot(*(points[rows] - starts).T) / np.hypot(*(ends - starts).T))[:, None]
        weights[rows] = (1 - share_on) * self._at_end(starts) + share_on * self._at_end(ends)
        return weights

    def _at_end(self, points: Array) -> Array:
        """The same at ends of ridges, out on the floor or on a border."""
        weights = np.zeros((len(points), len(self.mixed)))
        inner = ~_on_border(self.bed, points)
        weights[~inner] = self.at(points[~inner])
        if inner.any():
            own = np.hypot(*(points[inner][:, None] - self.ends).transpose(2, 0, 1)).argmin(axis=1)
            weights[np.flatnonzero(inner), self.first_end + own] = 1.0
        return weights


def _set_from(bed: ValleyWalls) -> tuple[Index, Array]:
    """For each relay of a bed the nearest lower place of the net, 0 for the drain, and how far off that is [mm]."""
    net = bed.net
    low, high = np.array(net.edges, dtype=np.intp).reshape(-1, 2).T
    runs = _valley_runs(bed, low, high)
    below = np.zeros(len(net.ways), dtype=np.intp)
    apart = np.full(len(net.ways), np.inf)
    for start, end, run in zip(low.tolist(), high.tolist(), runs.tolist(), strict=True):
        if run < apart[end]:
            below[end], apart[end] = start, run
    return below[1:], apart[1:]


def _valley_runs(bed: ValleyWalls, low: Index, high: Index) -> Array:
    """How long valleys between places of the net are, at the drain from the flange's edge on [mm]."""
    along = bed.net.places[high] - bed.net.places[low]
    runs = np.hypot(*along.T)
    rims = bed.reach.flange.rim(along / runs[:, None])
    return runs - np.where(low == 0, rims, 0.0)


def _mixed(shares: Array, below: Index) -> Array:
    """Each error as a sum of errors of their own (n, n): a share of its own, the rest of that of the place below."""
    mixed = np.diag(shares)
    done = below < 0
    while not done.all():
        ready = np.flatnonzero(~done & done[below])
        mixed[ready] += (1 - shares[ready])[:, None] * mixed[below[ready]]
        done[ready] = True
    return np.asarray(mixed)


def _ridges(bed: Bed) -> Array:
    """A bed's straight level lines out on the floor (r, 2, 2) [mm]: between its parts, and from walls to islands."""
    cuts = [np.array([cut]) for part in valley_parts(bed) for cut in part.bed.cuts]
    lines = [ridge.points for ridge in bed.ridges] if isinstance(bed, PartedWalls) else []
    pieces = [np.stack([line[:-1], line[1:]], axis=1) for line in lines]
    return np.concatenate([np.empty((0, 2, 2)), *cuts, *pieces])


def _once(points: Array) -> Array:
    return points[groups(*np.round(points, 3).T)[0]]


def _on_border(bed: Bed, points: Array) -> Mask:
    border = shapely.boundary(bed.reach.floor.polygon)
    return shapely.dwithin(border, shapely.points(points), ON_BORDER)


def _valley_bed(hung: _Hung, drain: int, bed: ValleyWalls, *, square: bool) -> Facets:
    """A valley bed's falls: those to the flange, those of the facets on walls, and unless square the valleys'."""
    corners = _at_corners(hung, drain, bed)
    mesh = bed.mesh
    judged = mesh.walls >= 0 if square else np.ones(len(mesh.walls), dtype=bool)
    level = (mesh.heights[:, 1:] == bed.wall_height).all(axis=1)
    rays = _rays(bed, corners, judged & mesh.at_drain)
    faces = _faces(bed, corners, judged & level & ~mesh.at_drain, square=square)
    parts = [rays, faces] if square else [rays, faces, _valleys(hung, drain, bed)]
    return Facets(*(np.concatenate(columns) for columns in zip(*parts, strict=True)))


def _at_corners(hung: _Hung, drain: int, bed: ValleyWalls) -> Array:
    """How the facets' corners hang on what is set (t, 3, n)."""
    points = bed.mesh.corners.reshape(-1, 2)
    away = np.hypot(*(points[:, None] - bed.net.places).transpose(2, 0, 1))
    place, is_relay = away.argmin(axis=1), away.min(axis=1) < _ONE_PLACE
    weights = np.zeros((len(points), len(hung.mixed)))
    relays = np.flatnonzero(is_relay & (place > 0))
    weights[relays, hung.relays[drain] + place[relays] - 1] = 1.0
    weights[~is_relay] = hung.at(points[~is_relay])
    return weights.reshape(*bed.mesh.corners.shape[:2], -1)


def _rays(bed: ValleyWalls, corners: Array, chosen: Mask) -> Facets:
    """Falls along lines from the far sides of facets at the drain to the flange's edge."""
    starts, ends = bed.mesh.corners[chosen, 1], bed.mesh.corners[chosen, 2]
    low, high = bed.mesh.heights[chosen, 1:].T
    ruled = Ruled.of(bed.reach.flange, starts, ends)
    parts, count = ruled.shares, ruled.shares.shape[1]
    places = starts[:, None] + parts[..., None] * (ends - starts)[:, None]
    weights = (1 - parts)[..., None] * corners[chosen, 1][:, None] + parts[..., None] * corners[chosen, 2][
        :, None
    ]
    rises = low[:, None] + parts * (high - low)[:, None]
    weights = weights.reshape(len(starts) * count, -1)
    return Facets(places.reshape(-1, 2), rises.ravel(), ruled.runs.ravel(), weights, np.zeros(weights.shape))


def _faces(bed: ValleyWalls, corners: Array, chosen: Mask, *, square: bool) -> Facets:
    """Falls of facets on walls, over their points' square distances from the walls."""
    point, start, end = (bed.mesh.corners[chosen, k] for k in range(3))
    low, first, last = (corners[chosen, k] for k in range(3))
    along = end - start
    length = np.hypot(*along.T)
    runs = 2 * bed.mesh.areas[chosen] / length
    part = (((point - start) * along).sum(axis=1) / length**2)[:, None]
    on_wall = np.clip(part, 0.0, 1.0)
    feet, part = start + on_wall * along, on_wall if square else part
    weights = (1 - part) * first + part * last - low
    aside = 0.0 if square else (runs / length)[:, None]
    rises = bed.wall_height - bed.mesh.heights[chosen, 0]
    return Facets(feet, rises, runs, weights, aside * (last - first))


def _valleys(hung: _Hung, drain: int, bed: ValleyWalls) -> Facets:
    """Falls along the valleys, told at their upper ends."""
    low, high = np.array(bed.net.edges, dtype=np.intp).reshape(-1, 2).T
    ways, rows = np.maximum(bed.net.ways, 0.0), np.arange(len(low))
    weights = np.zeros((len(low), len(hung.mixed)))
    weights[rows, hung.relays[drain] + high - 1] = 1.0
    upper = low > 0
    weights[rows[upper], hung.relays[drain] + low[upper] - 1] = -1.0
    rises = bed.valley_fall * (ways[high] - ways[low])
    runs = _valley_runs(bed, low, high)
    return Facets(bed.net.places[high], rises, runs, weights, np.zeros(weights.shape))


def _off_ridges(hung: _Hung, bed: PartedWalls, number: int, *, square: bool) -> Facets:
    """Falls from a part's ridges to its drain: from their ends, or from where the drain faces them."""
    own, part = bed.beds[number], bed.parts[number]
    if not isinstance(own, LevelWalls):
        return _none(hung)
    edges = part.reach.edges
    ends = np.vstack([edges.starts[part.is_ridge], edges.ends[part.is_ridge]])
    lines = square_lines(own) if square else lines_from(own, ends)
    lines = lines.of(~_on_border(bed, lines.starts)) if square else lines
    weights = hung.at(lines.starts)
    rises = np.full(len(lines.runs), own.wall_height)
    return Facets(lines.starts, rises, lines.runs, weights, np.zeros(weights.shape))
