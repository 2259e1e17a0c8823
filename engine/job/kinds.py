"""The kinds of entries in the job file's table; bounds are in the units inside (see `engine/dimensions.py`)."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, TypeAlias

from ..records import record

if TYPE_CHECKING:
    from decimal import Decimal
    from enum import StrEnum

    from ..quantities import Dimension


@record
class Measure:
    """A figure with its unit; `above` leaves out the least itself, `below` the most."""

    dimension: Dimension
    least: float
    most: float
    above: bool = False
    below: bool = False


@record
class Choice:
    """One of a few words."""

    words: type[StrEnum]


@record
class Flag:
    """True or false."""


@record
class Words:
    """Free text of at most so many characters."""

    most: int


@record
class Day:
    """A date within the years that a work order can count in."""

    first_year: int = 2000
    last_year: int = 2199


@record
class CornerName:
    """The letters of a corner."""


@record
class Spot:
    """A place in any of its four forms."""


@record
class Edges:
    """Walls by name, each with what stands there."""


@record
class Price:
    """What one of a thing costs: a plain number, kept as the exact decimal."""

    most: Decimal


@record
class Named:
    """Entries by name, each of its own kind, in the order given."""

    kinds: Mapping[str, Kind]
    example: str


@record
class Pair:
    """Two lengths in a list."""

    item: Measure
    names: tuple[str, str]


@record
class Many:
    """A list of things of one kind."""

    item: Kind
    most: int
    singular: str


@record
class Field:
    """A table's key: its name in the file, its name in the model, what it holds."""

    key: str
    attr: str
    kind: Kind
    required: bool = False


@record
class Table:
    """Keys that stand together, and the frozen dataclass (or dict) they make."""

    make: Callable[..., Any]
    fields: tuple[Field, ...]

    @property
    def keys(self) -> tuple[str, ...]:
        """The names in the file."""
        return tuple(field.key for field in self.fields)

    def find(self, key: str) -> Field | None:
        """The field of that name in the file."""
        return next((field for field in self.fields if field.key == key), None)


Kind: TypeAlias = (
    Measure | Choice | Flag | Words | Day | CornerName | Spot | Edges | Price | Named | Pair | Many | Table
)
