"""What the trade goes by without a source: told so wherever it is used.

Lengths [mm], volumes [mm3], masses [kg], loads [kPa], times [h]; a pair is (in an inch job, in a mm job).
"""

from ..phrases import phrase
from ..quantities import CUBIC_FOOT, FOOT, INCH, LITRE, POUND, PSF, Units
from ..records import record

NO_SOURCE = phrase("common practice, no source")


@record
class Pack:
    """What shops sell a thing in: a name as one reads it, and how much is in it (unit by the thing)."""

    text: str
    holds: float


# Mixing and placing
BATCH = Units.pair(1.5 * CUBIC_FOOT, 40 * LITRE)  # what one person packs and screeds while it is workable
WORKABLE = 1.0  # deck mud stays workable about an hour
WORKING_DAY = 8.0
LEAST_PORTIONS = 3  # "a quarter to a third of the floor at a time"
MOST_PORTIONS = 24
DRY_TO_DAMP = 0.75  # mud still packs with this part of the water that it holds in place
BOND_COAT = Units.pair(INCH / 16, 1.5)  # how thick
CEMENT = Units.pair(Pack("94 lb", 94 * POUND), Pack("25 kg", 25.0))
SAND = Units.pair(Pack("50 lb", 50 * POUND), Pack("25 kg", 25.0))

# Sheets
TURN_UP = Units.pair(3 * INCH, 75.0)  # of a moisture barrier, up the walls
FELT_WIDTH = Units.pair(36 * INCH, 1000.0)
FELT_ROLL = Units.pair(Pack("36 in x 144 ft", 144 * FOOT), Pack("1 m x 20 m", 20_000.0))
STAPLES = Pack("1000", 1000.0)
PIECE_STEP = Units.pair(FOOT, 100.0)  # pieces off a roll are cut to whole steps
CURB_WRAP = Units.pair(9 * INCH, 225.0)  # of lining, over a curb's top and down its outside
CURB = Units.pair(2 * INCH, 50.0)  # over the finished drain, where neither job nor rulebook tells
SHEET_WASTE = 0.10  # laps and cuts of a sheet laid in pieces

# Tile
TILE_WASTE = 0.10
TILE_LOAD_AN_INCH = 14 * PSF  # tile and its mortar, taken as dense as granite
SHEETS_LOAD = 0.5 * PSF  # felt, lath and lining together
TILE_MORTAR = Units.pair(Pack("50 lb", 50 * POUND), Pack("20 kg", 20.0))
TILE_WAIT = 24.0  # before grouting
GROUT_WAIT = 72.0  # before the first shower

# Other ways to build the floor
LEVELLER_LEAST = Units.pair(INCH / 8, 3.0)
LEVELLER_WAIT = 24.0
BEDDING_WAIT = 24.0
RECEPTOR_ROOM = Units.pair(INCH / 2, 13.0)  # how much larger than a receptor the room may be
_INCH_SIZES = ((32, 32), (36, 36), (42, 42), (48, 32), (48, 34), (48, 36), (60, 30), (60, 32), (60, 36))
_MM_SIZES = ((800, 800), (900, 900), (1000, 1000), (1000, 800), (1200, 800), (1200, 900), (1400, 900), (1600, 900))
RECEPTORS = Units.pair(
    tuple((a * INCH, b * INCH) for a, b in _INCH_SIZES), tuple((float(a), float(b)) for a, b in _MM_SIZES)
)
