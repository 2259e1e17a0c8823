"""One plane to a channel: what is flat past its ends, where walls stand in the water's way."""

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
import shapely

from ...arrays import distinct, following, preceding
from ...bed.flange import Flange
from ...bed.planes import PlaneBed, Planes
from ...boxes import box_round
from ...job.model import BedShape
from ...phrases import phrase
from ...quantities import INCH
from ...types import Array, Mask, Shape
from .case import NOISE, Case, Finding, Findings, Level, Spot, planned_fall

_LEVEL = 1e-9  # [-] a wall that falls less is level; also [mm]
SHORT = INCH  # [mm] a channel this near a wall is as long as it can be (common practice, no source)


def check_channel(case: Case) -> Findings:
    """Findings channel-short, one a channel, plane-blocked or plane-dammed, for planes to channels."""
    bed = case.stages.bed
    if not isinstance(bed, PlaneBed | Planes):
        return
    flanges = enumerate(bed.reach.flanges)
    flats = [_past_ends(bed) if isinstance(bed, PlaneBed) else _among_others(bed, *each) for each in flanges]
    for number, flat in enumerate(flats):
        yield from _short(case, bed, number, flat)
    yield from _blocked(case, bed)


def _blocked(case: Case, bed: PlaneBed | Planes) -> Findings:
    corners = np.vstack([dead_ends(ring, bed) for ring in bed.reach.floor.rings])
    if not len(corners):
        yield from _dammed(case, bed)
        return
    lowest = corners[int(np.argmin(np.round(bed.height(corners), 6)))]
    spot = Spot.at(bed.height(lowest[None])[0], lowest)
    says = phrase(
        "water runs down the plane {place} and stands there: a wall is between it and the channel", place=case.at(spot)
    )
    told = says, _round_it(case), phrase("geometry"), spot.x, spot.y, "bed.shape"
    yield Finding("plane-blocked", Level.STOP, *told, (("bed.shape", BedShape.EVEN_FALL.value),))


def _dammed(case: Case, bed: PlaneBed | Planes) -> Findings:
    for border in bed.reach.floor.borders:
        sides = border.sides
        middles = (sides.starts + sides.ends) / 2
        along = [bed.height(points) for points in (sides.starts, middles, sides.ends)]
        is_dam = (np.ptp(along, axis=0) < NOISE) & (bed.height(middles + sides.inward) > along[1] + NOISE)
        for i in np.flatnonzero(is_dam & (sides.lengths > SHORT)).tolist():
            spot = Spot.at(sides.lengths[i], middles[i])
            says = phrase("the plane falls square onto a level side {place}: water stands there", place=case.at(spot))
            high = case.worked(spot.value / 2 * planned_fall(case))
            remedy = phrase("lay a saddle of mud along it, {high} high in the middle, or take an even fall", high=high)
            source = phrase("common practice, no source")
            yield Finding("plane-dammed", Level.CAUTION, says, remedy, source, spot.x, spot.y, "bed.shape")


def _round_it(case: Case) -> str:
    fall = case.fall(planned_fall(case))
    return phrase("take an even fall: it leads the water round what is in its way at {fall}", fall=fall)


def dead_ends(ring: Array, bed: PlaneBed | Planes) -> Array:
    """The corners (m, 2) of a ring, floor on its left, whence nothing leads down to a channel."""
    after, before = _unit(following(ring) - ring), _unit(preceding(ring) - ring)
    falls_to = bed.falls_to(ring) if isinstance(bed, Planes) else np.ones((1, len(ring)), dtype=bool)
    leads, is_level = np.zeros(len(ring), dtype=bool), np.zeros(len(ring), dtype=bool)
    for flange, own in zip(bed.reach.flanges, falls_to, strict=True):
        away = (ring - flange.centre) @ flange.frame[1]
        down = -np.sign(away)[:, None] * flange.frame[1]
        along = np.column_stack([(after * down).sum(axis=1), (before * down).sum(axis=1)])
        leads |= own & (
            (np.abs(away) <= flange.half + _LEVEL) | (along > _LEVEL).any(axis=1) | _between(after, before, down)
        )
        is_level |= (own | following(own)) & (np.abs(along[:, 0]) <= _LEVEL)
    for _ in ring:  # a level wall passes on what its other end can do
        leads = leads | (is_level & following(leads)) | (preceding(is_level) & preceding(leads))
    return ring[~leads]


def _unit(sides: Array) -> Array:
    return np.asarray(sides / np.hypot(*sides.T)[:, None])


def _between(after: Array, before: Array, direction: Array) -> Mask:
    first, last, asked = (np.arctan2(side[:, 1], side[:, 0]) for side in (after, before, direction))
    turn = 2 * np.pi
    return (asked - first) % turn < (last - first) % turn


