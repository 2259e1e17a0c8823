"""Two results that every stage speaks in: a figure at a place, and what is still missing."""

from __future__ import annotations

from typing import Literal

from ..records import record
from ..types import Array


@record
class Spot:
    """A figure and its place; x, y in [mm]."""

    value: float
    x: float
    y: float

    @staticmethod
    def at(value: float, place: Array) -> Spot:
        """A figure at a place (2,) [mm]."""
        return Spot(float(value), *place.tolist())


@record
class Needs:
    """What a stage waits for: the job's key path, and the question in words; false, as nothing is there."""

    key: str
    says: str

    def __bool__(self) -> Literal[False]:
        return False
