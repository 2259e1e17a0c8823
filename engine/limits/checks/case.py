"""What a check works on and tells: job, rulebook, the stages' results, findings."""

from collections.abc import Callable
from typing import TypeVar

from ...job.model import Job
from ...quantities import Units, format_fall, format_length
from ...records import record
from ...survey.place_words import place_words
from ...survey.spot import Needs, Spot
from ..depth_limits import DepthLimits, depth_limits
from ..findings import Finding, Findings, Level
from ..rulebook import Figure, Limit, Rulebook, default_fall
from ..stages import Stages
from ..words import length_over, length_under, limit_fall, limit_length, nearly, worked

__all__ = [
    "NOISE",
    "RELATIVE_NOISE",
    "Case",
    "Figure",
    "Finding",
    "Findings",
    "Level",
    "Limit",
    "Needs",
    "Spot",
    "is_above",
    "is_below",
    "planned_fall",
]

_T = TypeVar("_T")
NOISE = 1e-6  # [mm] float noise this small breaks no limit
RELATIVE_NOISE = 1e-9  # [-] nor this small a part of a fall or an area


def _in_units(told: Callable[[_T, Units], str]) -> Callable[["Case", _T], str]:
    return lambda case, figure: told(figure, case.job.units)


@record
class Case:
    """A job, its rulebook, and what the stages before the limits came to."""

    job: Job
    book: Rulebook
    stages: Stages

    @property
    def units(self) -> Units:
        """The units findings speak in."""
        return self.job.units

    length, over, under = _in_units(format_length), _in_units(length_over), _in_units(length_under)
    worked, nearly, fall = _in_units(worked), _in_units(nearly), _in_units(format_fall)
    limit, limit_fall = _in_units(limit_length), _in_units(limit_fall)

    @property
    def depth_limits(self) -> DepthLimits:
        """The planned bed's depth limits."""
        return depth_limits(self.job, self.book)

    def at(self, spot: Spot) -> str:
        """A spot's place in words."""
        floor = self.stages.outline
        return place_words(spot.x, spot.y, floor, self.units) if floor else ""


def planned_fall(case: Case) -> float:
    """The job's fall, or the rulebook's least where it has none [-]."""
    fall = case.job.bed.fall
    return default_fall(case.book) if fall is None else fall.value


def is_below(value: float, least: float) -> bool:
    """Whether a fall or an area is below its limit by more than noise."""
    return value < least * (1 - RELATIVE_NOISE)


def is_above(value: float, most: float) -> bool:
    """Whether it is above, likewise."""
    return value > most * (1 + RELATIVE_NOISE)
