"""What the checks look at: the results of the stages before them, each there or still waiting."""

from typing import Protocol

from engine.bed.depth import Depth
from engine.bed.drains import SetDrain
from engine.bed.flange import Flange
from engine.bed.surfaces import Bed, Hidden
from engine.records import record
from engine.survey.outline import FloorOutline
from engine.survey.rough_floor import RoughFloor
from engine.survey.spot import Needs


class Station(Protocol):
    """A reading at its place: `at` as a person says it, x, y and height in [mm], up positive."""

    @property
    def at(self) -> str:
        """Where it was taken, in words."""

    @property
    def x(self) -> float:
        """Across [mm]."""

    @property
    def y(self) -> float:
        """Up the plan [mm]."""

    @property
    def height(self) -> float:
        """Over any one datum [mm]."""


@record
class Stages:
    """The results that plan.py has so far; a check whose stage still waits is skipped.

    flanges: known before the drains' heights are; readings: one station a reading, heights over any one datum.
    """

    outline: FloorOutline | Needs
    flanges: tuple[Flange, ...] | Needs
    drains: tuple[SetDrain, ...] | Needs
    readings: tuple[Station, ...] | Needs
    rough: RoughFloor | Needs
    bed: Bed | Hidden | Needs
    depth: Depth | Needs
