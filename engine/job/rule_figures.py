"""The figures that a rulebook may hold: the name and kind of each, and what a person may set it to.

Rulebooks stand in `engine/limits`; a job names a figure by its key, the name with underscores.
"""

from enum import Enum, StrEnum
from typing import Self

from ..packed import wording
from ..quantities import Dimension
from .kinds import Choice, Kind, Measure


class Need(StrEnum):
    """Whether a thing has to be there."""

    NEEDED = "needed"
    NOT_NEEDED = "not needed"


def up_to(most: float, dimension: Dimension = Dimension.LENGTH) -> Measure:
    """A figure from 0 to the most."""
    return Measure(dimension, 0.0, most)


def over_0(most: float, dimension: Dimension = Dimension.LENGTH) -> Measure:
    """A figure over 0, the most at most."""
    return Measure(dimension, 0.0, most, above=True)


_DEPTH = up_to(1000.0)
_FAR = up_to(1e5)
_FALL = over_0(1.0, Dimension.FALL)
_AREA = up_to(1e9, Dimension.AREA)
_WAIT = up_to(2000.0, Dimension.TIME)
_TEST = over_0(1000.0, Dimension.TIME)
_LOAD = over_0(100.0, Dimension.LOAD)
_DENSITY = Measure(Dimension.DENSITY, 5e-7, 5e-6)
_PARTS = over_0(100.0, Dimension.NUMBER)
_STIFFNESS = Measure(Dimension.NUMBER, 1.0, 10_000.0)
_SPACING = Measure(Dimension.LENGTH, 10.0, 1000.0)
_SHEET = Measure(Dimension.LENGTH, 300.0, 1e4)
_NEED = Choice(Need)


class Figure(Enum):
    """The figures that a rulebook may hold; kind: what each may be set to."""

    kind: Measure | Choice

    def __new__(cls, kind: Measure | Choice) -> Self:
        """A figure of its own, whatever others are of its kind."""
        figure = object.__new__(cls)
        figure._value_, figure.kind = len(cls.__members__), kind
        return figure

    FALL_LEAST = _FALL
    FALL_MOST = _FALL
    BED_FALL_LEAST = _FALL
    LINER_FALL_LEAST = _FALL
    CURB_TOP_FALL = _FALL
    ROSE_REACH = _FAR
    SUNK_MOST = _DEPTH
    CURB_LEAST = _DEPTH
    CURB_MOST = _DEPTH
    THRESHOLD_MOST = _DEPTH
    THRESHOLD_MOST_TRANSFER = _DEPTH
    LINING_OVER_CURB = _DEPTH
    LINING_OVER_THRESHOLD_UPC = _DEPTH
    LINING_OVER_THRESHOLD_IPC = _DEPTH
    AREA_LEAST = _AREA
    AREA_LEAST_UPC = _AREA
    CIRCLE_LEAST = _FAR
    OUTLET_LEAST = _DEPTH
    OUTLET_USUAL = _DEPTH
    DRAINS_APART_MOST = _FAR
    DRAIN_TO_WALL_MOST = _FAR
    UNBONDED_LEAST = _DEPTH
    UNBONDED_MOST = _DEPTH
    BONDED_LEAST = _DEPTH
    UPPER_BED_LEAST = _DEPTH
    WIRE_FABRIC_AREA = _AREA
    DRAIN_DEPTH_USUAL = _DEPTH
    SAND_LEAST = _PARTS
    SAND_MOST = _PARTS
    SAND_CURLS = _PARTS
    BED_LOAD_AN_INCH = _LOAD
    CURE_LEAST = _WAIT
    WARM_LEAST = _WAIT
    LARGE_FORMAT_EDGE = _FAR
    OUT_OF_FLAT_IN_10_FT = _DEPTH
    LARGE_FORMAT_OUT_OF_FLAT_IN_10_FT = _DEPTH
    LARGE_FORMAT_OUT_OF_FLAT_IN_2_FT = _DEPTH
    CONE_TILE_EDGE = _FAR
    MOSAIC_AREA = _AREA
    WOOD_BARRIER = _NEED
    WOOD_LATH = _NEED
    LATH_LAP = _DEPTH
    LATH_FASTENER_SPACING = _SPACING
    CLEAVAGE_LAP = _DEPTH
    STIFFNESS_CERAMIC = _STIFFNESS
    STIFFNESS_STONE = _STIFFNESS
    LIVE_LOAD = _LOAD
    DEAD_LOAD_USUAL = _LOAD
    PAN_TEST_DEPTH = _DEPTH
    PAN_TEST_TIME = _TEST
    FLOOD_TIME_LEAST = _TEST
    FLOOD_TIME_MOST = _TEST
    FLOOD_HEAD_MOST = _DEPTH
    FLOOD_FALL_MOST = _FALL
    FLOOD_WAIT = _WAIT
    FLOOD_WAIT_COLD = _WAIT
    WATER_LOAD_AN_INCH = _LOAD
    DRY_IN_PLACE = _DENSITY
    CEMENT_LOOSE = _DENSITY
    SAND_LOOSE = _DENSITY
    LATH_SHEET_WIDTH = _SHEET
    LATH_SHEET_LENGTH = _SHEET
    LIFT_MOST = Measure(Dimension.MASS, 1.0, 1000.0)

    @property
    def key(self) -> str:
        """The name under [figures] in a job file."""
        return self.name.lower()

    @property
    def words(self) -> str:
        """What it is, to follow "the"."""
        return wording("figures")[self.key]

    @property
    def dimension(self) -> Dimension | None:
        """Its dimension; None for a thing that is needed or not."""
        return self.kind.dimension if isinstance(self.kind, Measure) else None


OWN_KINDS: dict[str, Kind] = {figure.key: figure.kind for figure in Figure}


def figure_of(key: str) -> Figure:
    """The figure that a key under [figures] names, or a rulebook with dashes."""
    return Figure[key.upper().replace("-", "_")]
