"""The drains: their flanges in plan, and the height each is set at."""

from collections.abc import Iterator
from functools import lru_cache
from itertools import chain

import numpy as np

from ..errors import JobError
from ..job.model import Drain, DrainKind, Job
from ..phrases import phrase
from ..quantities import Units
from ..records import record
from ..survey.outline import FloorOutline
from ..survey.places import locate
from ..survey.spot import Needs
from .flange import Flange, Flanges

_LEAST_CHANNEL = 1.0  # [mm]


@record
class SetDrain:
    """A drain set at its height over the datum (0 for the first) and over the rough floor [mm].

    drop: from the level line to the flange top [mm], None without a line; planned: all heights were left open, and are
    reckoned; level: this one's was, and is level with a measured one.
    """

    flange: Flange
    height: float
    above_rough: float
    drop: float | None
    planned: bool
    level: bool = False


def flanges(job: Job, floor: FloorOutline) -> Flanges | Needs:
    """The drains' flanges in plan.

    Raises JobError for a place that is none, a channel that ends where it starts.
    """
    lacking = drain_needs(job)
    if not job.drains:
        return lacking[0]
    found = []
    for i, drain in enumerate(job.drains):
        flange = _flange(drain, floor, f"drains[{i}]", job.units)
        if flange is None:
            return lacking[0]
        found.append(flange)
    return tuple(found)


def drain_needs(job: Job) -> tuple[Needs, ...]:
    """All that the drains' flanges lack, whatever else the job holds."""
    if not job.drains:
        return (Needs("drains[0]", phrase("where is the drain?")),)
    return tuple(chain.from_iterable(_lacking(drain, f"drains[{i}]") for i, drain in enumerate(job.drains)))


def _lacking(drain: Drain, key: str) -> Iterator[Needs]:
    if drain.kind is None:
        yield Needs(f"{key}.kind", phrase("is the drain round, square or a channel?"))
    if drain.size is None:
        yield Needs(f"{key}.size", phrase("how wide is the drain's flange?"))
    if drain.kind is DrainKind.CHANNEL:
        if drain.start is None or drain.end is None:
            yield Needs(f"{key}.from", phrase("from where to where does the channel run?"))
    elif drain.at is None:
        yield Needs(f"{key}.at", phrase("where is the drain?"))


def _flange(drain: Drain, floor: FloorOutline, key: str, units: Units) -> Flange | None:
    if drain.kind is None or drain.size is None:
        return None
    if drain.kind is DrainKind.CHANNEL:
        return _channel(drain, drain.size.value, floor, key, units)
    if drain.at is None:
        return None
    x, y = locate(drain.at, floor, f"{key}.at", units).tolist()
    return _same(drain.kind, (x, y), drain.size.value, tuple(floor.directions[0].tolist()))


def _channel(drain: Drain, width: float, floor: FloorOutline, key: str, units: Units) -> Flange | None:
    if drain.start is None or drain.end is None:
        return None
    start = locate(drain.start, floor, f"{key}.from", units)
    end = locate(drain.end, floor, f"{key}.to", units)
    length = float(np.hypot(*(end - start)))
    if length < _LEAST_CHANNEL:
        raise JobError(
            f"{key}.to", "the place it starts from", phrase("the channel has no length"), phrase("say where it ends")
        )
    (x, y), (across, up) = ((start + end) / 2).tolist(), ((end - start) / length).tolist()
    return _same(DrainKind.CHANNEL, (x, y), width, (across, up), length)


@lru_cache(maxsize=16)
def _same(
    kind: DrainKind, centre: tuple[float, float], size: float, axis: tuple[float, ...], length: float = 0.0
) -> Flange:
    return Flange(kind, np.array(centre) + 0.0, size, np.array(axis) + 0.0, length)  # no minus zero


def set_drains(job: Job, rings: Flanges, roughs: list[float], line: float | None) -> tuple[SetDrain, ...]:
    """The drains at their heights over the datum [mm].

    roughs: the rough floor under each centre; line: the drop from the level line to the datum, None where unknown.
    """
    found = zip(rings, heads(job), roughs, job.drains, strict=True)
    measured = datum_drop(job) is not None
    return tuple(
        SetDrain(
            ring,
            head,
            head - rough,
            None if line is None else line - head,
            planned=drain.drop is None and not measured,
            level=drain.drop is None and measured,
        )
        for ring, head, rough, drain in found
    )


def datum_drop(job: Job) -> float | None:
    """The first drain's drop [mm], or that of the first measured one, level with it; None where none is."""
    return next((drain.drop.value for drain in job.drains if drain.drop is not None), None)


def heads(job: Job) -> tuple[float, ...]:
    """How much higher than the first each drain is set [mm]; one left open is level with the first measured one.

    A lowest of its own need not be better: walls and ridges rise with it, maybe more than a measured drain's part
    bears, and its own part shrinks, to none at last. Remedies tell what height its depth asks for.
    """
    datum = datum_drop(job)
    return tuple(0.0 if datum is None or drain.drop is None else datum - drain.drop.value for drain in job.drains)
