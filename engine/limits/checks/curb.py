"""The curb: high enough to hold water, too low to trip on; how far a floor lies under an open edge."""

import numpy as np

from ...bed.surfaces import Bed
from ...job.model import EdgeKind
from ...phrases import phrase
from ...quantities import round_down, round_up
from ...records import record
from ...survey.outline import FloorOutline
from ...types import Array
from ...work.site import build_up
from ..words import fine
from .case import NOISE, Case, Figure, Finding, Findings, Limit, Spot

_SAMPLES = 33  # points along an edge where the floor is asked


@record
class _Verdict:
    """What is wrong, and how far the curb's top must go down (negative: up) [mm]."""

    rule: str
    says: str
    remedy: str
    by: float


def curb_rises(case: Case) -> tuple[float, float] | None:
    """How far the curb's top stands over the finished drains, least and most [mm]; None where unknown."""
    drains, drop, floor = case.stages.drains, case.job.curb.drop, case.stages.outline
    if not drains or not floor or drop is None:
        return None
    drops = [drain.drop for drain in drains if drain.drop is not None]
    if EdgeKind.CURB not in floor.kinds or len(drops) < len(drains) or not drops:
        return None
    rises = [flange - drop.value - build_up(case.job) for flange in drops]
    return min(rises), max(rises)


def too_low(case: Case) -> float:
    """How much too low the curb's top stands [mm], below 0 where it does not; -inf where none is asked for."""
    rises, least = curb_rises(case), case.book.find(Figure.CURB_LEAST)
    return least.value - rises[0] if rises and least else -np.inf


def too_high(case: Case, bed: Bed | None) -> float:
    """How much too high it stands over the finished drain, or the finished floor beside it [mm], likewise."""
    (_, rise), find = curb_rises(case) or (None, None), case.book.find
    beside = None if bed is None else threshold_rise(case, bed)
    limits = ((rise, find(Figure.CURB_MOST)), (beside, find(Figure.THRESHOLD_MOST)))
    return max((rise - most.value for rise, most in limits if most and rise is not None), default=-np.inf)


def check_curb(case: Case) -> Findings:
    """Findings curb-low and curb-high against the finished drain."""
    rises, floor = curb_rises(case), case.stages.outline
    if rises is None or not floor:
        return
    least, most = case.book.find(Figure.CURB_LEAST), case.book.find(Figure.CURB_MOST)
    if least and rises[0] < least.value - NOISE:
        yield _finding(case, floor, least, _low(case, rises[0], least))
    if most and rises[1] > most.value + NOISE:
        yield _finding(case, floor, most, _high(case, rises[1], most, phrase("the finished drain")))


def threshold_rise(case: Case, bed: Bed) -> float | None:
    """How far the curb's top stands over the lowest finished floor beside it [mm]; None where unknown."""
    drains, drop, curbs = case.stages.drains, case.job.curb.drop, _edges(bed.reach.floor, EdgeKind.CURB)
    if not drains or drop is None or drains[0].drop is None or not curbs:
        return None
    beside = float(bed.height(_along(bed.reach.floor, curbs)).min())
    return drains[0].drop - drop.value - build_up(case.job) - beside


def check_threshold(case: Case, bed: Bed) -> Findings:
    """Finding curb-high against the finished floor beside it, where the rulebook limits that."""
    most, rise = case.book.find(Figure.THRESHOLD_MOST), threshold_rise(case, bed)
    if most and rise is not None and rise > most.value + NOISE:
        transfer, also = case.book.find(Figure.THRESHOLD_MOST_TRANSFER), ""
        if transfer:
            also = phrase(" (for a transfer type, in alterations, {transfer})", transfer=case.limit(transfer))
        high = _high(case, rise, most, phrase("the finished floor beside it"), also)
        yield _finding(case, bed.reach.floor, most, high)


def _edges(floor: FloorOutline, kind: EdgeKind) -> list[int]:
    return [i for i, own in enumerate(floor.kinds) if own is kind]


def _along(floor: FloorOutline, edges: list[int]) -> Array:
    parts = np.linspace(0.0, 1.0, _SAMPLES)
    return np.vstack([floor.on_wall(edge, parts * floor.length(edge)) for edge in edges])


def _low(case: Case, rise: float, least: Limit) -> _Verdict:
    short = least.value - rise
    says = phrase(
        "its top is {rise} above the finished drain, less than {limit}"
        if rise >= 0
        else "its top is {rise} below the finished drain, where at least {limit} above it is needed",
        rise=case.under(rise) if rise >= 0 else case.over(-rise),
        limit=case.limit(least),
    )
    return _Verdict("curb-low", says, phrase("build the curb {short} higher", short=case.worked(short)), -short)


def _high(case: Case, rise: float, most: Limit, over: str, also: str = "") -> _Verdict:
    says = phrase(
        "its top is {rise} above {over}, more than {most}{also}",
        rise=case.over(rise),
        over=over,
        most=case.limit(most),
        also=also,
    )
    by = rise - most.value
    return _Verdict("curb-high", says, phrase("make the curb {over} lower", over=case.worked(by)), by)


def _finding(case: Case, floor: FloorOutline, limit: Limit, verdict: _Verdict) -> Finding:
    first = _edges(floor, EdgeKind.CURB)[0]
    drop = case.job.curb.drop
    rounded = round_down if verdict.by < 0 else round_up
    moved = rounded((drop.value if drop else 0.0) + verdict.by, fine(case.units))
    return limit.broken(
        verdict.rule,
        says=phrase("the curb at {wall}: {verdict}", wall=floor.walls[first], verdict=verdict.says),
        remedy=verdict.remedy,
        spot=Spot.at(verdict.by, floor.middle(first)),
        key="curb.drop",
        change=(("curb.drop", case.length(moved)),) if moved > 0 else (),
    )


def check_sunk(case: Case, bed: Bed) -> Findings:
    """Finding floor-sunk: the lowest drain under the highest open edge, which the floor outside meets.

    By the bed's heights: tile and mortar are alike at both.
    """
    most, floor, drains = case.book.find(Figure.SUNK_MOST), bed.reach.floor, case.stages.drains
    if most is None or not drains:
        return
    opens = _edges(floor, EdgeKind.OPEN)
    if not opens:
        return
    points = _along(floor, opens)
    heights = bed.height(points)
    top = int(np.argmax(np.round(heights, 6)))
    sunk = float(heights[top]) - min(drain.height for drain in drains)
    if sunk <= most.value + NOISE:
        return
    spot = Spot.at(sunk, points[top])
    yield most.broken(
        "floor-sunk",
        says=phrase(
            "the drain lies {sunk} under the floor outside the open edge {place}, more than {most}",
            sunk=case.over(sunk),
            place=case.at(spot),
            most=case.limit(most),
        ),
        remedy=phrase(
            "let the bed rise {by} less from the drain to that edge: bring the drain nearer to it, or let the bed "
            "fall more gently",
            by=case.worked(sunk - most.value),
        ),
        spot=spot,
        key="drains",
    )
