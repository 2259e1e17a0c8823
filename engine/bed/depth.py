"""Depth: how thick the bed is at least and at most, where, and how much mud that is."""

from dataclasses import field, replace
from functools import cached_property, lru_cache

import numpy as np

from ..records import Same, result
from ..survey.mesh import Mesh
from ..survey.rough_floor import RoughFloor
from ..survey.spot import Spot
from ..types import Array
from .even_fall import EvenFall
from .flange import Flange
from .level_walls import LevelWalls
from .parted_walls import PartedWalls
from .planes import Planes
from .quadrature import over_floor
from .surfaces import Bed, beds_of
from .valley.bed import ValleyWalls
from .zoom import KINKED, SMOOTH, extremes, highest_inside

_LEAST_PIECE = 1e-6  # [mm] of a segment


@result
class Gap:
    """The space between a bed and a rough floor, as a function of place."""

    bed: Bed
    rough: RoughFloor

    def __call__(self, points: Array) -> Array:
        """The depth (k,) [mm] at points (k, 2) on the floor."""
        return self.bed.height(points) - self.rough.height(points)

    def standing(self, places: Same[Array]) -> Array:
        """The depth (k,) [mm] at these very points (k, 2), remembered."""
        return standing(self.bed, places) - self.rough.standing(places)


@result
class Depth:
    """The bed's depth over the rough floor: least and most with places [mm]."""

    least: Spot
    most: Spot
    gap: Gap = field(repr=False)

    @cached_property
    def volume(self) -> float:
        """The mud's volume [mm3]; where the rough floor stands above the bed it counts as 0."""
        if self.most.value <= 0:
            return 0.0
        gap = self.gap
        volume = gap.bed.integral - gap.rough.integral
        if self.least.value < 0:
            volume += over_floor(gap.rough.floor.polygon, lambda points: np.maximum(-gap(points), 0.0), abs(volume))
        return max(volume, 0.0)


def depth(bed: Bed, rough: RoughFloor) -> Depth:
    """The depth of a bed over a rough floor."""
    gap = Gap(bed, rough)
    least, most = extreme_depths(gap)
    return Depth(least, most, gap)


def extreme_depths(gap: Gap, *, only_least: bool = False) -> tuple[Spot, Spot]:
    """The least and the most depth with their places; only_least: the most may be missed on a ridge inside.

    Sought over the level line: places stay as a bed moves up or down.
    """
    rough = gap.rough
    places = Same(rough.heights), Same(rough.gradient)
    least, most = _over_line(gap.bed, rough.mesh, *places, only_least=only_least)
    return replace(least, value=least.value - rough.shift), replace(most, value=most.value - rough.shift)


@lru_cache(maxsize=4)
def _over_line(
    bed: Bed, mesh: Mesh, heights: Same[Array], gradient: Same[Array], *, only_least: bool
) -> tuple[Spot, Spot]:
    """The extreme depths with the datum at the level line.

    Over a plane of the rough floor the depth is straight along a ray from the flange (level walls) or a cone less a
    plane (even fall): extremes lie on planes' edges, rays to corners, the rim, ridges, and where valleys meet.
    """
    gap = Gap(bed, RoughFloor(mesh, heights.it, gradient.it))
    found = [_at_candidates(gap)]
    segments, ground = _promising(gap, found[0][1])
    if len(segments):
        starts, ends, less = _split(bed, segments, ground)
        on = extremes(bed.height, starts, ends, less, KINKED if bed.reach.has_ridges else SMOOTH)
        found.append((np.array([on.least_at, on.most_at]), np.array([on.least, on.most])))
    found += [(part.relays, gap(part.relays)) for part in beds_of(bed) if isinstance(part, ValleyWalls)]
    if isinstance(bed, Planes):
        found.append((bed.vertices, gap(bed.vertices)))
    if isinstance(bed, EvenFall) and bed.reach.has_ridges and not only_least:
        place = highest_inside(gap, gap.rough.floor.polygon)[None]
        found.append((place, gap(place)))
    places, values = (np.concatenate(column) for column in zip(*found, strict=True))
    # Ties to within noise go to the first, so that the place does not hang on the last digit.
    return _spot(places, values, -1.0), _spot(places, values, 1.0)


def _spot(places: Array, values: Array, sign: float) -> Spot:
    at = int((sign * values).round(7).argmax())
    return Spot.at(values[at], places[at])


def _at_candidates(gap: Gap) -> tuple[Array, Array]:
    """Depths at the pieces' corners (the floor's too) and at the rim's places that face a slope."""
    frame, rim = gap.rough.frame, np.concatenate([_one_rim(gap, flange) for flange in gap.bed.reach.flanges])
    corners = frame.corners[frame.used]
    depths = over_corners(gap.bed, gap.rough.mesh) - frame.heights[frame.used]
    if isinstance(gap.bed, PartedWalls):
        rim = np.concatenate([rim, *(ridge.points for ridge in gap.bed.ridges)])
    # One drain's bed is 0 all over its flange; several may stand at heights of their own.
    others = gap(rim) if len(gap.bed.reach.flanges) > 1 else -gap.rough.height(rim)
    return np.concatenate([corners, rim]), np.concatenate([depths, others])


