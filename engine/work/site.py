"""What the work is reckoned from."""

from functools import cached_property, lru_cache

import numpy as np

from ..bed.depth import Depth
from ..bed.drains import SetDrain
from ..bed.surfaces import Bed
from ..job.defaults import barrier, has_bond_coat, has_liner, over_liner, tiled
from ..job.model import Barrier, EdgeKind, FloorKind, Job
from ..quantities import Units
from ..records import result
from ..survey.outline import FloorOutline
from ..survey.rough_floor import RoughFloor
from ..types import Array
from .rules import Rules


def build_up(job: Job) -> float:
    """What comes over the planned bed, up to the tile's face [mm]."""
    return tiled(job) + over_liner(job)


@result
class Site:
    """A job whose bed is planned; heights over the first drain's flange top [mm]."""

    job: Job
    floor: FloorOutline
    drains: tuple[SetDrain, ...]
    rough: RoughFloor
    bed: Bed
    depth: Depth
    rules: Rules

    @property
    def units(self) -> Units:
        """The units words are in."""
        return self.job.units

    @property
    def is_wood(self) -> bool:
        """Whether the floor is wood."""
        return self.job.floor.kind is FloorKind.WOOD

    @property
    def is_bonded(self) -> bool:
        """Whether the bed lies right on concrete."""
        return not self.is_wood and barrier(self.job) is Barrier.NONE

    @property
    def has_bond_coat(self) -> bool:
        """Whether a bond coat holds the bed."""
        return self.is_bonded and has_bond_coat(self.job)

    @cached_property
    def is_between(self) -> bool:
        """Whether a liner lies between two beds."""
        return has_liner(self.job)

    @cached_property
    def upper_bed(self) -> float:
        """The even depth of the bed over a liner, 0 for none [mm]."""
        return over_liner(self.job)

    @cached_property
    def build_up(self) -> float:
        """What comes over the planned bed [mm]."""
        return build_up(self.job)

    @property
    def line(self) -> float | None:
        """The drop from the level line to the datum [mm]; None where unknown."""
        return self.drains[0].drop

    @cached_property
    def curb_top(self) -> float | None:
        """The finished curb's top over the datum [mm]; None without a curb of known height."""
        drop = self.job.curb.drop
        if drop is None or self.line is None or not self.edges(EdgeKind.CURB):
            return None
        return self.line - drop.value

    def edges(self, *kinds: EdgeKind) -> tuple[int, ...]:
        """The numbers of the edges of these kinds."""
        return tuple(i for i, kind in enumerate(self.floor.kinds) if kind in kinds)

    @cached_property
    def thresholds(self) -> tuple[int, ...]:
        """The numbers of the edges stepped over: curbs and open edges."""
        return self.edges(EdgeKind.CURB, EdgeKind.OPEN)


@lru_cache(maxsize=16)
def box(floor: FloorOutline) -> tuple[float, float]:
    """A floor's extent along A-B and square to it [mm]."""
    along, across = np.ptp(framed(floor, floor.ring), axis=0).tolist()
    return along, across


def framed(floor: FloorOutline, points: Array) -> Array:
    """Points (k, 2) as distances from A along A-B and square to it, into the floor [mm]."""
    axes = np.array([floor.directions[0], floor.inward[0]]).T
    return np.asarray((points - floor.corners[0]) @ axes)
