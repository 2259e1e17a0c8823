"""The sheets: the moisture barrier under the mud, and the lining."""

import math

from ..job.defaults import barrier
from ..job.model import Barrier, EdgeKind
from ..quantities import round_up
from ..records import record
from . import practice
from .heights import Heights
from .rules import Rule
from .site import Site, box

_NOISE = 1e-9


@record
class BarrierSheet:
    """A barrier laid over the floor and turned up the walls [mm].

    courses: how many roll widths lie side by side; course: one's length, width: the roll's, lap, turn_up; piece: a
    single sheet, in whole steps off a roll.
    """

    kind: Barrier
    courses: int
    course: float
    width: float
    lap: float
    turn_up: float
    piece: tuple[float, float]

    @property
    def length(self) -> float:
        """All courses together [mm]."""
        return self.courses * self.course


def barrier_sheet(site: Site) -> BarrierSheet | None:
    """The job's moisture barrier, if any.

    Felt lies in courses off a roll, the way that takes least; poly and membrane in one piece.
    """
    kind = barrier(site.job)
    if kind is Barrier.NONE:
        return None
    up, lap = practice.TURN_UP[site.units], site.rules.cleavage_lap.value
    sides = tuple(side + 2 * up for side in box(site.floor))
    step = practice.PIECE_STEP[site.units]
    piece = (round_up(sides[0], step), round_up(sides[1], step))
    if kind is not Barrier.FELT:
        return BarrierSheet(kind, 1, max(piece), min(piece), lap, up, piece)
    width = practice.FELT_WIDTH[site.units]
    spans = ((along, (across - lap) / (width - lap)) for along, across in (sides, sides[::-1]))
    ways = ((max(1, math.ceil(needed - _NOISE)), along) for along, needed in spans)
    courses, along = min(ways, key=lambda way: (way[0] * way[1], way[0]))
    return BarrierSheet(kind, courses, along, width, lap, up, piece)


@record
class Lining:
    """The waterproof layer's size [mm].

    is_liner: between two beds; over_threshold: how far over the finished threshold, the most that is `asked`;
    threshold: its top over the datum, assumed where the job tells none; top: the upper edge over the datum; up_least,
    up_most: how far up the walls from the bed; area [mm2]: floor, walls and over thresholds; piece: what covers all,
    along A-B and square to it, in whole steps off a roll.
    """

    is_liner: bool
    over_threshold: Rule
    asked: tuple[Rule, ...]
    threshold: float
    is_assumed: bool
    top: float
    up_least: float
    up_most: float
    area: float
    piece: tuple[float, float]


def lining(site: Site, finished: Heights) -> Lining:
    """A planned bed's lining; codes differ on its height over the threshold: the highest meets all, a curb's too."""
    rules = site.rules
    asked = (rules.lining_over_threshold_upc, rules.lining_over_threshold_ipc)
    curb = rules.lining_over_curb if site.edges(EdgeKind.CURB) else None
    over = max((*asked, curb) if curb else asked, key=lambda rule: rule.value)
    known, least = _threshold(site, finished), rules.curb_least
    assumed = site.build_up + (practice.CURB[site.units] if least is None else least.value)
    threshold = assumed if known is None else known
    top = threshold + over.value
    beds = [corner.above_datum - site.build_up for corner in finished.corners]
    most = top - min(beds)
    step = practice.PIECE_STEP[site.units]
    along, across = (round_up(side + 2 * most, step) for side in box(site.floor))
    return Lining(
        is_liner=site.is_between,
        over_threshold=over,
        asked=asked,
        threshold=threshold,
        is_assumed=known is None,
        top=top,
        up_least=top - max(beds),
        up_most=most,
        area=_area(site, threshold - min(beds), most),
        piece=(along, across),
    )


def _threshold(site: Site, finished: Heights) -> float | None:
    tops = [edge.high for edge in finished.thresholds if edge.kind is EdgeKind.OPEN]
    if site.edges(EdgeKind.CURB):
        if site.curb_top is None:
            return None
        tops.append(site.curb_top)
    return max(tops, default=None)


def _area(site: Site, step: float, up: float) -> float:
    floor = site.floor
    over = set(site.thresholds)
    walls = sum(floor.length(i) for i in range(len(floor.walls)) if i not in over)
    walls += sum(float(island.lengths.sum()) for island in floor.borders[1:])
    across = max(step, 0.0) + practice.CURB_WRAP[site.units]
    return floor.area + walls * up + sum(floor.length(i) for i in over) * across
