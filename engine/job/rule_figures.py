"""The figures that a rulebook may hold: the name and kind of each, and what a person may set it to.

The rulebooks themselves stand in `engine/limits`; a job names a figure by its key, the name with underscores.
"""

from enum import StrEnum
from typing import Any, Self

from engine.phrases import phrase
from engine.quantities import Dimension

from .kinds import Choice, Kind, Measure


class Need(StrEnum):
    """Whether a thing has to be there."""

    NEEDED = "needed"
    NOT_NEEDED = "not needed"


def _to(most: float, dimension: Dimension = Dimension.LENGTH) -> Measure:
    return Measure(dimension, 0.0, most)


def _over_0(most: float, dimension: Dimension = Dimension.LENGTH) -> Measure:
    return Measure(dimension, 0.0, most, above=True)


_DEPTH = _to(1000.0)
_FAR = _to(1e5)
_FALL = _over_0(1.0, Dimension.FALL)
_AREA = _to(1e9, Dimension.AREA)
_WAIT = _to(2000.0, Dimension.TIME)
_TEST = _over_0(1000.0, Dimension.TIME)
_LOAD = _over_0(100.0, Dimension.LOAD)
_DENSITY = Measure(Dimension.DENSITY, 5e-7, 5e-6)
_PARTS = _over_0(100.0, Dimension.NUMBER)
_STIFFNESS = Measure(Dimension.NUMBER, 1.0, 10_000.0)
_SPACING = Measure(Dimension.LENGTH, 10.0, 1000.0)
_SHEET = Measure(Dimension.LENGTH, 300.0, 1e4)
_NEED = Choice(Need)


