"""Parted walls: level walls round several drains, or why there are none."""

from collections.abc import Callable
from dataclasses import replace
from functools import cached_property
from typing import NamedTuple

import numpy as np
import shapely

from ..job.model import BedShape
from ..phrases import phrase
from ..quantities import round_up
from ..records import result
from ..survey.spot import Needs, Spot
from ..types import Array, Index
from .falls import ManyFalls, Terms
from .hidden import Hidden, hidden_part
from .level_walls import LevelWalls, runs
from .parts import Part, Ridge, divided, hiding_parts
from .reach import SharedReach
from .valley.bed import ValleyWalls

_BEYOND = 1e-3  # [mm] a step over a ridge
_TOO_NEAR = Needs(
    "drains[1].at",
    phrase("the drains stand too near each other for a ridge between them: move them apart, or leave one out"),
)


@result
class PartedWalls(ManyFalls):
    """A bed at `wall_height` [mm] along every wall and ridge, straight from each flange's edge to both.

    parts: the drains' parts of the floor; beds: level walls over each, with valleys where its drain does not see it
    whole; heads: each drain's height over the first [mm], as wall_height is.
    """

    reach: SharedReach
    parts: tuple[Part, ...]
    beds: tuple[LevelWalls | ValleyWalls, ...]
    heads: tuple[float, ...]
    wall_height: float

    shape = BedShape.LEVEL_WALLS

    @cached_property
    def ridges(self) -> tuple[Ridge, ...]:
        """The ridges between the parts, each once, level at the wall height."""
        found = []
        for number, part in enumerate(self.parts):
            edges = part.reach.edges
            across = (edges.starts + edges.ends) / 2 - _BEYOND * edges.inward
            for edge in np.flatnonzero(part.is_ridge).tolist():
                beyond = int(self.owners(across[edge, None])[0])
                if number < beyond:
                    line = np.array([edges.starts[edge], edges.ends[edge]])
                    found.append(Ridge((number, beyond), line, np.full(2, self.wall_height)))
        return tuple(found)

    @cached_property
    def least_fall_at(self) -> Spot:
        """The least fall over all runs [-], with its place on a wall or ridge."""
        return min((bed.least_fall_at for bed in self.beds), key=lambda spot: spot.value)

    @cached_property
    def most_fall_at(self) -> Spot:
        """The most fall over all runs [-], with its place on a wall or ridge."""
        return max((bed.most_fall_at for bed in self.beds), key=lambda spot: spot.value)

    @property
    def farthest_reaching(self) -> LevelWalls | ValleyWalls:
        """The part's bed that has the longest run."""
        return max(self.beds, key=lambda bed: bed.longest_run)

    @property
    def longest(self) -> Spot:
        """The longest run [mm], with its place on a wall or ridge."""
        return self.farthest_reaching.longest

    @property
    def steepest(self) -> float:
        """A bound on the surface's slope in any direction [-]."""
        return max(bed.steepest for bed in self.beds)

    def owners(self, points: Array) -> Index:
        """In which drain's part each point (k, 2) of the floor lies (k,); on a ridge the first."""
        shapes = np.array([part.shape for part in self.parts])
        inside = shapely.intersects_xy(shapes[:, None], points[:, 0], points[:, 1])
        owners = np.argmax(inside, axis=0)
        stray = np.flatnonzero(~inside.any(axis=0))  # a hair outside, where a wall's place is off by noise
        if len(stray):
            away = shapely.distance(shapes[:, None], shapely.points(points[stray]))
            owners[stray] = np.argmin(away, axis=0)
        return np.asarray(owners)

    def height(self, points: Array) -> Array:
        """The height over the first flange (k,) [mm] at points (k, 2) on the floor."""
        owners = self.owners(points)
        heights = np.empty(len(points))
        for number, (bed, head) in enumerate(zip(self.beds, self.heads, strict=True)):
            own = owners == number
            if own.any():
                heights[own] = head + bed.height(points[own])
        return heights

    @cached_property
    def integral(self) -> float:
        """The height over the first flange, summed over the floor [mm3]."""
        return sum(
            bed.integral + head * float(shapely.area(part.shape))
            for part, bed, head in zip(self.parts, self.beds, self.heads, strict=True)
        )


def parted_walls(own: float | None, reach: SharedReach, terms: Terms) -> PartedWalls | Hidden | Needs:
    """Level walls round several drains: walls and ridges equally high, at the least at which every part falls enough.

    own: the wall height that the user sets [mm], if any. A part not seen whole from its drain gets valleys.
    """
    parts = _parts(reach)
    if parts is None:
        return _TOO_NEAR
    found = []
    for number, part in enumerate(parts):
        sketch = _sketch(reach, number, part, terms)
        if isinstance(sketch, Hidden):
            return sketch
        found.append(sketch)
    least = max(head + sketch.least for head, sketch in zip(terms.heads, found, strict=True))
    height = round_up(least, terms.mark_step) if own is None else own
    if height <= max(terms.heads):
        return Needs("bed.wall_height", phrase("a drain stands as high as these walls: give more, or leave it out"))
    beds = tuple(sketch.raised(height - head) for head, sketch in zip(terms.heads, found, strict=True))
    return PartedWalls(reach, parts, beds, terms.heads, height)


def _parts(reach: SharedReach) -> tuple[Part, ...] | None:
    """The floor's parts; by ridges midway where one would run through a flange, as between drains of unlike heights.

    With level walls a ridge stands over both its drains anywhere: its place only shares out falls.
    """
    floor, flanges, midway = reach.floor, reach.flanges, (0.0,) * len(reach.heads)
    tried = [(parted, extra) for extra in dict.fromkeys((reach.heads, midway)) for parted in (divided, hiding_parts)]
    found = (parted(floor, flanges, extra) for parted, extra in [*tried, (hiding_parts, ())])
    return next((parts for parts in found if parts), None)


class _Sketch(NamedTuple):
    """A part's bed: how high its walls stand over its drain at least, and what it is then [mm]."""

    least: float
    raised: Callable[[float], LevelWalls | ValleyWalls]


def _sketch(reach: SharedReach, number: int, part: Part, terms: Terms) -> _Sketch | Hidden:
    hidden = hidden_part(part.reach, reach.floor)
    if hidden is None:
        found = runs(part.reach, square=terms.square)
        return _Sketch(terms.fall * found.longest.value, lambda height: LevelWalls(part.reach, height, found))
    from .valley.plan import least_height, lowest, raised  # noqa: PLC0415  few floors need valleys

    hidden = replace(hidden, drains=len(reach.flanges), drain=number)
    bed = lowest(part.reach, hidden, terms)
    if isinstance(bed, Hidden):
        return bed
    return _Sketch(least_height(bed, terms.fall), lambda height: raised(bed, height, terms.most_fall))
