"""How sure the depth is: reading steps, the line and unread floor, carried to every place.

The rough floor at a place, and its doubt, is a sum of readings with weights, a triangle's or beyond them the plane's.
Heights differ the more the farther apart: a difference's variance is roughness x distance (a linear variogram;
Matheron, Economic Geology 58, 1963). So that of a weighted sum against the true height is
roughness x (sum w h - 1/2 sum w w h), h the distances from the place and between stations.

The survey tells the roughness: how far each reading is off what the others foretell, less reading error, over the
distance, weighed with usual slabs (1/8 in under a 2 ft straightedge 19 times in 20; common practice, no source), as if
seen four times.

"Sure to" is twice the standard error: 19 times in 20, up or down alike. Mistakes are the odd readings' matter.
"""

from functools import cached_property, lru_cache
from typing import TypeAlias

import numpy as np
import shapely

from ..arrays import groups
from ..bed.depth import Depth
from ..bed.valley.sightlines import apart
from ..boxes import grid_inside
from ..job.model import Job
from ..records import Same, record, result
from ..survey.least_slip import LeastSlip, least_slip
from ..survey.mesh import Mesh, Sites
from ..survey.outline import FloorOutline
from ..survey.rough_floor import RoughFloor
from ..survey.spot import Spot
from ..survey.tin import circle_centre
from ..survey.typed_step import reading_error, reading_step
from ..types import Array

_Best: TypeAlias = tuple[Array, float] | None
_Ground: TypeAlias = tuple[Array, Array, Array]  # places, depths there, the flange's centre

SURE = 2.0  # standard errors that hold 19 times in 20
LINE_TILT = 3.175 / 9144.0  # [-] a laser is true to 1/8 in at 30 ft: makers' usual figure, from memory
USUAL_ROUGHNESS = 4 * (3.175 / 2) ** 2 / 609.6  # [mm] 1/8 in at the middle of 2 ft, 19 times in 20
_USUAL_WEIGHT = 4.0  # readings foretold that this is worth
ENOUGH = 0.79375  # [mm] 1/32 in: a reading narrowing the depth by less is not worth the walk
_NO_BETTER = 0.05  # [mm] of places so nearly alike the first: corners are easily found
_PLACES = 220  # about so many places of the floor are looked at
_FEW = (1, 2, 4, 8, 16)  # places counted on least, whose middles are asked
_SPARSE = 6  # fewer stations are enough only once places all over the floor were looked at,
_SPREAD = 12  # every so many of them
_MOST_DENSE = 120  # with more, the plane beyond is as good as known
_MOST_FORETOLD = 60
_NEAR = 24  # so many neighbours foretell a reading
_APART = 25.0  # [mm] a reading nearer to another tells nothing new
_RANK = 1e-9


@result
class Survey:
    """Stations with heights (n,), one reading's standard error, the floor's roughness; all [mm]."""

    mesh: Mesh
    heights: Array
    reading: float
    roughness: float

    def variance(self, points: Array, flange: Array) -> Array:
        """The variance of the rough floor's height over a flange at (2,), at points (k, 2) [mm2].

        A drop within its step and the line's lean within its tolerance are rectangular (JCGM 100:2008, 4.3.7). The
        flange's reading is one more.
        """
        noise, gaps = self.parts(points)
        lean = LINE_TILT * np.hypot(*(points - flange).T) / np.sqrt(3.0)
        return np.asarray((1.0 + noise) * self.reading**2 + lean**2 + self.roughness * gaps)

    def sure(self, points: Array, flange: Array) -> Array:
        """What the depth at points (k, 2) is sure to (k,) [mm], 19 times in 20."""
        return SURE * np.sqrt(self.variance(points, flange))

    def parts(self, points: Array) -> tuple[Array, Array]:
        """Sums over the weights of points (k, 2): of their squares (k,) [-], and with distances (k,) [mm]."""
        footing, stations = self.mesh.footing(points), self.mesh.stations
        if len(stations) > _MOST_DENSE or footing.is_inside:
            return _of_three(points, stations[footing.stations], footing.weights)
        dense = footing.shares(len(stations)) + self._leans.T @ footing.beyond
        gaps = (dense * (apart(stations, points) - apart(stations, stations) @ dense / 2)).sum(axis=0)
        return (dense * dense).sum(axis=0), np.maximum(gaps, 0.0)

    @cached_property
    def _leans(self) -> Array:
        """What each station's height adds to the least-squares plane's gradient (2, n) [1/mm]."""
        stations = self.mesh.stations
        return np.linalg.pinv(stations - stations.mean(axis=0), rcond=_RANK)

    def foretold(self, points: Array) -> Array:
        """The rough floor's heights (k,) [mm] at points (k, 2)."""
        return self.mesh.footing(points).heights(self.heights, self._leans @ (self.heights - self.heights.mean()))


