"""Even fall: the bed rises at one fall along water's way."""

from collections.abc import Callable
from functools import cached_property

import numpy as np

from ..job.model import BedShape
from ..records import result
from ..survey.spot import Spot
from ..types import Array
from .falls import OneFall
from .quadrature import PerRadian, over_floor, over_sectors
from .reach import Node, Reach, SharedReach, taut
from .sight import Beam, Fan
from .zoom import KINKED, extremes

_TURN = 2 * np.pi


@result
class EvenFall(OneFall):
    """A bed at height fall x shortest way to the nearest flange; fall [-]; any simple outline with islands."""

    reach: Reach | SharedReach
    fall: float

    shape = BedShape.EVEN_FALL

    @cached_property
    def farthest(self) -> Spot:
        """The longest way along the walls [mm], with its place.

        At a corner with one drain and no islands; else anywhere along a wall.
        """
        if not self.reach.has_ridges:
            corners = self.reach.floor.ring
            ways = self.reach.way(corners)
            at = int(ways.argmax())
            return Spot.at(ways[at], corners[at])
        return self._most(self.reach.way)

    @cached_property
    def longest(self) -> Spot:
        """The longest way from a wall to its own drain [mm], with its place."""
        reach = self.reach
        if isinstance(reach, SharedReach) and any(reach.heads):
            return self._most(lambda points: reach.runs(points)[0])
        return self.farthest

    def _most(self, ways: Callable[[Array], Array]) -> Spot:
        found = extremes(ways, self.reach.edges.starts, self.reach.edges.ends, rounds=KINKED)
        return Spot.at(found.most, found.most_at)

    def height(self, points: Array) -> Array:
        """The height over the flange (k,) [mm] at points (k, 2) on the floor."""
        return self.fall * self.reach.way(points)

    @cached_property
    def integral(self) -> float:
        """The height over the flange, summed over the floor [mm3].

        With one drain and no islands each place has one taut way: summed along rays over what flange and bends see
        behind them. Elsewhere parts meet in curves: summed over triangles.
        """
        if isinstance(self.reach, SharedReach) or self.reach.has_ridges:
            return over_floor(self.reach.floor.polygon, self.height)
        from_bends = sum(behind(node) for node in self.reach.nodes)
        return self.fall * (_from_flange(self.reach) + from_bends)


def _from_flange(reach: Reach) -> float:
    flange = reach.flange
    if flange.is_round:
        rim = flange.half
        return _sweep(reach.fan, 0.0, _TURN, lambda far, _: (far**3 - rim**3) / 3 - rim * (far**2 - rim**2) / 2)
    total = sum(_off_side(beam) for beam in reach.beams)
    heading = float(np.arctan2(*flange.axis[::-1]))
    for k, fan in enumerate(reach.corner_fans):
        total += _sweep(fan, heading + np.pi + k * np.pi / 2, np.pi / 2, lambda far, _: far**3 / 3)
    return total


def _off_side(beam: Beam) -> float:
    """The straight way summed over what a flange's side sees square off it [mm3]: h2 / 2 along the side."""
    edges, met = beam.edges, beam.met
    ends = []
    for keys in (beam.keys[:-1], beam.keys[1:]):
        points = beam.start + keys[:, None] * beam.along
        ends.append(edges.depth(points, met) / -(edges.inward[met] @ beam.square))
    low, high = ends
    return float(((low * low + low * high + high * high) / 6 * np.diff(beam.keys)).sum())


def behind(node: Node) -> float:
    """The way summed over the floor reached by bending round a node [mm3]."""
    way = node.way
    return _sweep(node.fan, *taut(node), lambda far, _: way * far**2 / 2 + far**3 / 3)


def hidden_area(node: Node) -> float:
    """The floor reached by bending round a node [mm2]."""
    return _sweep(node.fan, *taut(node), lambda far, _: far**2 / 2)


def _sweep(fan: Fan, start: float, width: float, per_radian: PerRadian) -> float:
    keys, met = fan.between(start, width)
    if len(keys) < 2:
        return 0.0
    seen = met >= 0
    starts, ends = (
        fan.edges.hits(met[seen], fan.source, np.array([np.cos(at), np.sin(at)]).T)
        for at in (keys[:-1][seen] + start, keys[1:][seen] + start)
    )
    return over_sectors(fan.source, starts, ends, per_radian)