class Flat(NamedTuple):
    """Where the floor goes on level past a channel's end: how far, and to where (2,) [mm].

    longer: what a channel lacks at both ends together to be near enough [mm]; 0 where the flat lies beyond a wall.
    """

    gap: float
    place: Array
    longer: float


def _lacking(gaps: Array) -> float:
    return float(np.maximum(gaps - SHORT, 0.0).sum())


def _short(case: Case, bed: PlaneBed | Planes, number: int, flat: Flat) -> Findings:
    if flat.gap <= SHORT + NOISE:
        return
    limit, fall, several = case.book.least_fall, planned_fall(case), len(bed.reach.flanges) > 1
    yield limit.broken(
        "channel-short",
        says=phrase(
            "past {end} the floor is flat for {gap}: water stands there",
            end=phrase("the end of drain {number}" if several else "the channel's end", number=number + 1),
            gap=case.over(flat.gap),
        ),
        remedy=phrase(
            "make the channel at least {longer} longer, or let that part fall to its end too: at {fall} it rises "
            "{rise}; even fall does so",
            longer=case.worked(flat.longer),
            fall=case.fall(fall),
            rise=case.over(flat.gap * fall),
        )
        if flat.longer
        else _round_it(case),
        spot=Spot.at(flat.gap, flat.place),
        key=f"drains[{number}].to" if several else "bed.shape",
        drains=(number,) if several else (),
        change=(("bed.shape", BedShape.EVEN_FALL.value),),
    )


def _past_ends(bed: PlaneBed) -> Flat:
    flange = bed.reach.flange
    pieces = shapely.get_parts(_on_line(bed, flange))
    ends = [shapely.get_coordinates(piece)[[0, -1]] for piece in pieces if shapely.length(piece) > _LEVEL]
    return max((_beside(flange, each) for each in ends), key=lambda flat: round(flat.gap, 6))


def _beside(flange: Flange, ends: Array) -> Flat:
    along = (ends - flange.centre) @ flange.axis
    away, span = np.abs(along), float(np.ptp(along))
    far = int(np.argmax(away))
    if along.min() > flange.length / 2 or along.max() < -flange.length / 2:
        return Flat(span, ends[far], 0.0)
    gaps = away - flange.length / 2
    return Flat(float(gaps[far]), ends[far], _lacking(gaps))


def _among_others(bed: Planes, number: int, flange: Flange) -> Flat:
    """The longest piece of a channel's line on the floor that no channel covers and none other drains."""
    covered = shapely.union_all([shapely.Polygon(each.corners) for each in bed.reach.flanges])
    pieces = shapely.get_parts(shapely.difference(_on_line(bed, flange), covered))
    pieces = pieces[shapely.length(pieces) > _LEVEL]
    flats = [flat for piece in pieces for flat in _level_parts(bed, number, shapely.get_coordinates(piece))]
    if not flats:
        return Flat(0.0, flange.centre, 0.0)
    away = np.abs((np.array(flats) - flange.centre) @ flange.axis)
    gaps, beside = np.ptp(away, axis=1), away.min(axis=1) - flange.length / 2 <= SHORT
    at = int(np.argmax(np.round(gaps, 6)))
    longer = _lacking(gaps[beside]) if beside[at] else 0.0
    return Flat(float(gaps[at]), flats[at][int(np.argmax(away[at]))], longer)


def _level_parts(bed: Planes, number: int, ends: Array) -> Iterator[Array]:
    length = float(np.hypot(*(ends[-1] - ends[0])))
    along = (ends[-1] - ends[0]) / length
    cuts = np.clip(bed.crossings(ends[0], along), 0.0, length)
    parts = distinct(np.concatenate([[0.0], cuts, [length]]))
    middles = ends[0] + ((parts[:-1] + parts[1:]) / 2)[:, None] * along
    falls_to = bed.falls_to(middles)
    level = bed.each(middles)[number] <= bed.reach.heads[number] + _LEVEL
    start = None
    for low, high, flat in zip(parts[:-1], parts[1:], falls_to[number] & level, strict=True):
        start = (low if start is None else start) if flat else None
        if start is not None:
            yield np.stack([ends[0] + start * along, ends[0] + high * along])


def _on_line(bed: PlaneBed | Planes, flange: Flange) -> Shape:
    polygon = bed.reach.floor.polygon
    low, high = box_round(polygon)
    far = 2 * float(np.hypot(*(high - low))) + flange.length
    line = shapely.linestrings([flange.centre - far * flange.axis, flange.centre + far * flange.axis])
    return shapely.intersection(line, polygon)
