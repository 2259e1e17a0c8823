"""The rough floor ground down or filled to what the plan's readings say of it, before anything is laid on it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ..phrases import joined, phrase
from ..quantities import INCH, format_length
from ..survey.place_words import place_words
from ..survey.places import locate_all
from . import cautions
from .steps import Task, plain

if TYPE_CHECKING:
    from .whole import Work

_LIFT = 2 * INCH  # [mm] a thicker fill is laid in lifts (common practice, no source)
_AGAIN = phrase(
    "This plan's figures are of the floor as it then is: read those places again, and enter what the line reads"
)


def worked_floor(work: Work) -> Iterator[Task]:
    """The task of working the floor, where a reading says that it is to be."""
    site = work.site
    worked = [reading for reading in site.job.readings if reading.before is not None]
    if not worked:
        return
    places = locate_all([reading.at for reading in worked], site.floor, "readings", site.units)
    down, up, most = list[str](), list[str](), 0.0
    for reading, (x, y) in zip(worked, places.tolist(), strict=True):
        told = phrase(
            "{drop} {place} ({before} before)",
            drop=format_length(reading.drop.value, site.units),
            place=place_words(x, y, site.floor, site.units),
            before=format_length(reading.read.value, site.units),
        )
        (down if reading.drop.value > reading.read.value else up).append(told)
        most = max(most, reading.read.value - reading.drop.value)
    bring, raise_ = (
        (phrase("Have a carpenter bring high spots down"), phrase("Have a carpenter pack low spots up"))
        if site.is_wood
        else (phrase("Grind high spots down"), phrase("Fill low spots, and let it set"))
    )
    orders = [
        phrase("{work}, until the line reads {places}", work=order, places=joined(", ", told))
        for order, told in ((bring, down), (raise_, up))
        if told
    ]
    lifts = [phrase("Fill in lifts, and let each set first")] if most > _LIFT and not site.is_wood else []
    dust = (cautions.CUTTING_DUST,) if down and not site.is_wood else ()
    yield Task(phrase("Work the rough floor"), plain(*orders, *lifts, _AGAIN), cautions=dust)
