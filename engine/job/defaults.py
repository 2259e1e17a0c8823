"""What is taken where a job leaves a thing out.

Each figure stands once here, as text in the job file's own words. Lengths are in [mm]; masses in [kg];
volumes in [mm3]; the waste is a share [-]. The figures of strips, marks and the bag go by the job's units.
"""

from __future__ import annotations

from functools import cache

from engine.job.model import Barrier, Job, Supply, Typed, Waterproofing
from engine.quantities import Dimension, Units, parse

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
TRUENESS_TEXTS = {Units.INCH: ("1/16 in", "1/8 in"), Units.MM: ("1.5 mm", "3 mm")}
_DIMENSIONS = {
    "mortar.bag": Dimension.MASS,
    "mortar.yield": Dimension.VOLUME,
    "mortar.parts": Dimension.NUMBER,
    "mortar.waste": Dimension.SHARE,
}


def default_text(job: Job, key: str) -> str:
    """What is taken for a figure that is left out, as it would be written; "" where nothing is."""
    return _text(key, job.units)


def _text(key: str, units: Units) -> str:
    inch, mm = DEFAULT_TEXTS.get(key, ("", ""))
    return mm if units is Units.MM else inch


def default_dimension(key: str) -> Dimension:
    """What kind of figure the one taken at that key is."""
    return _DIMENSIONS.get(key, Dimension.LENGTH)


def _figure(entry: Typed | None, job: Job, key: str) -> float:
    if entry is not None:
        return entry.value
    return _taken(key, job.units)


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


def upper_bed(job: Job) -> float:
    """The thickness of the bed over a liner [mm]."""
    return _figure(job.build.upper_bed, job, "build.upper_bed")


def tile_edge(job: Job) -> float:
    """The longest edge of the floor tile [mm]."""
    return _figure(job.build.tile_edge, job, "build.tile_edge")


def tile(job: Job) -> float:
    """The thickness of the tile [mm]."""
    return _figure(job.build.tile, job, "build.tile")


def tile_setting(job: Job) -> float:
    """Membrane and mortar under the tile, together [mm]."""
    return _figure(job.build.tile_setting, job, "build.tile_setting")


def mark_step(job: Job) -> float:
    """What wall marks are rounded up to [mm]."""
    return _figure(job.bed.mark_step, job, "bed.mark_step")


def strip_thickness(job: Job) -> float:
    """The thickness of the perimeter strips [mm]."""
    return _figure(job.strips.thickness, job, "strips.thickness")


def strip_short(job: Job) -> float:
    """How much a strip is cut short of the measured height [mm]."""
    return _figure(job.strips.short, job, "strips.short")


def strip_stock(job: Job) -> float:
    """The length of the boards that strips are cut from [mm]."""
    return _figure(job.strips.stock, job, "strips.stock")


def kerf(job: Job) -> float:
    """What one saw cut takes [mm]."""
    return _figure(job.strips.kerf, job, "strips.kerf")


def supply(job: Job) -> Supply:
    """How the deck mud is bought."""
    return job.mortar.supply or Supply.BAG


def bag(job: Job) -> float:
    """The mass of a bag of deck mud [kg]."""
    return _figure(job.mortar.bag, job, "mortar.bag")


def bag_yield(job: Job) -> float:
    """What a bag makes, in place [mm3]."""
    return _figure(job.mortar.bag_yield, job, "mortar.yield")


def parts(job: Job) -> float:
    """Parts of sand to one of cement, by volume [-]."""
    return _figure(job.mortar.parts, job, "mortar.parts")


def waste(job: Job) -> float:
    """What is bought over what is placed, as a share of it [-]."""
    return _figure(job.mortar.waste, job, "mortar.waste")


def truenesses(job: Job) -> tuple[float, ...]:
    """How true the bed is screeded [mm], 19 times in 20: the job's own, else a practised hand's and a usual one's."""
    if job.bed.trueness is not None:
        return (job.bed.trueness.value,)
    return tuple(parse(text, Dimension.LENGTH, job.units) for text in TRUENESS_TEXTS[job.units])
