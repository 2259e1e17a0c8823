"""The moisture barrier under the mud."""

import math

from ..job.defaults import barrier
from ..job.model import Barrier
from ..quantities import round_up
from ..records import record
from . import practice
from .site import Site, box

_NOISE = 1e-9


@record
class BarrierSheet:
    """A barrier laid over the floor and turned up the walls.

    courses: how many roll widths lie side by side; course: one's length, width: the roll's, lap, turn_up [mm]; piece:
    the single sheet [mm], in whole steps off a roll.
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
    """The job's moisture barrier; None where there is none.

    Felt comes in courses off a roll, laid the way that takes the least length; poly and membrane in one piece.
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
