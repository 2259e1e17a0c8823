"""What a check says: rule, how grave, place, figure, remedy, source."""

from collections.abc import Iterator
from enum import StrEnum
from typing import TypeAlias

from ..records import record


class Level(StrEnum):
    """How grave a finding is."""

    STOP = "stop"
    CAUTION = "caution"
    NOTE = "note"


Change: TypeAlias = tuple[tuple[str, str], ...]


@record
class Finding:
    """What a check has to say; x, y [mm] only where it has a place.

    key: the job entry the remedy touches; change: entries (key path, text) that surely clear it; drains: the numbers of
    those, or whose parts, it is about, if any.
    """

    rule: str
    level: Level
    says: str
    remedy: str
    source: str
    x: float | None = None
    y: float | None = None
    key: str | None = None
    change: Change = ()
    drains: tuple[int, ...] = ()


Findings: TypeAlias = Iterator[Finding]
