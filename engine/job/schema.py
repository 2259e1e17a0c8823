"""The job file as one table for reader, writer and editor: each key with its kind and bounds.

Bounds, in the units inside (see `engine/dimensions.py`), refuse what cannot be meant; the rulebooks judge what can.
"""

from collections.abc import Callable
from typing import Any

from ..phrases import phrase
from ..quantities import Dimension, Units
from . import model
from .kinds import Choice, CornerName, Day, Edges, Field, Flag, Kind, Many, Measure, Named, Pair, Spot, Table, Words
from .rule_figures import OWN_KINDS, over_0, up_to
from .shop_items import PRICE_KINDS

FORMAT = 1
_FAR = 3e4  # [mm] no wall of a shower floor is longer
# What a list may hold: far more than any floor has, and still planned within seconds (tests/bounds holds it).
MOST_CORNERS = 200  # of the outline and all islands together
_MOST_ISLANDS = 16
_MOST_DRAINS = 20
_MOST_TAPES = 200
_MOST_READINGS = 8000
_MOST_BUILT = 500
_LONGEST_NAME = 500  # characters
_LONGEST_NOTES = 20_000


_ATTRS = {"from": "start", "to": "end", "yield": "bag_yield"}  # keys that Python keeps for itself


def _fields(required: tuple[str, ...] = (), /, **kinds: Kind) -> tuple[Field, ...]:
    """Keys by name, with a _ behind one that Python keeps."""
    keyed = ((name.rstrip("_"), kind) for name, kind in kinds.items())
    return tuple(Field(key, _ATTRS.get(key, key), kind, key in required) for key, kind in keyed)


def _table(make: Callable[..., Any], required: tuple[str, ...] = (), /, **kinds: Kind) -> Table:
    return Table(make, _fields(required, **kinds))


SIDE = over_0(_FAR)
DROP = up_to(2e4)
OFFSET = up_to(_FAR)
COORDINATE = Measure(Dimension.LENGTH, -_FAR, _FAR)
TURN = Measure(Dimension.ANGLE, -180.0, 180.0, above=True, below=True)

HEAD = _table(
    dict,
    name=Words(_LONGEST_NAME),
    units=Choice(Units),
    rulebook=Choice(model.RulebookName),
    edition=Words(_LONGEST_NAME),
    start=Day(),
    notes=Words(_LONGEST_NOTES),
)
FLOOR = _table(
    model.Floor,
    kind=Choice(model.FloorKind),
    moisture_barrier=Choice(model.Barrier),
    lath=Flag(),
    bond_coat=Flag(),
    dead_load_allowance=up_to(100.0, Dimension.LOAD),
)
BUILD = _table(
    model.Build,
    waterproofing=Choice(model.Waterproofing),
    upper_bed=over_0(500.0),
    tile_edge=over_0(5000.0),
    tile=over_0(200.0),
    tile_setting=up_to(200.0),
)
WALL = _table(model.Wall, length=SIDE, turn=TURN, rise=COORDINATE)
CORNER = Pair(COORDINATE, ("x", "y"))
TAPE = _table(model.Tape, ("from", "to", "length"), from_=CornerName(), to=CornerName(), length=SIDE)
ISLAND = _table(model.Island, ("corners",), corners=Many(CORNER, MOST_CORNERS, phrase("a corner")))
OUTLINE = _table(
    model.Outline,
    rectangle=Pair(SIDE, ("A-B", "B-C")),
    walls=Many(WALL, MOST_CORNERS, phrase("a wall")),
    corners=Many(CORNER, MOST_CORNERS, phrase("a corner")),
    edges=Edges(),
    tape=Many(TAPE, _MOST_TAPES, phrase("a taped length")),
    islands=Many(ISLAND, _MOST_ISLANDS, phrase("an island")),
)
OUTLINE_FORMS = ("rectangle", "walls", "corners")
CURB = _table(model.Curb, drop=DROP)
DRAIN = _table(
    model.Drain, kind=Choice(model.DrainKind), size=over_0(3000.0), at=Spot(), from_=Spot(), to=Spot(), drop=DROP
)
READING = _table(model.Reading, ("at", "drop"), at=Spot(), drop=DROP, before=DROP, reckoned=Flag())
_BUILT_READING = _table(model.Reading, ("at", "drop"), at=Spot(), drop=DROP)
BED = _table(
    model.Bed,
    shape=Choice(model.BedShape),
    fall=over_0(1.0, Dimension.FALL),
    mark_step=over_0(50.0),
    least_depth=up_to(1000.0),
    most_depth=over_0(1000.0),
    wall_height=over_0(1000.0),
    trueness=over_0(50.0),
)
STRIPS = _table(model.Strips, thickness=over_0(300.0), short=up_to(300.0), stock=over_0(2e4), kerf=up_to(50.0))
MORTAR = _table(
    model.Mortar,
    supply=Choice(model.Supply),
    bag=over_0(2000.0, Dimension.MASS),
    yield_=over_0(2e9, Dimension.VOLUME),
    parts=over_0(100.0, Dimension.NUMBER),
    waste=up_to(1.0, Dimension.SHARE),
)
FLOOD_TEST = _table(
    model.FloodTest,
    filled=over_0(1000.0),
    hours=over_0(1000.0, Dimension.NUMBER),
    left=up_to(1000.0),
    bucket=up_to(1000.0),
    leaked=Flag(),
)
FIGURES = Named(OWN_KINDS, phrase("curb_least or flood_time_least"))
PRICES = Named(PRICE_KINDS, phrase("deck_mud or tile"))
READINGS = Many(READING, _MOST_READINGS, phrase("a reading"))
BUILT = Many(_BUILT_READING, _MOST_BUILT, phrase("a reading of the finished bed"))
SECTIONS = _fields(
    floor=FLOOR,
    build=BUILD,
    outline=OUTLINE,
    curb=CURB,
    drains=Many(DRAIN, _MOST_DRAINS, phrase("a drain")),
    readings=READINGS,
    bed=BED,
    strips=STRIPS,
    mortar=MORTAR,
    as_built=BUILT,
    flood_test=FLOOD_TEST,
    figures=FIGURES,
    prices=PRICES,
)
JOB = Table(model.Job, (Field("job", "", HEAD), *SECTIONS))
