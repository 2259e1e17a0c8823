"""Every entry of a job with its key path: what was typed, and what it means."""

from collections.abc import Iterator
from typing import Any

from ..quantities import Units, format_quantity
from ..records import record
from .kinds import Edges, Kind, Many, Measure, Named, Pair, Spot, Table
from .model import AtCorner, Job, Place, Priced, Typed
from .refusals import under
from .schema import HEAD, OFFSET, SECTIONS
from .toml_text import place_parts


@record
class Entry:
    """An entry as typed; of a figure also its kind, and its value in the unit inside."""

    key: str
    typed: object
    measure: Measure | None = None
    value: float | None = None

    def understood(self, units: Units) -> str | None:
        """The figure in words, in these units; None where the entry is none."""
        if self.measure is None or self.value is None:
            return None
        return format_quantity(self.value, self.measure.dimension, units)


def entries(job: Job) -> Iterator[Entry]:
    """All entries given, in the file's order."""
    for field in HEAD.fields:
        yield from _inside(f"job.{field.key}", field.kind, getattr(job, field.attr))
    for field in SECTIONS:
        yield from _inside(field.key, field.kind, getattr(job, field.attr))


def _inside(key: str, kind: Kind, value: Any) -> Iterator[Entry]:
    if value is None or value == "":
        return
    match kind:
        case Table():
            for field in kind.fields:
                yield from _inside(f"{key}.{field.key}", field.kind, getattr(value, field.attr))
        case Many() | Pair():
            for i, item in enumerate(value):
                yield from _inside(f"{key}[{i}]", kind.item, item)
        case Edges():
            yield from (Entry(f'{key}."{wall}"', what.value) for wall, what in value)
        case Named():
            for name, item in value:
                yield from _inside(under(key, name), kind.kinds[name], item)
        case Spot():
            yield from _place(key, value)
        case _:
            yield _one(key, kind, value)


def _one(key: str, kind: Kind, value: Any) -> Entry:
    if isinstance(kind, Measure) and isinstance(value, Typed):
        return Entry(key, value.text, kind, value.value)
    if isinstance(value, Priced):
        return Entry(key, value.text)
    return Entry(key, value if isinstance(value, bool) else str(value))


def _place(key: str, place: Place) -> Iterator[Entry]:
    if isinstance(place, AtCorner):
        yield Entry(key, place.corner)
        return
    for name, part in place_parts(place).items():
        yield _one(under(key, name), OFFSET, part)
