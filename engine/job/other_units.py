"""A job turned to other units, every length it holds staying what it was."""

import dataclasses
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from typing import Any

from ..errors import JobError
from ..phrases import phrase
from ..quantities import Dimension, Units, has_unit
from .kinds import Kind, Many, Measure, Named, Pair, Spot, Table
from .model import Job, Outline, Place, Priced, Typed
from .schema import SECTIONS


def with_units(job: Job, units: Units) -> Job:
    """The job in other units; lengths typed without a unit get the old one, so none changes.

    What is left out takes the other units' default (a mark step of 1 mm, say). Raises JobError where there are prices:
    they are for another thing in other units.
    """
    if units is job.units:
        return job
    if any(isinstance(given, Priced) for _, given in job.prices):
        raise JobError(
            "job.units",
            units.value,
            phrase("the prices are for packs and areas in the job's units"),
            phrase("take them out of [prices] first, and give them anew"),
        )

    def written_out(typed: Typed) -> Typed:
        return _with_unit(typed, job.units)

    entries = {f.attr: _rebuilt(f.kind, getattr(job, f.attr), written_out) for f in SECTIONS}
    return replace(job, units=units, **entries)


def _rebuilt(kind: Kind, value: Any, change: Callable[[Typed], Typed]) -> Any:
    match kind:
        case _ if value is None:
            return None
        case Measure(dimension=Dimension.LENGTH):
            return change(value)
        case Table():
            return _rebuilt_table(kind, value, change)
        case Many() | Pair():
            return tuple(_rebuilt(kind.item, item, change) for item in value)
        case Named():
            return tuple((name, _rebuilt(kind.kinds[name], item, change)) for name, item in value)
    return _rebuilt_place(value, change) if isinstance(kind, Spot) else value


def _rebuilt_place(place: Any, change: Callable[[Typed], Typed]) -> Place:
    entries = {f.name: getattr(place, f.name) for f in dataclasses.fields(place)}
    moved: Place = replace(place, **{k: change(v) for k, v in entries.items() if isinstance(v, Typed)})
    return moved


def _rebuilt_table(kind: Table, value: Any, change: Callable[[Typed], Typed]) -> Any:
    entries = {f.attr: _rebuilt(f.kind, getattr(value, f.attr), change) for f in kind.fields}
    if isinstance(value, Outline) and value.half_rectangle is not None:
        first, second = (None if side is None else change(side) for side in value.half_rectangle)
        entries["half_rectangle"] = (first, second)
    return replace(value, **entries)


def _with_unit(typed: Typed, units: Units) -> Typed:
    if has_unit(typed.text):
        return typed
    number = typed.text if isinstance(typed.text, str) else f"{Decimal(repr(typed.text)):f}"
    return Typed(f"{number} {units}", typed.value)
