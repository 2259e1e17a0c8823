"""The bed's surface that the job asks for, and the valleys in it."""

from functools import lru_cache
from typing import NamedTuple, TypeAlias

import shapely

from ..job.model import Bed as Asked
from ..job.model import BedShape, Job
from ..phrases import phrase
from ..quantities import round_up
from ..survey.outline import FloorOutline
from ..survey.spot import Needs
from .even_fall import EvenFall
from .falls import Terms
from .flange import Flange, Flanges
from .hidden import Hidden, hidden_part
from .level_walls import LevelWalls, runs
from .parted_walls import PartedWalls, parted_walls
from .planes import PlaneBed, Planes, highest_flange
from .reach import Reach, SharedReach, reach
from .valley.bed import Line, ValleyWalls

__all__ = ["NO_SHAPE", "Bed", "Hidden", "NoBed", "Terms", "build_bed", "is_clear"]

Bed: TypeAlias = LevelWalls | ValleyWalls | PartedWalls | EvenFall | PlaneBed | Planes
NoBed: TypeAlias = Needs | Hidden  # what stands in a bed's stead

NO_SHAPE_FITS = Needs("bed.shape", phrase("the drain's height cannot be planned until the bed has a shape that fits"))
LEVEL_DOES_NOT_FIT = Needs("bed.shape", phrase("level walls do not fit this floor: choose even fall"))
NO_SHAPE = Needs("bed.shape", phrase("how is the bed to fall to the drain?"))
_CLEAR = 1e-6  # [mm] the flange must keep this far from every wall


def beds_of(bed: Bed) -> tuple[Bed, ...]:
    """The bed of each drain's part in the drains' order; the whole bed without parts."""
    return bed.beds if isinstance(bed, PartedWalls) else (bed,)


def build_bed(job: Job, floor: FloorOutline, flanges: Flanges, terms: Terms) -> Bed | NoBed:
    """The bed of the job's shape on those terms, what is missing, or why level walls do not fit."""
    return _built(job.bed, floor, flanges, terms)


@lru_cache(maxsize=8)
def _built(asked: Asked, floor: FloorOutline, flanges: Flanges, terms: Terms) -> Bed | NoBed:
    for i, flange in enumerate(flanges):
        if not is_clear(flange, floor, asked.shape):
            return Needs(f"drains[{i}].at", phrase("the drain's flange must stand on the floor, clear of the walls"))
    reaches = tuple(reach(floor, flange) for flange in flanges)
    match asked.shape:
        case None:
            return NO_SHAPE
        case BedShape.EVEN_FALL:
            return EvenFall(reaches[0] if len(reaches) == 1 else _shared(reaches, terms), terms.fall)
        case BedShape.LEVEL_WALLS:
            own = None if asked.wall_height is None else asked.wall_height.value
            if len(reaches) == 1:
                return _level_walls(own, reaches[0], terms)
            return parted_walls(own, _shared(reaches, terms), terms)
        case BedShape.PLANE:
            return _plane(reaches, terms)


def _shared(reaches: tuple[Reach, ...], terms: Terms) -> SharedReach:
    return SharedReach(reaches, tuple(head / terms.fall for head in terms.heads))


def _plane(reaches: tuple[Reach, ...], terms: Terms) -> PlaneBed | Planes | Needs:
    if not all(reach.flange.is_channel for reach in reaches):
        return Needs(
            "bed.shape",
            phrase(
                "one plane falls to a channel: make the drain a channel, or choose another shape"
                if len(reaches) == 1
                else "planes fall to channels: make every drain a channel, or choose another shape"
            ),
        )
    if len(reaches) == 1:
        return PlaneBed(reaches[0], terms.fall)
    shared = _shared(reaches, terms)
    above = highest_flange(shared)
    if above is None:
        return Planes(shared, terms.fall)
    higher, lower = above
    return Needs(
        f"drains[{higher}].drop",
        phrase(
            "drain {higher} stands higher than the plane to drain {lower} lies there: lower it, or choose even fall",
            higher=higher + 1,
            lower=lower + 1,
        ),
    )


@lru_cache(maxsize=8)
def is_clear(flange: Flange, floor: FloorOutline, shape: BedShape | None) -> bool:
    """Whether the flange lies wholly on the floor, off every wall and island.

    A channel may touch walls, unless every wall is to stand level over it.
    """
    if not shapely.intersects_xy(floor.polygon, *flange.centre):
        return False
    if flange.is_channel and shape is not BedShape.LEVEL_WALLS:
        outside = shapely.area(shapely.difference(flange.polygon, floor.polygon))
        return bool(outside <= _CLEAR * (flange.length + flange.size))
    return bool(flange.away(shapely.boundary(floor.polygon)) > _CLEAR)


def _level_walls(own: float | None, reach: Reach, terms: Terms) -> Bed | Hidden:
    hidden = hidden_part(reach)
    if hidden is not None:
        from .valley.plan import valley_walls  # few floors need valleys

        return valley_walls(own, reach, hidden, terms)
    found = runs(reach, square=terms.square)
    height = round_up(terms.fall * found.longest.value, terms.mark_step) if own is None else own
    return LevelWalls(reach, height, found)


class ValleyPart(NamedTuple):
    """A bed with valleys, its drain's number from 0, and how much higher than the first that stands [mm]."""

    drain: int
    bed: ValleyWalls
    head: float

    @property
    def valleys(self) -> tuple[Line, ...]:
        """Its valleys, from the flange outward, with heights over the first drain."""
        return tuple(line.over(self.head, self.drain) for line in self.bed.valleys)

    @property
    def ridges(self) -> tuple[Line, ...]:
        """Its level lines from walls to islands, with heights over the first drain."""
        return tuple(line.over(self.head, self.drain) for line in self.bed.ridges)


def valley_parts(bed: Bed) -> tuple[ValleyPart, ...]:
    """The parts of a bed with valleys, by their drains."""
    if isinstance(bed, ValleyWalls):
        return (ValleyPart(0, bed, 0.0),)
    if isinstance(bed, PartedWalls):
        return tuple(
            ValleyPart(number, own, head)
            for number, (own, head) in enumerate(zip(bed.beds, bed.heads, strict=True))
            if isinstance(own, ValleyWalls)
        )
    return ()


def valley_lines(bed: Bed) -> tuple[Line, ...]:
    """All valleys, drain by drain, with heights over the first drain."""
    return tuple(line for part in valley_parts(bed) for line in part.valleys)


def level_lines(bed: Bed) -> tuple[Line, ...]:
    """All level lines from walls to islands, with heights over the first drain."""
    return tuple(line for part in valley_parts(bed) for line in part.ridges)
