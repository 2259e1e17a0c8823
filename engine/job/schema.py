"""The job file as one table: each key with its kind and its bounds.

Reader, writer and editor all go by this table, so they cannot drift apart. Bounds are inside figures: [mm],
ratios, degrees, [kg], [mm3], [kPa]; they refuse what cannot be meant, while the rulebooks judge what can.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeAlias

from engine.job import model
from engine.quantities import Dimension, Units

if TYPE_CHECKING:
    from collections.abc import Callable
    from enum import StrEnum

FORMAT = 1
_FAR = 1e5  # [mm] no wall of a shower floor is longer


@dataclass(frozen=True, slots=True)
class Measure:
    """A figure with its unit; `above` leaves the least itself out, `below` the most."""

    dimension: Dimension
    least: float
    most: float
    above: bool = False
    below: bool = False


@dataclass(frozen=True, slots=True)
class Choice:
    """One of a few words."""

    words: type[StrEnum]


@dataclass(frozen=True, slots=True)
class Flag:
    """True or false."""


@dataclass(frozen=True, slots=True)
class Words:
    """Free text."""


@dataclass(frozen=True, slots=True)
class Day:
    """A date within the years that a work order can count in."""

    first_year: int = 2000
    last_year: int = 2199


@dataclass(frozen=True, slots=True)
class CornerName:
    """The letters of a corner."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A place in any of its four forms."""


@dataclass(frozen=True, slots=True)
class Edges:
    """Walls by name, each with what stands there."""


@dataclass(frozen=True, slots=True)
class Pair:
    """Two lengths in a list."""

    item: Measure
    names: tuple[str, str]


@dataclass(frozen=True, slots=True)
class Many:
    """A list of things of one kind."""

    item: Kind
    most: int
    singular: str


@dataclass(frozen=True, slots=True)
class Field:
    """A key of a table: the name in the file, the name in the model, what it holds."""

    key: str
    attr: str
    kind: Kind
    required: bool = False


@dataclass(frozen=True, slots=True)
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


Kind: TypeAlias = Measure | Choice | Flag | Words | Day | CornerName | Spot | Edges | Pair | Many | Table


def _fields(*entries: tuple[str, Kind], required: tuple[str, ...] = ()) -> tuple[Field, ...]:
    return tuple(Field(key, _ATTRS.get(key, key), kind, key in required) for key, kind in entries)


_ATTRS = {"from": "start", "to": "end", "yield": "bag_yield"}  # keys that Python keeps for itself


def _length(most: float, *, or_zero: bool = False) -> Measure:
    return Measure(Dimension.LENGTH, 0.0, most, above=not or_zero)


SIDE = _length(_FAR)
DROP = _length(2e4, or_zero=True)
OFFSET = _length(_FAR, or_zero=True)
COORDINATE = Measure(Dimension.LENGTH, -_FAR, _FAR)
TURN = Measure(Dimension.ANGLE, -180.0, 180.0, above=True, below=True)

HEAD = Table(
    dict,
    _fields(
        ("name", Words()),
        ("units", Choice(Units)),
        ("rulebook", Choice(model.RulebookName)),
        ("edition", Words()),
        ("start", Day()),
        ("notes", Words()),
    ),
)
FLOOR = Table(
    model.Floor,
    _fields(
        ("kind", Choice(model.FloorKind)),
        ("moisture_barrier", Choice(model.Barrier)),
        ("lath", Flag()),
        ("bond_coat", Flag()),
        ("dead_load_allowance", Measure(Dimension.LOAD, 0.0, 100.0)),
    ),
)
BUILD = Table(
    model.Build,
    _fields(
        ("waterproofing", Choice(model.Waterproofing)),
        ("upper_bed", _length(500.0)),
        ("tile_edge", _length(5000.0)),
        ("tile", _length(200.0)),
        ("tile_setting", _length(200.0, or_zero=True)),
    ),
)
WALL = Table(model.Wall, _fields(("length", SIDE), ("turn", TURN), ("rise", COORDINATE)))
CORNER = Pair(COORDINATE, ("x", "y"))
TAPE = Table(
    model.Tape,
    _fields(
        ("from", CornerName()), ("to", CornerName()), ("length", SIDE), required=("from", "to", "length")
    ),
)
ISLAND = Table(model.Island, _fields(("corners", Many(CORNER, 100, "a corner")), required=("corners",)))
OUTLINE = Table(
    model.Outline,
    _fields(
        ("rectangle", Pair(SIDE, ("A-B", "B-C"))),
        ("walls", Many(WALL, 702, "a wall")),
        ("corners", Many(CORNER, 702, "a corner")),
        ("edges", Edges()),
        ("tape", Many(TAPE, 1000, "a taped length")),
        ("islands", Many(ISLAND, 100, "an island")),
    ),
)
OUTLINE_FORMS = ("rectangle", "walls", "corners")
CURB = Table(model.Curb, _fields(("drop", DROP)))
DRAIN = Table(
    model.Drain,
    _fields(
        ("kind", Choice(model.DrainKind)),
        ("size", _length(3000.0)),
        ("at", Spot()),
        ("from", Spot()),
        ("to", Spot()),
        ("drop", DROP),
    ),
)
READING = Table(model.Reading, _fields(("at", Spot()), ("drop", DROP), required=("at", "drop")))
BED = Table(
    model.Bed,
    _fields(
        ("shape", Choice(model.BedShape)),
        ("fall", Measure(Dimension.FALL, 0.0, 1.0, above=True)),
        ("mark_step", _length(50.0)),
        ("least_depth", _length(1000.0, or_zero=True)),
        ("most_depth", _length(1000.0)),
        ("wall_height", _length(1000.0)),
        ("trueness", _length(50.0)),
    ),
)
STRIPS = Table(
    model.Strips,
    _fields(
        ("thickness", _length(300.0)),
        ("short", _length(300.0, or_zero=True)),
        ("stock", _length(2e4)),
        ("kerf", _length(50.0, or_zero=True)),
    ),
)
MORTAR = Table(
    model.Mortar,
    _fields(
        ("supply", Choice(model.Supply)),
        ("bag", Measure(Dimension.MASS, 0.0, 2000.0, above=True)),
        ("yield", Measure(Dimension.VOLUME, 0.0, 2e9, above=True)),
        ("parts", Measure(Dimension.NUMBER, 0.0, 100.0, above=True)),
        ("waste", Measure(Dimension.SHARE, 0.0, 1.0)),
    ),
)
FLOOD_TEST = Table(
    model.FloodTest,
    _fields(
        ("filled", _length(1000.0)),
        ("hours", Measure(Dimension.NUMBER, 0.0, 1000.0, above=True)),
        ("left", _length(1000.0, or_zero=True)),
        ("bucket", _length(1000.0, or_zero=True)),
        ("leaked", Flag()),
    ),
)
READINGS = Many(READING, 100_000, "a reading")
SECTIONS = _fields(
    ("floor", FLOOR),
    ("build", BUILD),
    ("outline", OUTLINE),
    ("curb", CURB),
    ("drains", Many(DRAIN, 100, "a drain")),
    ("readings", READINGS),
    ("bed", BED),
    ("strips", STRIPS),
    ("mortar", MORTAR),
    ("as_built", READINGS),
    ("flood_test", FLOOD_TEST),
)
JOB = Table(model.Job, (Field("job", "", HEAD), *SECTIONS))
