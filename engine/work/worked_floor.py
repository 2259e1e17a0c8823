"""The rough floor ground down or filled to the plan's readings, before all else."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np
import shapely

from ..packed import wording
from ..phrases import phrase
from ..quantities import INCH, format_length
from ..survey.place_words import place_words
from ..survey.places import locate_all
from ..survey.rough_floor import rough_floor
from .cautions import careful
from .steps import Task, plain
from .words import volume_over

if TYPE_CHECKING:
    from .site import Site
    from .whole import Work

CUT = INCH / 2  # [mm] more than grinding takes (common practice, no source)
_BROKEN_OUT = phrase("So deep it is broken out: ask first what the slab has room for")
_STRAIGHT = phrase("Work it straight from each of these places to the readings around it")
_LIFTS = phrase("Fill in lifts, and let each set before anything is laid on it")
_WORK = {  # on wood, down
    (False, True): phrase("Grind the slab down"),
    (False, False): phrase("Fill the slab"),
    (True, True): phrase("Have a carpenter bring the floor down"),
    (True, False): phrase("Have a carpenter pack the floor up"),
}


def worked_floor(work: Work) -> Iterator[Task]:
    """The task of working the floor, where a reading asks for it."""
    site = work.site
    worked = [reading for reading in site.job.readings if reading.work]
    if not worked:
        return
    places = locate_all([reading.at for reading in worked], site.floor, "readings", site.units)
    near = shapely.shortest_line(site.floor.polygon, shapely.points(places))
    places = shapely.get_coordinates(near)[::2]  # one a hair off the floor is on it
    by = [reading.work for reading in worked]
    orders = [
        phrase(
            "{work} {place} until the line reads {drop} ({before} before)",
            work=_WORK[site.is_wood, reading.work > 0],
            place=place_words(x, y, site.floor, site.units),
            drop=format_length(reading.drop.value, site.units),
            before=format_length(reading.read.value, site.units),
        )
        for reading, (x, y) in zip(worked, places.tolist(), strict=True)
    ]
    down, up = (0.0, 0.0) if site.is_wood else (max(by), -min(by))
    after = [_STRAIGHT, *(_filling(site) if up > 0 else ()), *[_BROKEN_OUT] * (down > CUT)]
    after.append(wording("work")["read-worked-places"])
    dust = careful("cutting-dust") if down > 0 else ()
    yield Task(phrase("Work the rough floor"), plain(*orders, *after), cautions=dust)


def _filling(site: Site) -> tuple[str, str]:
    readings = site.job.readings
    places = locate_all([reading.at for reading in readings], site.floor, "readings", site.units)
    lower = rough_floor(site.floor, places, np.array([max(one.read.value, one.drop.value) for one in readings]))
    volume = volume_over(site.rough.integral - lower.raised(site.rough.shift).integral, site.units)
    return _LIFTS, phrase("It takes {volume} of patching mortar in place; the shopping list has none", volume=volume)
