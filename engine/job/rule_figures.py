"""The figures that a rulebook may hold: their names, what kind of figure each is, and what a person may set it to.

The rulebooks themselves stand in `engine/limits`; a job names a figure by its key, the name with underscores.
"""

from __future__ import annotations

from enum import StrEnum

from engine.job.kinds import Choice, Kind, Measure
from engine.phrases import phrase
from engine.quantities import Dimension


class Figure(StrEnum):
    """The figures that a rulebook may hold; what they mean stands beside them below."""

    FALL_LEAST = "fall-least"
    FALL_MOST = "fall-most"
    BED_FALL_LEAST = "bed-fall-least"
    LINER_FALL_LEAST = "liner-fall-least"
    CURB_TOP_FALL = "curb-top-fall"
    ROSE_REACH = "rose-reach"
    SUNK_MOST = "sunk-most"
    CURB_LEAST = "curb-least"
    CURB_MOST = "curb-most"
    THRESHOLD_MOST = "threshold-most"
    THRESHOLD_MOST_TRANSFER = "threshold-most-transfer"
    LINING_OVER_CURB = "lining-over-curb"
    LINING_OVER_THRESHOLD_UPC = "lining-over-threshold-upc"
    LINING_OVER_THRESHOLD_IPC = "lining-over-threshold-ipc"
    AREA_LEAST = "area-least"
    AREA_LEAST_UPC = "area-least-upc"
    CIRCLE_LEAST = "circle-least"
    OUTLET_LEAST = "outlet-least"
    OUTLET_USUAL = "outlet-usual"
    DRAINS_APART_MOST = "drains-apart-most"
    DRAIN_TO_WALL_MOST = "drain-to-wall-most"
    UNBONDED_LEAST = "unbonded-least"
    UNBONDED_MOST = "unbonded-most"
    BONDED_LEAST = "bonded-least"
    UPPER_BED_LEAST = "upper-bed-least"
    WIRE_FABRIC_AREA = "wire-fabric-area"
    DRAIN_DEPTH_USUAL = "drain-depth-usual"
    SAND_LEAST = "sand-least"
    SAND_MOST = "sand-most"
    SAND_CURLS = "sand-curls"
    BED_LOAD_AN_INCH = "bed-load-an-inch"
    CURE_LEAST = "cure-least"
    WARM_LEAST = "warm-least"
    LARGE_FORMAT_EDGE = "large-format-edge"
    OUT_OF_FLAT_IN_10_FT = "out-of-flat-in-10-ft"
    LARGE_FORMAT_OUT_OF_FLAT_IN_10_FT = "large-format-out-of-flat-in-10-ft"
    LARGE_FORMAT_OUT_OF_FLAT_IN_2_FT = "large-format-out-of-flat-in-2-ft"
    CONE_TILE_EDGE = "cone-tile-edge"
    MOSAIC_AREA = "mosaic-area"
    WOOD_BARRIER = "wood-barrier"
    WOOD_LATH = "wood-lath"
    LATH_LAP = "lath-lap"
    LATH_FASTENER_SPACING = "lath-fastener-spacing"
    CLEAVAGE_LAP = "cleavage-lap"
    STIFFNESS_CERAMIC = "stiffness-ceramic"
    STIFFNESS_STONE = "stiffness-stone"
    LIVE_LOAD = "live-load"
    DEAD_LOAD_USUAL = "dead-load-usual"
    PAN_TEST_DEPTH = "pan-test-depth"
    PAN_TEST_TIME = "pan-test-time"
    FLOOD_TIME_LEAST = "flood-time-least"
    FLOOD_TIME_MOST = "flood-time-most"
    FLOOD_HEAD_MOST = "flood-head-most"
    FLOOD_FALL_MOST = "flood-fall-most"
    FLOOD_WAIT = "flood-wait"
    FLOOD_WAIT_COLD = "flood-wait-cold"
    WATER_LOAD_AN_INCH = "water-load-an-inch"
    DRY_IN_PLACE = "dry-in-place"
    CEMENT_LOOSE = "cement-loose"
    SAND_LOOSE = "sand-loose"
    LATH_SHEET_WIDTH = "lath-sheet-width"
    LATH_SHEET_LENGTH = "lath-sheet-length"
    LIFT_MOST = "lift-most"

    @property
    def key(self) -> str:
        """The name under [figures] in a job file."""
        return self.value.replace("-", "_")

    @property
    def words(self) -> str:
        """What the figure is, in words that follow "the"."""
        return FIGURES[self][1]

    @property
    def kind(self) -> Measure | Choice:
        """What it may be set to."""
        return FIGURES[self][0]

    @property
    def dimension(self) -> Dimension | None:
        """What kind of figure it is; None for a thing that is needed or not."""
        return self.kind.dimension if isinstance(self.kind, Measure) else None


