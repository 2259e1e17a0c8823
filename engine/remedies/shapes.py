"""Another shape of bed, or a channel in the drain's stead."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely

from ..bed.flange import Flange
from ..bed.planes import PlaneBed
from ..boxes import box_round
from ..job.model import BedShape, Drain, DrainKind, EdgeKind
from ..limits.checks.case import NOISE, is_above, is_below, planned_fall
from ..limits.checks.channel import SHORT
from ..limits.checks.falls import most_wanted
from ..limits.findings import Finding
from ..phrases import joined, phrase
from ..quantities import INCH, Units, format_fall, round_down, round_up
from ..survey.outline import FloorOutline
from ..types import Array, Shape
from .remedy import Change, Idea, Ideas
from .trials import FALL_STEP, Trials

_WIDE = {Units.INCH: 2.5 * INCH, Units.MM: 65.0}  # [mm] a usual channel (common practice, no source)
_FALLS = 12  # at which another shape is tried
_NEARER = 4  # steps
_MOST_WALLS = 3  # walls a channel is tried along, the shortest runs first
NAMES = {
    BedShape.LEVEL_WALLS: phrase("level walls"),
    BedShape.EVEN_FALL: phrase("an even fall"),
    BedShape.PLANE: phrase("one plane"),
}


def even_fall(trials: Trials, _: Finding) -> Ideas:
    """The bed as an even fall, at the job's fall or the nearest allowed."""
    yield from _shaped(trials, BedShape.EVEN_FALL)


def offered(trials: Trials, finding: Finding) -> Ideas:
    """The finding's own change, in its words; another shape as that is told."""
    if dict(finding.change).get("bed.shape") == BedShape.EVEN_FALL:
        yield from even_fall(trials, finding)
    elif finding.change:
        yield Idea(finding.remedy, finding.change)


def level_walls(trials: Trials, _: Finding) -> Ideas:
    """The bed with level walls, at the job's fall."""
    yield from _shaped(trials, BedShape.LEVEL_WALLS)