def _of_three(points: Array, stations: Array, weights: Array) -> tuple[Array, Array]:
    away = np.hypot(*(stations - points).transpose(2, 0, 1))
    between = np.hypot(*(stations[:, None] - stations[None]).transpose(3, 0, 1, 2))
    gaps = (weights * away).sum(axis=0) - np.einsum("ik,ijk,jk->k", weights, between, weights) / 2
    return (weights * weights).sum(axis=0), np.maximum(gaps, 0.0)


def survey(floor: FloorOutline, places: Array, heights: Array, reading: float, roughness: float) -> Survey:
    """A survey of readings at places (r, 2) with heights (r,) [mm]; of several at one the mean."""
    first, owner = groups(*np.round(places, 6).T)
    sites = Sites(places[first], owner)
    means = sites.heights(-heights)
    mesh = Mesh(floor, sites.stations, sites.ring, sites.triangles(means))
    return Survey(mesh, means, reading, roughness)


def roughness(floor: FloorOutline, places: Array, heights: Array, reading: float) -> float:
    """How rough the floor is [mm]: a height difference's variance per distance."""
    count = len(places)
    seen, weight = _USUAL_WEIGHT * USUAL_ROUGHNESS, _USUAL_WEIGHT
    if count < 4:
        return seen / weight
    for i in np.linspace(0, count - 1, min(count, _MOST_FORETOLD)).astype(int).tolist():
        others = np.argsort(np.hypot(*(places - places[i]).T), kind="stable")[1 : _NEAR + 1]
        near = survey(floor, places[others], heights[others], reading, 0.0)
        noise, gap = near.parts(places[[i]])
        if gap[0] < _APART / 2:
            continue  # the same place read twice
        off = float(heights[i] - near.foretold(places[[i]])[0])
        seen += max(off**2 - (1.0 + float(noise[0])) * reading**2, 0.0) / float(gap[0])
        weight += 1.0
    return float(seen / weight)


@record
class NextReading:
    """The reading that narrows the depth most, and what the assured least depth gains [mm]."""

    x: float
    y: float
    gain: float


@record
class Sureness:
    """How sure the plan's depth is, 19 times in 20; all [mm].

    step: what drops were read to; roughness; sure, sure_most: what the least and the most depth are sure to; assured:
    how deep the bed is at least, and where; next: the reading that helps most, if any; slip: what mistake in one would
    show, None with too few to judge.
    """

    step: float
    roughness: float
    sure: float
    sure_most: float
    assured: Spot
    next: NextReading | None
    slip: LeastSlip | None

    @property
    def is_enough(self) -> bool:
        """Whether another reading is not worth taking."""
        return self.next is None or self.next.gain < ENOUGH


def surveyed(job: Job, rough: RoughFloor, stations: Array) -> Survey:
    """The job's readings, one at least, at stations (r, 2) as a survey."""
    return _surveyed(Same(job), Same(rough), np.ascontiguousarray(stations).tobytes())


