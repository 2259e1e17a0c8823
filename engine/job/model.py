"""A job as a person entered it: frozen, whole, and free of arithmetic.

None means left out: see `defaults.py`. Every measured entry is a `Typed`, a length [mm] where nothing else is said.
"""

from dataclasses import field
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import TypeAlias

from ..quantities import Units
from ..records import record
from .rule_figures import Need


@record
class Typed:
    """An entry as typed (text, or a bare number in the job's units) for saving, and its value in the unit inside."""

    text: str | int | float
    value: float


class RulebookName(StrEnum):
    """The limits a job is held to."""

    US_MODEL = "us-model"
    US_ACCESSIBLE = "us-accessible"
    AU_NCC = "au-ncc"
    NZ_E3 = "nz-e3"
    UK_BS5385 = "uk-bs5385"
    DE_DIN18040 = "de-din18040"


class FloorKind(StrEnum):
    """What the bed will sit on."""

    CONCRETE = "concrete"
    WOOD = "wood"


class Barrier(StrEnum):
    """The moisture barrier between the floor and the bed."""

    NONE = "none"
    FELT = "felt"
    POLY = "poly"
    MEMBRANE = "membrane"


class Waterproofing(StrEnum):
    """Where the waterproof layer lies."""

    OVER_BED = "over-bed"
    BETWEEN_BEDS = "between-beds"


class EdgeKind(StrEnum):
    """What stands at an edge of the floor."""

    WALL = "wall"
    CURB = "curb"
    OPEN = "open"


class DrainKind(StrEnum):
    """The form of the drain's flange."""

    ROUND = "round"
    SQUARE = "square"
    CHANNEL = "channel"


class BedShape(StrEnum):
    """How the bed falls to the drain."""

    LEVEL_WALLS = "level-walls"
    EVEN_FALL = "even-fall"
    PLANE = "plane"


class Supply(StrEnum):
    """How the deck mud is bought."""

    BAG = "bag"
    SITE = "site"


@record
class AtCorner:
    """A place at a lettered corner."""

    corner: str


@record
class AtWall:
    """A place along a wall, and so far off it into the floor (0 where left out)."""

    wall: str
    along: Typed
    off: Typed | None = None


@record
class AtOffsets:
    """A place by its square distances from two walls."""

    first_wall: str
    first: Typed
    second_wall: str
    second: Typed


@record
class AtPoint:
    """A place by its coordinates."""

    x: Typed
    y: Typed


Place: TypeAlias = AtCorner | AtWall | AtOffsets | AtPoint


@record
class Floor:
    """What the bed will sit on, and what lies between."""

    kind: FloorKind | None = None
    moisture_barrier: Barrier | None = None
    lath: bool | None = None
    bond_coat: bool | None = None
    dead_load_allowance: Typed | None = None  # [kPa]


@record
class Build:
    """What comes over and between."""

    waterproofing: Waterproofing | None = None
    upper_bed: Typed | None = None
    tile_edge: Typed | None = None
    tile: Typed | None = None
    tile_setting: Typed | None = None


@record
class Wall:
    """One wall of a walked outline; turn is at its far end, left positive; rise bows its middle out, negative in.

    Lengths run straight from corner to corner, and turns are between those lines, at curved walls too.
    """

    length: Typed | None = None  # only the last wall may leave it out
    turn: Typed | None = None  # [deg], 90 where left out
    rise: Typed | None = None


@record
class Tape:
    """A measured distance between two corners."""

    start: str
    end: str
    length: Typed


@record
class Priced:
    """A price as typed, and the exact decimal it means, in the job's currency apiece."""

    text: str | int | float
    each: Decimal


Prices: TypeAlias = tuple[tuple[str, Priced | str], ...]  # by their keys, as listed; the currency is text
OwnFigures: TypeAlias = tuple[tuple[str, Typed | Need], ...]  # by their keys, as listed
Corner: TypeAlias = tuple[Typed, Typed]


@record
class Island:
    """A post or bench base inside the floor."""

    corners: tuple[Corner, ...]