class Need(StrEnum):
    """Whether a thing has to be there."""

    NEEDED = "needed"
    NOT_NEEDED = "not needed"


def _to(most: float, dimension: Dimension = Dimension.LENGTH) -> Measure:
    """From nothing to so much."""
    return Measure(dimension, 0.0, most)


def _over_0(most: float, dimension: Dimension = Dimension.LENGTH) -> Measure:
    """More than nothing, up to so much."""
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
_SHEET = Measure(Dimension.LENGTH, 300.0, 1e4)
_NEED = Choice(Need)

FIGURES: dict[Figure, tuple[Measure | Choice, str]] = {
    Figure.FALL_LEAST: (_FALL, phrase("least fall to the drain")),
    Figure.FALL_MOST: (_FALL, phrase("most fall to the drain")),
    Figure.BED_FALL_LEAST: (_FALL, phrase("least fall of a mortar bed")),
    Figure.LINER_FALL_LEAST: (_FALL, phrase("least fall under a liner")),
    Figure.CURB_TOP_FALL: (_FALL, phrase("fall of a curb's top")),
    Figure.ROSE_REACH: (_FAR, phrase("reach of the shower rose")),
    Figure.SUNK_MOST: (_DEPTH, phrase("most that a floor is sunk")),
    Figure.CURB_LEAST: (_DEPTH, phrase("least height of the curb over the drain")),
    Figure.CURB_MOST: (_DEPTH, phrase("most height of the curb over the drain")),
    Figure.THRESHOLD_MOST: (_DEPTH, phrase("most height of an accessible threshold")),
    Figure.THRESHOLD_MOST_TRANSFER: (_DEPTH, phrase("most height of a transfer shower's threshold")),
    Figure.LINING_OVER_CURB: (_DEPTH, phrase("lining over the curb at sides and back")),
    Figure.LINING_OVER_THRESHOLD_UPC: (_DEPTH, phrase("lining over the threshold, the higher asked for")),
    Figure.LINING_OVER_THRESHOLD_IPC: (_DEPTH, phrase("lining over the threshold, the lower asked for")),
    Figure.AREA_LEAST: (_AREA, phrase("least area of the floor")),
    Figure.AREA_LEAST_UPC: (_AREA, phrase("least area of the floor in the wider code")),
    Figure.CIRCLE_LEAST: (_FAR, phrase("least circle that fits on the floor")),
    Figure.OUTLET_LEAST: (_DEPTH, phrase("least size of the outlet")),
    Figure.OUTLET_USUAL: (_DEPTH, phrase("usual size of the outlet")),
    Figure.DRAINS_APART_MOST: (_FAR, phrase("most between two drains")),
    Figure.DRAIN_TO_WALL_MOST: (_FAR, phrase("most from a drain to a side wall")),
    Figure.UNBONDED_LEAST: (_DEPTH, phrase("least depth of an unbonded bed")),
    Figure.UNBONDED_MOST: (_DEPTH, phrase("most depth of an unbonded bed")),
    Figure.BONDED_LEAST: (_DEPTH, phrase("least depth of a bonded bed")),
    Figure.UPPER_BED_LEAST: (_DEPTH, phrase("least depth of the bed over a liner")),
    Figure.WIRE_FABRIC_AREA: (_AREA, phrase("area from which wire fabric goes in")),
    Figure.DRAIN_DEPTH_USUAL: (_DEPTH, phrase("usual depth of the bed at the drain")),
    Figure.SAND_LEAST: (_PARTS, phrase("least sand to one of cement")),
    Figure.SAND_MOST: (_PARTS, phrase("most sand to one of cement")),
    Figure.SAND_CURLS: (_PARTS, phrase("sand to one of cement below which a bed curls")),
    Figure.BED_LOAD_AN_INCH: (_LOAD, phrase("load of an inch of bed")),
    Figure.CURE_LEAST: (_WAIT, phrase("least time that a bed cures")),
    Figure.WARM_LEAST: (_WAIT, phrase("time that a bed is kept warm")),
    Figure.LARGE_FORMAT_EDGE: (_FAR, phrase("edge from which a tile is a large one")),
    Figure.OUT_OF_FLAT_IN_10_FT: (_DEPTH, phrase("most out of flat in 10 ft")),
    Figure.LARGE_FORMAT_OUT_OF_FLAT_IN_10_FT: (_DEPTH, phrase("most out of flat in 10 ft under large tiles")),
    Figure.LARGE_FORMAT_OUT_OF_FLAT_IN_2_FT: (_DEPTH, phrase("most out of flat in 2 ft under large tiles")),
    Figure.CONE_TILE_EDGE: (_FAR, phrase("edge from which tiles do not follow a cone")),
    Figure.MOSAIC_AREA: (_AREA, phrase("area up to which a tile is mosaic")),
    Figure.WOOD_BARRIER: (_NEED, phrase("moisture barrier on wood")),
    Figure.WOOD_LATH: (_NEED, phrase("lath on wood")),
    Figure.LATH_LAP: (_DEPTH, phrase("lap of lath sheets")),
    Figure.LATH_FASTENER_SPACING: (Measure(Dimension.LENGTH, 10.0, 1000.0), phrase("spacing of the lath's fasteners")),
    Figure.CLEAVAGE_LAP: (_DEPTH, phrase("lap of a barrier's courses")),
    Figure.STIFFNESS_CERAMIC: (_STIFFNESS, phrase("span over deflection under ceramic tile")),
    Figure.STIFFNESS_STONE: (_STIFFNESS, phrase("span over deflection under stone")),
    Figure.LIVE_LOAD: (_LOAD, phrase("live load of the floor")),
    Figure.DEAD_LOAD_USUAL: (_LOAD, phrase("usual dead load allowance")),
    Figure.PAN_TEST_DEPTH: (_DEPTH, phrase("depth of water in the code's pan test")),
    Figure.PAN_TEST_TIME: (_TEST, phrase("time of the code's pan test")),
    Figure.FLOOD_TIME_LEAST: (_TEST, phrase("least time of the flood test")),
    Figure.FLOOD_TIME_MOST: (_TEST, phrase("most time of the flood test")),
    Figure.FLOOD_HEAD_MOST: (_DEPTH, phrase("most depth of water in the flood test")),
    Figure.FLOOD_FALL_MOST: (_FALL, phrase("most fall of a flood-tested floor")),
    Figure.FLOOD_WAIT: (_WAIT, phrase("wait from membrane to flood test")),
    Figure.FLOOD_WAIT_COLD: (_WAIT, phrase("wait from membrane to flood test in the cold")),
    Figure.WATER_LOAD_AN_INCH: (_LOAD, phrase("load of an inch of water")),
    Figure.DRY_IN_PLACE: (_DENSITY, phrase("dry mix in deck mud in place")),
    Figure.CEMENT_LOOSE: (_DENSITY, phrase("weight of loose cement")),
    Figure.SAND_LOOSE: (_DENSITY, phrase("weight of dry sand in damp loose sand")),
    Figure.LATH_SHEET_WIDTH: (_SHEET, phrase("width of a lath sheet")),
    Figure.LATH_SHEET_LENGTH: (_SHEET, phrase("length of a lath sheet")),
    Figure.LIFT_MOST: (Measure(Dimension.MASS, 1.0, 1000.0), phrase("most that one person lifts")),
}

OWN_KINDS: dict[str, Kind] = {figure.key: figure.kind for figure in Figure}


def figure_of(key: str) -> Figure:
    """The figure that a key under [figures] names."""
    return Figure(key.replace("_", "-"))
