"""Level walls: the bed falls straight from walls equally high to the flange."""

from dataclasses import replace
from functools import cached_property

import numpy as np

from ..arrays import cross
from ..job.model import BedShape
from ..records import result
from ..survey.spot import Spot
from ..types import Array
from .falls import ManyFalls
from .quadrature import over_sectors
from .reach import Reach
from .zoom import extremes

_SAMPLES = np.linspace(0.0, 1.0, 5)
LEAST_RUN = 1.0  # [mm] walls whose line comes nearer to the rim, or crosses it, are judged by this run
_ROOM = 1.5  # for what lies between samples


@result
class Runs:
    """The runs from the flange edge to the walls: longest and shortest, with the wall's place [mm].

    stretches: pieces of wall (starts, ends), (k, 2) each, on which the run is smooth.
    """

    longest: Spot
    shortest: Spot
    stretches: tuple[Array, Array]


@result
class LevelWalls(ManyFalls):
    """A bed that is 0 on the flange, `wall_height` [mm] at every wall, straight from flange edge to wall.

    Valid where the flange's centre sees the whole floor.
    """

    reach: Reach
    wall_height: float
    runs: Runs

    shape = BedShape.LEVEL_WALLS

    @property
    def longest(self) -> Spot:
        """The longest run [mm], with its wall's place."""
        return self.runs.longest

    @property
    def least_fall_at(self) -> Spot:
        """The least fall [-], with its wall's place."""
        return replace(self.longest, value=self.wall_height / self.longest_run)

    @property
    def most_fall_at(self) -> Spot:
        """The most fall [-], with its wall's place."""
        return replace(self.runs.shortest, value=self.wall_height / self.runs.shortest.value)

    @cached_property
    def steepest(self) -> float:
        """A bound on the surface's slope in any direction [-].

        Along a line the slope is G = H / (R - r); square to it, from G tan b at the rim to G tan w at the wall, b and w
        the line's angles off their squares. Sampled along each stretch, with room.
        """
        flange = self.reach.flange
        starts, ends = self.runs.stretches
        points = starts[:, None] + _SAMPLES[:, None] * (ends - starts)[:, None]
        along = (ends - starts) / np.hypot(*(ends - starts).T)[:, None]
        offset = points - flange.centre
        far = np.hypot(offset[..., 0], offset[..., 1])
        square = np.abs(cross(offset, along[:, None]))
        rim = flange.rim(offset / far[..., None])
        lean = np.maximum(far / square, rim / flange.halves.min())
        return float(_ROOM * (self.wall_height / (far - rim) * lean).max())

    @cached_property
    def _ways(self) -> tuple[Array, Array]:
        """Per edge, what of the way to its line is left at x: x @ slopes (2, e) - rests (e,) [-]."""
        edges, distances = self.reach.edges, self.reach.offs
        return edges.inward.T / distances, edges.offset / distances

    def _part(self, points: Array) -> Array:
        slopes, rests = self._ways
        if self.reach.is_open:  # a ray meets first the wall it is farthest on the way to
            return np.asarray(1.0 - (slopes.T @ points.T - rests[:, None]).min(axis=0))
        fan = self.reach.fan
        offset = points - fan.source
        met = fan.met[fan.gap(np.arctan2(offset[:, 1], offset[:, 0]))]
        x, y = slopes[:, met]
        return np.asarray(1.0 - (points[:, 0] * x + points[:, 1] * y - rests[met]))

    def height(self, points: Array) -> Array:
        """The height over the flange (k,) [mm] at points (k, 2) on the floor.

        With u the part of the way from the centre to the wall's line and v the part from the rim, along the point's
        ray: z = H u (v - 1) / (v - u), which is H (rho - r) / (R - r); on the flange v counts as 1.
        """
        part = self._part(points)
        stretch = np.maximum(self.reach.flange.stretch(points), 1.0)
        return self.wall_height * part * (stretch - 1.0) / (stretch - part)

    @cached_property
    def integral(self) -> float:
        """The height over the flange, summed over the floor [mm3].

        Straight along a ray from r to R, a sector holds H (R - r)(2 R + r) / 6 a radian.
        """
        flange = self.reach.flange

        def per_radian(far: Array, rays: Array) -> Array:
            rim = flange.rim(rays)
            return (far - rim) * (2 * far + rim) / 6

        return self.wall_height * over_sectors(flange.centre, *self.runs.stretches, per_radian)


def runs(reach: Reach, *, square: bool) -> Runs:
    """The runs that fall is judged over: along every line, or only square to each wall.

    A line's run is |x - c| less the rim's distance along it. Valid where the centre sees the whole floor.
    """
    stretches = _stretches(reach)
    flange = reach.flange
    if square:
        return _runs(np.maximum(reach.offs - flange.rim(-reach.edges.inward), LEAST_RUN), facing(reach), stretches)
    if flange.is_round:  # the run only turns at the centre's feet, where stretches end already
        ends = np.concatenate(stretches)
        return _runs(flange.runs(ends), ends, stretches)
    found = extremes(flange.runs, *stretches)
    return Runs(Spot.at(found.most, found.most_at), Spot.at(found.least, found.least_at), stretches)


def _runs(values: Array, places: Array, stretches: tuple[Array, Array]) -> Runs:
    most, least = int(values.argmax()), int(values.argmin())
    return Runs(Spot.at(values[most], places[most]), Spot.at(values[least], places[least]), stretches)


def _stretches(reach: Reach) -> tuple[Array, Array]:
    edges = reach.edges
    cuts = [_foot_parts(reach)]
    if not reach.flange.is_round:
        centre = reach.flange.centre
        cuts += [ray_parts(edges.starts - centre, edges.along, corner - centre) for corner in reach.flange.corners]
    parts = np.array([np.zeros(len(edges.starts)), *cuts, np.ones(len(edges.starts))]).T
    parts.sort(axis=1)
    points = edges.starts[:, None] + parts[..., None] * edges.along[:, None]
    starts, ends = points[:, :-1].reshape(-1, 2), points[:, 1:].reshape(-1, 2)
    long = np.hypot(*(ends - starts).T) > 1e-9
    return starts[long], ends[long]


def _foot_parts(reach: Reach) -> Array:
    return np.clip(reach.edges.parts(reach.flange.centre), 0.0, 1.0)


def facing(reach: Reach) -> Array:
    """Where each edge comes nearest to the flange's centre (e, 2)."""
    return reach.edges.starts + _foot_parts(reach)[:, None] * reach.edges.along


def ray_parts(offset: Array, along: Array, ray: Array) -> Array:
    """At which part (k,) [-] of segments, starting `offset` off it, a ray (2,) from a centre meets them, 0 for none."""
    turn = cross(ray, along)
    with np.errstate(divide="ignore", invalid="ignore"):
        part, ahead = cross(offset, ray) / turn, cross(offset, along) / turn > 0
    return np.where(ahead & (part > 0) & (part < 1), part, 0.0)