@record
class Outline:
    """The floor's edge: exactly one of rectangle, walls, corners (or none yet)."""

    rectangle: tuple[Typed, Typed] | None = None
    half_rectangle: tuple[Typed | None, Typed | None] | None = None  # one side typed, the other not yet
    walls: tuple[Wall, ...] | None = None
    corners: tuple[Corner, ...] | None = None
    edges: tuple[tuple[str, EdgeKind], ...] = ()  # as listed; walls where left out
    tape: tuple[Tape, ...] = ()
    islands: tuple[Island, ...] = ()

    @property
    def is_given(self) -> bool:
        """Whether any of the three forms is there."""
        return bool(self.rectangle or self.walls or self.corners)


@record
class Curb:
    """The finished curb."""

    drop: Typed | None = None  # level line down to its top


@record
class Drain:
    """A drain's flange: its form, size, place, and drop (left out: the height is planned)."""

    kind: DrainKind | None = None
    size: Typed | None = None  # diameter, side, or a channel's width
    at: Place | None = None  # round and square
    start: Place | None = None  # a channel's `from`
    end: Place | None = None  # a channel's `to`
    drop: Typed | None = None


@record
class Reading:
    """A place and the drop from the level line down to it.

    before: what was read there of a rough floor that is to be worked until the drop is read; reckoned: it was not read,
    but follows from the readings around.
    """

    at: Place
    drop: Typed
    before: Typed | None = None
    reckoned: bool | None = None

    @property
    def read(self) -> Typed:
        """What was read [mm]."""
        return self.before or self.drop

    @property
    def work(self) -> float:
        """How much is to be taken off the rough floor there, negative filled [mm]."""
        return self.drop.value - self.read.value


@record
class Bed:
    """How the bed is to fall; depths and wall height come before the rulebook's or the computed."""

    shape: BedShape | None = None
    fall: Typed | None = None  # [-] rise per run
    mark_step: Typed | None = None
    least_depth: Typed | None = None
    most_depth: Typed | None = None
    wall_height: Typed | None = None
    trueness: Typed | None = None  # how true the bed is screeded, 19 times in 20


@record
class Strips:
    """The perimeter strips."""

    thickness: Typed | None = None
    short: Typed | None = None
    stock: Typed | None = None
    kerf: Typed | None = None


@record
class Mortar:
    """How the deck mud is bought and mixed."""

    supply: Supply | None = None
    bag: Typed | None = None  # [kg]
    bag_yield: Typed | None = None  # [mm3] the key `yield`
    parts: Typed | None = None  # [-] sand to one of cement
    waste: Typed | None = None  # [-]


@record
class FloodTest:
    """The flood test's log: marks on the wall at the threshold, and how long the water stood."""

    filled: Typed | None = None  # depth at the threshold when filled
    hours: Typed | None = None  # [-] how long it stood
    left: Typed | None = None  # depth at the same mark then
    bucket: Typed | None = None  # what an open bucket beside it lost meanwhile
    leaked: bool | None = None  # water was seen under or beside the floor

    @property
    def is_logged(self) -> bool:
        """Whether anything tells how the test went."""
        return bool(self.leaked) or any(each is not None for each in (self.filled, self.hours, self.left, self.bucket))


@record
class Comment:
    """A comment of the job file, with its `#`: above a key path's line, or beside it."""

    path: str
    text: str
    beside: bool = False


@record
class Job:
    """Everything a person measured and chose for one shower floor."""

    name: str = ""
    units: Units = Units.INCH
    rulebook: RulebookName = RulebookName.US_MODEL
    edition: str = ""  # of the rulebook; the current one where it is empty
    start: date | None = None
    notes: str = ""
    floor: Floor = field(default_factory=Floor)
    build: Build = field(default_factory=Build)
    outline: Outline = field(default_factory=Outline)
    curb: Curb = field(default_factory=Curb)
    drains: tuple[Drain, ...] = ()
    readings: tuple[Reading, ...] = ()
    bed: Bed = field(default_factory=Bed)
    strips: Strips = field(default_factory=Strips)
    mortar: Mortar = field(default_factory=Mortar)
    as_built: tuple[Reading, ...] = ()
    flood_test: FloodTest = field(default_factory=FloodTest)
    figures: OwnFigures = ()  # in place of the rulebook's
    prices: Prices = ()  # for one of a thing
    comments: tuple[Comment, ...] = field(default=(), compare=False)  # kept for saving; they change no plan