@lru_cache(maxsize=2)
def _surveyed(job: Same[Job], rough: Same[RoughFloor], read: bytes) -> Survey:
    readings, stations, floor = job.it.readings, np.frombuffer(read).reshape(-1, 2), rough.it.floor
    heights, error = -np.array([reading.drop.value for reading in readings]), reading_error(readings, job.it.units)
    return Survey(rough.it.mesh, rough.it.heights, error, roughness(floor, stations, heights, error))


def sureness(job: Job, rough: RoughFloor, deep: Depth, flange: Array, stations: Array) -> Sureness:
    """How sure the depth over a rough floor is, from a flange at (2,), by readings at stations (r, 2), r >= 1."""
    found = surveyed(job, rough, stations)
    drops = [reading.drop for reading in job.readings]
    known = np.array([[spot.x, spot.y] for spot in (deep.least, deep.most)])
    floor = found.mesh.floor
    places = np.vstack([known, floor.corners, grid_inside(floor.polygon, float(np.sqrt(floor.area / _PLACES)))])
    depths = deep.gap(places)
    unsure = found.sure(places, flange)
    at = int(np.argmin(np.round(depths - unsure, 6)))
    assured = Spot.at(depths[at] - unsure[at], places[at])
    middles = map(floor.middle, range(len(floor.walls)))
    candidates = np.vstack([floor.corners, *middles, flange[None], _thinnest(floor, places, depths - unsure)])
    best = _next(found, (places, depths, flange), candidates)
    if len(found.heights) < _SPARSE and (best is None or best[1] < assured.value + ENOUGH):
        best = _next(found, (places, depths, flange), places[::_SPREAD], best, assured.value + ENOUGH)
    gain = best and NextReading(float(best[0][0]), float(best[0][1]), max(best[1] - assured.value, 0.0))
    slip = least_slip(stations, -np.array([drop.value for drop in drops]), drops, job.units)
    step = reading_step(drops, job.units)
    return Sureness(step, found.roughness, float(unsure[0]), float(unsure[1]), assured, gain, slip)


def _next(found: Survey, ground: _Ground, candidates: Array, best: _Best = None, bar: float = -np.inf) -> _Best:
    """The candidate (2,) whose reading, if as foretold, leaves the greatest assured least depth [mm].

    Tried are those that can leave `bar` [mm], and more than the best before.
    """
    places, depths, flange = ground
    stations = found.mesh.stations
    candidates = candidates[apart(candidates, stations).min(axis=1) >= _APART]
    most = _at_most(found, places, depths - found.sure(places, flange), candidates)
    for place, hoped in zip(candidates, most.tolist(), strict=True):
        if hoped < bar or (best is not None and hoped <= best[1] + _NO_BETTER):
            continue
        heights = np.append(found.heights, found.foretold(place[None]))
        more = survey(found.mesh.floor, np.vstack([stations, place]), heights, found.reading, found.roughness)
        assured = float((depths - SURE * np.sqrt(more.variance(places, flange))).min())
        if best is None or assured > best[1] + _NO_BETTER:
            best = place, assured
    return best


def _at_most(found: Survey, places: Array, assured: Array, candidates: Array) -> Array:
    """The most a reading at each candidate (k, 2) can leave (k,) [mm]: what is assured where it changes nothing.

    A station changes only triangles in whose circles it stands.
    """
    footing = found.mesh.footing(places)
    inside = ~footing.beyond.any(axis=0) & (footing.stations[0] != footing.stations[2])
    a, b, c = found.mesh.stations[footing.stations[:, inside]]
    middle = circle_centre((b - a).T, (c - a).T).T
    room = np.hypot(*middle.T) * (1 + _NO_BETTER) + _APART
    far = np.hypot(*(candidates[:, None] - a - middle).transpose(2, 0, 1)) > room
    return np.asarray(np.where(far, assured[inside], np.inf).min(axis=1, initial=np.inf))


def _thinnest(floor: FloorOutline, places: Array, assured: Array) -> Array:
    order = np.argsort(np.round(assured, 6), kind="stable")
    middles = np.array([places[order[:count]].mean(axis=0) for count in _FEW])
    return np.asarray(middles[shapely.intersects_xy(floor.polygon, *middles.T)])
