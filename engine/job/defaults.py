"""What is taken for a thing left out of a job, each figure as the job file would word it.

Lengths in [mm], masses in [kg], volumes in [mm3], parts and waste in [-]. Strips, marks and the bag go by the job's
units.
"""

from collections.abc import Callable
from functools import cache
from operator import attrgetter

from ..quantities import Dimension, Units, parse
from .model import Barrier, Job, Supply, Typed, Waterproofing

# key: (in an inch job, in a mm job)
DEFAULT_TEXTS: dict[str, tuple[str, str]] = {
    "build.upper_bed": ("1 1/2 in", "1 1/2 in"),
    "build.tile_edge": ("2 in", "2 in"),
    "build.tile": ("5/16 in", "5/16 in"),
    "build.tile_setting": ("1/8 in", "1/8 in"),
    "bed.mark_step": ("1/16 in", "1 mm"),
    "strips.thickness": ("1/2 in", "12 mm"),
    "strips.short": ("1/8 in", "3 mm"),
    "strips.stock": ("48 in", "1200 mm"),
    "strips.kerf": ("1/8 in", "3 mm"),
    "mortar.bag": ("60 lb", "25 kg"),
    "mortar.yield": ("0.45 ft^3", "0.0125 m3"),
    "mortar.parts": ("5", "5"),
    "mortar.waste": ("10 %", "10 %"),
}
TRUENESS_TEXTS = Units.pair(("1/16 in", "1/8 in"), ("1.5 mm", "3 mm"))
_DIMENSIONS = {
    "mortar.bag": Dimension.MASS,
    "mortar.yield": Dimension.VOLUME,
    "mortar.parts": Dimension.NUMBER,
    "mortar.waste": Dimension.SHARE,
}


def default_text(job: Job, key: str) -> str:
    """What is taken for a figure left out, as one would write it; "" for nothing."""
    return _text(key, job.units)


def _text(key: str, units: Units) -> str:
    inch, mm = DEFAULT_TEXTS.get(key, ("", ""))
    return mm if units is Units.MM else inch


def default_dimension(key: str) -> Dimension:
    """What kind of figure the one taken at that key is."""
    return _DIMENSIONS.get(key, Dimension.LENGTH)


@cache  # as many as there are keys
def _taken(key: str, units: Units) -> float:
    return parse(_text(key, units), default_dimension(key), units)


def barrier(job: Job) -> Barrier:
    """The moisture barrier between the floor and the bed."""
    return job.floor.moisture_barrier or Barrier.NONE


def has_lath(job: Job) -> bool:
    """Whether there is lath in the mud."""
    return bool(job.floor.lath)


def has_bond_coat(job: Job) -> bool:
    """Whether a bond coat holds the bed to the floor."""
    return bool(job.floor.bond_coat)


def waterproofing(job: Job) -> Waterproofing:
    """Where the waterproof layer lies."""
    return job.build.waterproofing or Waterproofing.OVER_BED


def has_liner(job: Job) -> bool:
    """Whether a liner lies between two beds."""
    return waterproofing(job) is Waterproofing.BETWEEN_BEDS


def supply(job: Job) -> Supply:
    """How the deck mud is bought."""
    return job.mortar.supply or Supply.BAG


def _figure(key: str, attr: str = "") -> Callable[[Job], float]:
    entry_of = attrgetter(attr or key)

    def figure(job: Job) -> float:
        entry: Typed | None = entry_of(job)
        return _taken(key, job.units) if entry is None else entry.value

    return figure


upper_bed = _figure("build.upper_bed")  # how thick the bed over a liner is
tile_edge = _figure("build.tile_edge")  # the longest edge of the floor tile
tile = _figure("build.tile")  # its thickness
tile_setting = _figure("build.tile_setting")  # membrane and mortar under the tile, together
mark_step = _figure("bed.mark_step")  # what wall marks are rounded up to
strip_thickness = _figure("strips.thickness")
strip_short = _figure("strips.short")  # how much a strip is cut short of the measured height
strip_stock = _figure("strips.stock")  # how long the boards are that strips are cut from
kerf = _figure("strips.kerf")  # what one saw cut takes
bag = _figure("mortar.bag")  # of deck mud
bag_yield = _figure("mortar.yield", "mortar.bag_yield")  # what a bag makes, in place
parts = _figure("mortar.parts")  # of sand to one of cement, by volume
waste = _figure("mortar.waste")  # what is bought over what is placed, as a share of it


def over_liner(job: Job) -> float:
    """The thickness of the bed over a liner [mm]; 0 without a liner."""
    return upper_bed(job) if has_liner(job) else 0.0


def tiled(job: Job) -> float:
    """How thick the tile is with all that it is set in [mm]."""
    return tile_setting(job) + tile(job)


def truenesses(job: Job) -> tuple[float, ...]:
    """How true the bed is screeded [mm], 19 times in 20: the job's, else a practised and a usual hand's."""
    if job.bed.trueness is not None:
        return (job.bed.trueness.value,)
    return tuple(parse(text, Dimension.LENGTH, job.units) for text in TRUENESS_TEXTS[job.units])