@lru_cache(maxsize=4)
def over_corners(bed: Bed, mesh: Mesh) -> Array:
    """The heights (u,) [mm] of this bed at this mesh's corners on the floor."""
    return bed.height(mesh.corners[mesh.used])


@lru_cache(maxsize=16)
def standing(bed: Bed, places: Same[Array]) -> Array:
    """The heights (k,) [mm] of this bed at these points (k, 2) on the floor."""
    return bed.height(places.it)


def _one_rim(gap: Gap, flange: Flange) -> Array:
    if not flange.is_round:
        return flange.corners
    slopes = gap.rough.slopes_near(flange.centre, flange.half)
    steep = np.hypot(*slopes.T)
    facing = flange.half * slopes[steep > 0] / steep[steep > 0, None]
    return np.concatenate([flange.centre[None], flange.centre + facing, flange.centre - facing])


def _promising(gap: Gap, values: Array) -> tuple[Array, Array]:
    """Segments, with heights, on which by the depth's slope an extreme beyond the best may lie."""
    frame = gap.rough.frame
    depths = np.zeros(len(frame.corners))
    depths[frame.used] = values[: len(frame.used)]
    segments, heights = frame.corners[frame.pairs], frame.heights[frame.pairs]
    lengths = np.hypot(*(segments[:, 1] - segments[:, 0]).T)
    swing = (gap.bed.steepest * lengths + np.abs(heights[:, 1] - heights[:, 0])) / 2
    middle = depths[frame.pairs].mean(axis=1)
    beyond = (middle - swing < values.min()) | (middle + swing > values.max())
    keep = beyond & (lengths > _LEAST_PIECE)
    return segments[keep], heights[keep]


def _split(bed: Bed, segments: Array, heights: Array) -> tuple[Array, Array, Array]:
    """Segments cut at the bed's creases, with the rough floor's heights at starts and ends (k, 2)."""
    along = segments[:, 1] - segments[:, 0]
    cuts = [np.zeros((len(segments), 1)), np.ones((len(segments), 1))]
    cuts += [_line_parts(segments, along, *lines) for lines in _creases(bed)]
    for flange in bed.reach.flanges:
        cuts += _circle_parts(segments, along, flange) if flange.is_round else []
    parts = np.sort(np.fmin(np.fmax(np.column_stack(cuts), 0.0), 1.0), axis=1)  # nan counts as 0
    lengths = np.hypot(*along.T)[:, None] * np.diff(parts, axis=1)
    rows, columns = np.nonzero(lengths > _LEAST_PIECE)
    pairs = np.stack([parts[rows, columns], parts[rows, columns + 1]])
    starts, ends = segments[rows, 0] + pairs[..., None] * along[rows]
    less = heights[rows, 0] + pairs * (heights[rows, 1] - heights[rows, 0])
    return starts, ends, less.T


def _creases(bed: Bed) -> list[tuple[Array, Array]]:
    bundles = []
    if isinstance(bed, LevelWalls):
        corners, centre = bed.reach.edges.starts, bed.reach.flange.centre
        bundles.append((np.broadcast_to(centre, corners.shape), corners - centre))
    if isinstance(bed, PartedWalls):
        bundles += [crease for own in bed.beds for crease in _creases(own)[:1]]
        bundles += [(ridge.points[:1], np.diff(ridge.points, axis=0)) for ridge in bed.ridges]
    if isinstance(bed, ValleyWalls):
        bundles.append(bed.creases)
    if isinstance(bed, Planes):
        bundles.append(bed.lines)
    for flange in bed.reach.flanges:
        if not flange.is_round:
            bundles.append((flange.corners, flange.frame[[0, 1, 0, 1]]))
            bundles.append((flange.corners[:2], flange.corners[:2] - flange.centre))
    return bundles


def _line_parts(segments: Array, along: Array, points: Array, directions: Array) -> Array:
    square = np.array([-directions[:, 1], directions[:, 0]]).T
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(((points * square).sum(axis=1) - segments[:, 0] @ square.T) / (along @ square.T))


def _circle_parts(segments: Array, along: Array, flange: Flange) -> list[Array]:
    offset = segments[:, 0] - flange.centre
    a, b = (along * along).sum(axis=1), (offset * along).sum(axis=1)
    with np.errstate(invalid="ignore"):
        root = np.sqrt(b * b - a * ((offset * offset).sum(axis=1) - flange.half**2))
    return [(-b - root) / a, (-b + root) / a]
