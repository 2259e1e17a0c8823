"""The rough floor ground down or filled to what the plan's readings say of it, before anything is laid on it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ..job.model import Reading
from ..phrases import phrase
from ..quantities import INCH, format_length
from ..survey.place_words import place_words
from ..survey.places import locate_all
from . import cautions
from .steps import Task, plain

if TYPE_CHECKING:
    from .site import Site
    from .whole import Work

_LIFT = 2 * INCH  # [mm] a thicker fill is laid in lifts (common practice, no source)
_SET = phrase("Let every fill set before anything is laid on it")
_LIFTS = phrase("Fill in lifts and let each set; let every fill set before anything is laid on it")
_AGAIN = phrase(
    "This plan's figures are of the floor as it then is: read those places again, and enter what the line reads"
)


def worked_floor(work: Work) -> Iterator[Task]:
    """The task of working the floor, where a reading says that it is to be."""
    site = work.site
    worked = [reading for reading in site.job.readings if reading.read.value != reading.drop.value]
    if not worked:
        return
    places = locate_all([reading.at for reading in worked], site.floor, "readings", site.units)
    by = [reading.drop.value - reading.read.value for reading in worked]
    orders = [
        _order(site, reading, place_words(x, y, site.floor, site.units), is_down=deeper > 0)
        for reading, (x, y), deeper in zip(worked, places.tolist(), by, strict=True)
    ]
    is_set = min(by) < 0 and not site.is_wood
    after = [_LIFTS if min(by) < -_LIFT else _SET] if is_set else []
    dust = (cautions.CUTTING_DUST,) if max(by) > 0 and not site.is_wood else ()
    yield Task(phrase("Work the rough floor"), plain(*orders, *after, _AGAIN), cautions=dust)


def _order(site: Site, reading: Reading, place: str, *, is_down: bool) -> str:
    parts = {
        "place": place,
        "drop": format_length(reading.drop.value, site.units),
        "before": format_length(reading.read.value, site.units),
    }
    if site.is_wood:
        return phrase(
            "Have a carpenter bring the floor down {place} until the line reads {drop} ({before} before)"
            if is_down
            else "Have a carpenter pack the floor up {place} until the line reads {drop} ({before} before)",
            **parts,
        )
    return phrase(
        "Grind the slab down {place} until the line reads {drop} ({before} before)"
        if is_down
        else "Fill the slab {place} until the line reads {drop} ({before} before)",
        **parts,
    )