def even_at_another_fall(trials: Trials, _: Finding) -> Ideas:
    """The bed as an even fall at the job's own, else at the nearest of some allowed."""
    planned, least = planned_fall(trials.case), most_wanted(trials.case)[1].value
    step, most = FALL_STEP[trials.units], trials.plan.rulebook.most_fall
    if most is None or trials.job.bed.shape is BedShape.EVEN_FALL:
        return
    yield _as(trials, BedShape.EVEN_FALL, format_fall(planned, trials.units), None)
    low, high = math.ceil(least / step), math.floor(most.value / step + NOISE)
    counts = range(low, high + 1, 1 + max(0, high - low) // _FALLS)
    for count in sorted(counts, key=lambda count: abs(count * step - planned)):
        fall = format_fall(count * step, trials.units)
        yield _as(trials, BedShape.EVEN_FALL, fall, fall)


def _shaped(trials: Trials, shape: BedShape) -> Ideas:
    if trials.job.bed.shape is shape:
        return
    planned, least, most = planned_fall(trials.case), most_wanted(trials.case)[1], trials.plan.rulebook.most_fall
    limit = least if is_below(planned, least.value) else most if most and is_above(planned, most.value) else None
    fall = format_fall(planned, trials.units) if limit is None else trials.case.limit_fall(limit)
    yield _as(trials, shape, fall, limit.text if limit else None)


def _as(trials: Trials, shape: BedShape, fall: str, entry: str | None) -> Idea:
    """The bed in another shape, at a fall as told and as entered; None where that stays."""
    change = (("bed.shape", shape.value), *(() if entry is None else (("bed.fall", entry),)), *trials.no_own_height)
    level = walls_after(trials, change) if shape is BedShape.EVEN_FALL else ""
    return Idea(phrase("take {shape} at {fall}{level}", shape=NAMES[shape], fall=fall, level=level), change)


def walls_after(trials: Trials, change: Change) -> str:
    """Between which heights the walls then lie, by their marks."""
    after = trials.planned(change)
    if after is None or not after.marks:
        return phrase(", with the walls no longer level")
    heights = [mark.above_drain for mark in after.marks]
    return phrase(
        ", with the walls no longer level: marks from {low} to {high} over the drain",
        low=trials.text(min(heights)),
        high=trials.text(max(heights)),
    )


def one_plane(trials: Trials, _: Finding) -> Ideas:
    """The bed as planes to the channels there are, which may lie along walls."""
    drains = trials.job.drains
    if drains and all(drain.kind is DrainKind.CHANNEL for drain in drains):
        yield from _shaped(trials, BedShape.PLANE)


def channel_along_wall(trials: Trials, _: Finding) -> Ideas:
    """A channel in the only point drain's stead, and one plane to it."""
    drains = trials.job.drains
    if len(drains) == 1 and drains[0].kind is not DrainKind.CHANNEL:
        yield from channel_ideas(trials)


def channel_ideas(trials: Trials) -> Ideas:
    """One channel for all drains, from wall to wall along one wall or another, shortest runs first."""
    floor, drains = trials.plan.outline, trials.job.drains
    if not floor or not drains:
        return
    step, units = trials.step, trials.units
    for wall, estimate in _walls_by_run(trials, floor)[:_MOST_WALLS]:
        name, off = floor.walls[wall], round_up(_WIDE[units] / 2, step)
        low, high = _between_walls(floor, wall, off, _WIDE[units] / 2)
        ends = round_up(low, step), round_down(high, step)
        if ends[0] >= ends[1]:
            continue
        texts = [f"{name} {trials.text(end)} off {trials.text(off)}" for end in ends]
        change = _channel(trials, drains[0], texts)
        after = trials.planned(change)
        bed = after.bed if after is not None else None
        run = bed.longest_run if isinstance(bed, PlaneBed) else estimate
        yield Idea(
            phrase(
                "take a channel along {wall}, from wall to wall, and one plane to it: the longest run is then {run}, "
                "the rise {rise}",
                wall=name,
                run=trials.text(round_up(run, step)),
                rise=trials.text(round_up(planned_fall(trials.case) * run, step / 2)),
            ),
            change,
            run,
        )


def alone(trials: Trials) -> Change:
    """What leaves out all drains but the first."""
    return tuple((f"drains[{i}]", "") for i in range(len(trials.job.drains) - 1, 0, -1))


def _between_walls(floor: FloorOutline, wall: int, off: float, half: float) -> tuple[float, float]:
    """Between which places along a wall [mm] nothing is in the way of a channel `half` to both sides of `off` it [mm].

    In a corner sharper than square the other wall is.
    """
    length, start, along = floor.length(wall), floor.corners[wall], floor.directions[wall]
    far = 2 * float(np.hypot(*np.ptp(floor.ring, axis=0)))
    ring = [(-far, off - half), (far, off - half), (far, off + half), (-far, off + half)]
    strip = shapely.polygons(start + np.array(ring) @ [along, floor.inward[wall]])
    low, high = 0.0, length
    for piece in shapely.get_parts(shapely.difference(strip, floor.polygon)):
        at = (shapely.get_coordinates(piece) - start) @ along
        if at.min() < length / 2:
            low = max(low, float(at.max()))
        else:
            high = min(high, float(at.min()))
    return low, high


def _walls_by_run(trials: Trials, floor: FloorOutline) -> list[tuple[int, float]]:
    """Walls but curbs and open edges, with the floor's depth square to each past a channel [mm]."""
    away = ((floor.corners[None] - floor.corners[:, None]) * floor.inward[:, None]).sum(axis=2)
    away = np.abs(away).max(axis=1)  # the plane rises behind the wall's line, too
    runs = [(i, float(run) - _WIDE[trials.units]) for i, run in enumerate(away) if floor.kinds[i] is EdgeKind.WALL]
    return sorted(runs, key=lambda pair: (round(pair[1], 6), pair[0]))


def _channel(trials: Trials, drain: Drain, ends: list[str]) -> Change:
    at = (("drains[0].at", ""),) if drain.at is not None else ()
    return (
        *alone(trials),
        *at,
        ("drains[0].kind", DrainKind.CHANNEL.value),
        ("drains[0].size", trials.text(_WIDE[trials.units])),
        ("drains[0].from", ends[0]),
        ("drains[0].to", ends[1]),
        ("bed.shape", BedShape.PLANE.value),
        *trials.no_own_height,
    )


def lengthen_channel(trials: Trials, finding: Finding) -> Ideas:
    """A channel's too short ends moved out along its line, as near to wall or channel as asked, else to it."""
    floor, flanges = trials.plan.outline, trials.flanges
    if not floor or not flanges or not flanges[0].is_channel:
        return
    number = (finding.drains or (0,))[0]
    flange, step = flanges[number], trials.step
    others = [shapely.Polygon(each.corners) for i, each in enumerate(flanges) if i != number]
    far = [reach for side in (-1.0, 1.0) if (reach := to_wall(floor, flange, side, others))]
    if len(far) < 2:
        return
    nearer = (SHORT - step * i for i in range(_NEARER))  # an oblique channel's ends may need some
    for short in (*nearer, 0.0):
        moved = [_moved_out(flange, side, reach, short, step) for side, reach in zip((-1.0, 1.0), far, strict=True)]
        ends = [was if end is None else end for end, was in zip(moved, flange.ends, strict=True)]
        left = [reach - math.hypot(*(end - flange.centre)) for (reach, _), end in zip(far, ends, strict=True) if reach]
        by = float(np.hypot(*(ends[1] - ends[0]))) - flange.length
        if by <= NOISE:
            continue
        yield Idea(
            phrase(
                "make drain {number} {by} longer, {near} the walls or the next channel"
                if others
                else "make the channel {by} longer, {near} the walls",
                number=number + 1,
                by=trials.text(round_up(by, step)),
                near=phrase(
                    "to {short} off" if short else "up to",
                    short=joined(phrase(" and "), dict.fromkeys(map(trials.nearest, left))),
                ),
            ),
            tuple(
                (f"drains[{number}].{key}", "x {}, y {}".format(*map(trials.text, end.tolist())))
                for key, end in zip(("from", "to"), moved, strict=True)
                if end is not None
            ),
            by,
        )


def _moved_out(flange: Flange, side: float, reach: tuple[float, float], short: float, step: float) -> Array | None:
    """A channel's end on that side, moved out to so short of what it meets [mm]; None if it is there."""
    far = min(reach[0] - short, reach[1])
    if far <= flange.length / 2 + NOISE:
        return None
    return rounded_to(flange.centre + side * far * flange.axis, (side if short else -side) * flange.axis, step)


def rounded_to(place: Array, way: Array, step: float) -> Array:
    """A place (2,) [mm] on the step, rounded the way (2,)."""
    rounded = [
        round_up(value, step) if to > NOISE else round_down(value, step) if to < -NOISE else value
        for value, to in zip(place.tolist(), way.tolist(), strict=True)
    ]
    return np.array(rounded)


def to_wall(floor: FloorOutline, flange: Flange, side: float, others: Sequence[Shape]) -> tuple[float, float] | None:
    """From a channel's middle along its line to a wall or another drain, and until its end meets it [mm]."""
    end = shapely.linestrings(flange.centre + np.array([[side, -0.999], [side, 0.999]]) * flange.halves @ flange.frame)
    if any(shapely.intersects(end, [*others, shapely.boundary(floor.polygon)])):
        return 0.0, 0.0  # it has met one
    low, high = box_round(floor.polygon)
    far = 2 * float(np.hypot(*(high - low)))
    lines = [
        shapely.linestrings([start, start + far * side * flange.axis])
        for start in flange.centre + np.array([[-1.0], [0.0], [1.0]]) * flange.half * 0.999 * flange.frame[1]
    ]
    walls = shapely.union_all([shapely.boundary(floor.polygon), *map(shapely.boundary, others)])
    reaches = [_first(shapely.get_coordinates(shapely.intersection(line, walls)), flange, side) for line in lines]
    known = [reach for reach in reaches if reach is not None]
    return (known[len(known) // 2], min(known)) if known else None


def _first(places: Array, flange: Flange, side: float) -> float | None:
    away = (places - flange.centre) @ flange.axis * side
    ahead = away[away > flange.length / 2 - 1e-6]
    return float(ahead.min()) if len(ahead) else None
