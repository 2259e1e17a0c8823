"""What the checks look at: earlier stages' results, there or waiting."""

from typing import NamedTuple

from ..bed.depth import Depth
from ..bed.drains import SetDrain
from ..bed.flange import Flange
from ..bed.surfaces import Bed, NoBed
from ..records import record
from ..survey.outline import FloorOutline
from ..survey.rough_floor import RoughFloor
from ..survey.spot import Needs


class Station(NamedTuple):
    """A reading at its place: in words, x, y, drop below the line, height over the datum [mm]."""

    at: str
    x: float
    y: float
    drop: float
    height: float


@record
class Stages:
    """plan.py's results so far; a check whose stage waits is skipped.

    flanges: known before the drains' heights; readings: one a station, heights over any one datum.
    """

    outline: FloorOutline | Needs
    flanges: tuple[Flange, ...] | Needs
    drains: tuple[SetDrain, ...] | Needs
    readings: tuple[Station, ...] | Needs
    rough: RoughFloor | Needs
    bed: Bed | NoBed
    depth: Depth | Needs
