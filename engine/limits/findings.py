"""What a check says: a rule's name, how grave it is, the place, the figure, the remedy, the source."""

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
    """One thing that a check has to say; x, y in [mm] only where it has a place.

    `key` is the job entry the remedy touches; `change` lists entries (key path, text) that surely clear the finding;
    `drains` are the numbers of those, or whose parts, it is about, none where it is about no single ones.
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
