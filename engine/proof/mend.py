"""The mend list: where to shave and where to fill."""

from typing import NamedTuple

import numpy as np

from ..records import record
from ..survey.spot import Spot
from .falls import Lines, extreme_falls
from .surface import BuiltSurface

# [mm] A station farther off is always mended (1/8 in; common practice, no source); one nearer to the plan only
# where water or a fall asks for it, the worst first.
OFF = 3.175
_STEPS = (OFF, 1.5875, 0.79375, 0.0)
_NOISE = 1e-6  # [mm]
_LEAST_PART = 0.9  # of the planned least fall; the rest is the readings' own doubt


class Mend(NamedTuple):
    """A place to bring back to the plan: the station's number in the surface, x, y, and what to add [mm].

    Negative where mud has to come off.
    """

    station: int
    x: float
    y: float
    add: float


@record
class Mending:
    """What to shave and fill; how many ponds that leaves, and the least fall [-] with its place."""

    mends: tuple[Mend, ...]
    ponds_left: int
    least_fall: Spot


def mending(surface: BuiltSurface, lines: Lines) -> Mending:
    """The stations that are off: as many, worst first, as let water run off and lines fall as planned.

    All together make the planned bed: there always is a list.
    """
    planned = float(lines.falls(surface.bed.height(lines.starts)).min())
    for off in _STEPS:
        is_off = np.abs(surface.errors) > off + _NOISE
        after = surface.mended(np.where(is_off, 0.0, surface.errors))
        least, _ = extreme_falls(after, lines)
        if off == 0.0 or (not after.ponds and least.value >= _LEAST_PART * planned):
            break
    mends = [
        Mend(i, x, y, -error)
        for i, ((x, y), error) in enumerate(zip(surface.stations.tolist(), surface.errors.tolist(), strict=True))
        if is_off[i]
    ]
    mends.sort(key=lambda mend: (-round(abs(mend.add), 6), mend.station))
    return Mending(tuple(mends), len(after.ponds), least)