class Figure(StrEnum):
    """The figures that a rulebook may hold.

    kind: what each may be set to; words: what it is, to follow "the".
    """

    kind: Measure | Choice
    words: str

    def __new__(cls, name: str, *told: Any) -> Self:
        """A figure by its name, with what is told of it."""
        figure = str.__new__(cls, name)
        figure._value_, (figure.kind, figure.words) = name, told
        return figure

    FALL_LEAST = "fall-least", _FALL, phrase("least fall to the drain")
    FALL_MOST = "fall-most", _FALL, phrase("most fall to the drain")
    BED_FALL_LEAST = "bed-fall-least", _FALL, phrase("least fall of a mortar bed")
    LINER_FALL_LEAST = "liner-fall-least", _FALL, phrase("least fall under a liner")
    CURB_TOP_FALL = "curb-top-fall", _FALL, phrase("fall of a curb's top")
    ROSE_REACH = "rose-reach", _FAR, phrase("reach of the shower rose")
    SUNK_MOST = "sunk-most", _DEPTH, phrase("most that a floor is sunk")
    CURB_LEAST = "curb-least", _DEPTH, phrase("least height of the curb over the drain")
    CURB_MOST = "curb-most", _DEPTH, phrase("most height of the curb over the drain")
    THRESHOLD_MOST = "threshold-most", _DEPTH, phrase("most height of an accessible threshold")
    THRESHOLD_MOST_TRANSFER = "threshold-most-transfer", _DEPTH, phrase("most height of a transfer shower's threshold")
    LINING_OVER_CURB = "lining-over-curb", _DEPTH, phrase("lining over the curb at sides and back")
    LINING_OVER_THRESHOLD_UPC = (
        "lining-over-threshold-upc",
        _DEPTH,
        phrase("lining over the threshold, the higher asked for"),
    )
    LINING_OVER_THRESHOLD_IPC = (
        "lining-over-threshold-ipc",
        _DEPTH,
        phrase("lining over the threshold, the lower asked for"),
    )
    AREA_LEAST = "area-least", _AREA, phrase("least area of the floor")
    AREA_LEAST_UPC = "area-least-upc", _AREA, phrase("least area of the floor in the wider code")
    CIRCLE_LEAST = "circle-least", _FAR, phrase("least circle that fits on the floor")
    OUTLET_LEAST = "outlet-least", _DEPTH, phrase("least size of the outlet")
    OUTLET_USUAL = "outlet-usual", _DEPTH, phrase("usual size of the outlet")
    DRAINS_APART_MOST = "drains-apart-most", _FAR, phrase("most between two drains")
    DRAIN_TO_WALL_MOST = "drain-to-wall-most", _FAR, phrase("most from a drain to a side wall")
    UNBONDED_LEAST = "unbonded-least", _DEPTH, phrase("least depth of an unbonded bed")
    UNBONDED_MOST = "unbonded-most", _DEPTH, phrase("most depth of an unbonded bed")
    BONDED_LEAST = "bonded-least", _DEPTH, phrase("least depth of a bonded bed")
    UPPER_BED_LEAST = "upper-bed-least", _DEPTH, phrase("least depth of the bed over a liner")
    WIRE_FABRIC_AREA = "wire-fabric-area", _AREA, phrase("area from which wire fabric goes in")
    DRAIN_DEPTH_USUAL = "drain-depth-usual", _DEPTH, phrase("usual depth of the bed at the drain")
    SAND_LEAST = "sand-least", _PARTS, phrase("least sand to one of cement")
    SAND_MOST = "sand-most", _PARTS, phrase("most sand to one of cement")
    SAND_CURLS = "sand-curls", _PARTS, phrase("sand to one of cement below which a bed curls")
    BED_LOAD_AN_INCH = "bed-load-an-inch", _LOAD, phrase("load of an inch of bed")
    CURE_LEAST = "cure-least", _WAIT, phrase("least time that a bed cures")
    WARM_LEAST = "warm-least", _WAIT, phrase("time that a bed is kept warm")
    LARGE_FORMAT_EDGE = "large-format-edge", _FAR, phrase("edge from which a tile is a large one")
    OUT_OF_FLAT_IN_10_FT = "out-of-flat-in-10-ft", _DEPTH, phrase("most out of flat in 10 ft")
    LARGE_FORMAT_OUT_OF_FLAT_IN_10_FT = (
        "large-format-out-of-flat-in-10-ft",
        _DEPTH,
        phrase("most out of flat in 10 ft under large tiles"),
    )
    LARGE_FORMAT_OUT_OF_FLAT_IN_2_FT = (
        "large-format-out-of-flat-in-2-ft",
        _DEPTH,
        phrase("most out of flat in 2 ft under large tiles"),
    )
    CONE_TILE_EDGE = "cone-tile-edge", _FAR, phrase("edge from which tiles do not follow a cone")
    MOSAIC_AREA = "mosaic-area", _AREA, phrase("area up to which a tile is mosaic")
    WOOD_BARRIER = "wood-barrier", _NEED, phrase("moisture barrier on wood")
    WOOD_LATH = "wood-lath", _NEED, phrase("lath on wood")
    LATH_LAP = "lath-lap", _DEPTH, phrase("lap of lath sheets")
    LATH_FASTENER_SPACING = "lath-fastener-spacing", _SPACING, phrase("spacing of the lath's fasteners")
    CLEAVAGE_LAP = "cleavage-lap", _DEPTH, phrase("lap of a barrier's courses")
    STIFFNESS_CERAMIC = "stiffness-ceramic", _STIFFNESS, phrase("span over deflection under ceramic tile")
    STIFFNESS_STONE = "stiffness-stone", _STIFFNESS, phrase("span over deflection under stone")
    LIVE_LOAD = "live-load", _LOAD, phrase("live load of the floor")
    DEAD_LOAD_USUAL = "dead-load-usual", _LOAD, phrase("usual dead load allowance")
    PAN_TEST_DEPTH = "pan-test-depth", _DEPTH, phrase("depth of water in the code's pan test")
    PAN_TEST_TIME = "pan-test-time", _TEST, phrase("time of the code's pan test")
    FLOOD_TIME_LEAST = "flood-time-least", _TEST, phrase("least time of the flood test")
    FLOOD_TIME_MOST = "flood-time-most", _TEST, phrase("most time of the flood test")
    FLOOD_HEAD_MOST = "flood-head-most", _DEPTH, phrase("most depth of water in the flood test")
    FLOOD_FALL_MOST = "flood-fall-most", _FALL, phrase("most fall of a flood-tested floor")
    FLOOD_WAIT = "flood-wait", _WAIT, phrase("wait from membrane to flood test")
    FLOOD_WAIT_COLD = "flood-wait-cold", _WAIT, phrase("wait from membrane to flood test in the cold")
    WATER_LOAD_AN_INCH = "water-load-an-inch", _LOAD, phrase("load of an inch of water")
    DRY_IN_PLACE = "dry-in-place", _DENSITY, phrase("dry mix in deck mud in place")
    CEMENT_LOOSE = "cement-loose", _DENSITY, phrase("weight of loose cement")
    SAND_LOOSE = "sand-loose", _DENSITY, phrase("weight of dry sand in damp loose sand")
    LATH_SHEET_WIDTH = "lath-sheet-width", _SHEET, phrase("width of a lath sheet")
    LATH_SHEET_LENGTH = "lath-sheet-length", _SHEET, phrase("length of a lath sheet")
    LIFT_MOST = "lift-most", Measure(Dimension.MASS, 1.0, 1000.0), phrase("most that one person lifts")

    @property
    def key(self) -> str:
        """The name under [figures] in a job file."""
        return self.replace("-", "_")

    @property
    def dimension(self) -> Dimension | None:
        """What kind of figure it is; None for a thing that is needed or not."""
        return self.kind.dimension if isinstance(self.kind, Measure) else None


OWN_KINDS: dict[str, Kind] = {figure.key: figure.kind for figure in Figure}


def figure_of(key: str) -> Figure:
    """The figure that a key under [figures] names."""
    return Figure(key.replace("_", "-"))
