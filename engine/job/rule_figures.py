"""The figures that a rulebook may hold: the name and kind of each, and what a person may set it to.

The rulebooks themselves stand in `engine/limits`; a job names a figure by its key, the name with underscores.
"""

from enum import Enum, StrEnum

from ..phrases import phrase
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
    """The figures that a rulebook may hold.

    kind: what each may be set to; words: what it is, to follow "the".
    """

    def __init__(self, kind: Measure | Choice, words: str) -> None:
        self.kind, self.words = kind, words

    FALL_LEAST = _FALL, phrase("least fall to the drain")
    FALL_MOST = _FALL, phrase("most fall to the drain")
    BED_FALL_LEAST = _FALL, phrase("least fall of a mortar bed")
    LINER_FALL_LEAST = _FALL, phrase("least fall under a liner")
    CURB_TOP_FALL = _FALL, phrase("fall of a curb's top")
    ROSE_REACH = _FAR, phrase("reach of the shower rose")
    SUNK_MOST = _DEPTH, phrase("most that a floor is sunk")
    CURB_LEAST = _DEPTH, phrase("least height of the curb over the drain")
    CURB_MOST = _DEPTH, phrase("most height of the curb over the drain")
    THRESHOLD_MOST = _DEPTH, phrase("most height of an accessible threshold")
    THRESHOLD_MOST_TRANSFER = _DEPTH, phrase("most height of a transfer shower's threshold")
    LINING_OVER_CURB = _DEPTH, phrase("lining over the curb at sides and back")
    LINING_OVER_THRESHOLD_UPC = _DEPTH, phrase("lining over the threshold, the higher asked for")
    LINING_OVER_THRESHOLD_IPC = _DEPTH, phrase("lining over the threshold, the lower asked for")
    AREA_LEAST = _AREA, phrase("least area of the floor")
    AREA_LEAST_UPC = _AREA, phrase("least area of the floor in the wider code")
    CIRCLE_LEAST = _FAR, phrase("least circle that fits on the floor")
    OUTLET_LEAST = _DEPTH, phrase("least size of the outlet")
    OUTLET_USUAL = _DEPTH, phrase("usual size of the outlet")
    DRAINS_APART_MOST = _FAR, phrase("most between two drains")
    DRAIN_TO_WALL_MOST = _FAR, phrase("most from a drain to a side wall")
    UNBONDED_LEAST = _DEPTH, phrase("least depth of an unbonded bed")
    UNBONDED_MOST = _DEPTH, phrase("most depth of an unbonded bed")
    BONDED_LEAST = _DEPTH, phrase("least depth of a bonded bed")
    UPPER_BED_LEAST = _DEPTH, phrase("least depth of the bed over a liner")
    WIRE_FABRIC_AREA = _AREA, phrase("area from which wire fabric goes in")
    DRAIN_DEPTH_USUAL = _DEPTH, phrase("usual depth of the bed at the drain")
    SAND_LEAST = _PARTS, phrase("least sand to one of cement")
    SAND_MOST = _PARTS, phrase("most sand to one of cement")
    SAND_CURLS = _PARTS, phrase("sand to one of cement below which a bed curls")
    BED_LOAD_AN_INCH = _LOAD, phrase("load of an inch of bed")
    CURE_LEAST = _WAIT, phrase("least time that a bed cures")
    WARM_LEAST = _WAIT, phrase("time that a bed is kept warm")
    LARGE_FORMAT_EDGE = _FAR, phrase("edge from which a tile is a large one")
    OUT_OF_FLAT_IN_10_FT = _DEPTH, phrase("most out of flat in 10 ft")
    LARGE_FORMAT_OUT_OF_FLAT_IN_10_FT = _DEPTH, phrase("most out of flat in 10 ft under large tiles")
    LARGE_FORMAT_OUT_OF_FLAT_IN_2_FT = _DEPTH, phrase("most out of flat in 2 ft under large tiles")
    CONE_TILE_EDGE = _FAR, phrase("edge from which tiles do not follow a cone")
    MOSAIC_AREA = _AREA, phrase("area up to which a tile is mosaic")
    WOOD_BARRIER = _NEED, phrase("moisture barrier on wood")
    WOOD_LATH = _NEED, phrase("lath on wood")
    LATH_LAP = _DEPTH, phrase("lap of lath sheets")
    LATH_FASTENER_SPACING = _SPACING, phrase("spacing of the lath's fasteners")
    CLEAVAGE_LAP = _DEPTH, phrase("lap of a barrier's courses")
    STIFFNESS_CERAMIC = _STIFFNESS, phrase("span over deflection under ceramic tile")
    STIFFNESS_STONE = _STIFFNESS, phrase("span over deflection under stone")
    LIVE_LOAD = _LOAD, phrase("live load of the floor")
    DEAD_LOAD_USUAL = _LOAD, phrase("usual dead load allowance")
    PAN_TEST_DEPTH = _DEPTH, phrase("depth of water in the code's pan test")
    PAN_TEST_TIME = _TEST, phrase("time of the code's pan test")
    FLOOD_TIME_LEAST = _TEST, phrase("least time of the flood test")
    FLOOD_TIME_MOST = _TEST, phrase("most time of the flood test")
    FLOOD_HEAD_MOST = _DEPTH, phrase("most depth of water in the flood test")
    FLOOD_FALL_MOST = _FALL, phrase("most fall of a flood-tested floor")
    FLOOD_WAIT = _WAIT, phrase("wait from membrane to flood test")
    FLOOD_WAIT_COLD = _WAIT, phrase("wait from membrane to flood test in the cold")
    WATER_LOAD_AN_INCH = _LOAD, phrase("load of an inch of water")
    DRY_IN_PLACE = _DENSITY, phrase("dry mix in deck mud in place")
    CEMENT_LOOSE = _DENSITY, phrase("weight of loose cement")
    SAND_LOOSE = _DENSITY, phrase("weight of dry sand in damp loose sand")
    LATH_SHEET_WIDTH = _SHEET, phrase("width of a lath sheet")
    LATH_SHEET_LENGTH = _SHEET, phrase("length of a lath sheet")
    LIFT_MOST = Measure(Dimension.MASS, 1.0, 1000.0), phrase("most that one person lifts")

    @property
    def key(self) -> str:
        """The name under [figures] in a job file."""
        return self.name.lower()

    @property
    def dimension(self) -> Dimension | None:
        """What kind of figure it is; None for a thing that is needed or not."""
        return self.kind.dimension if isinstance(self.kind, Measure) else None


OWN_KINDS: dict[str, Kind] = {figure.key: figure.kind for figure in Figure}


def figure_of(key: str) -> Figure:
    """The figure that a key under [figures] names, or a rulebook with dashes."""
    return Figure[key.upper().replace("-", "_")]
