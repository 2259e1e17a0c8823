"""Layers: what lies on the floor from the rough floor up to the tile, and how each is laid."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from engine.job.defaults import tile, tile_edge, tile_setting
from engine.job.model import Barrier
from engine.quantities import format_length
from engine.records import dataclass
from engine.work import practice
from engine.work.practice import NO_SOURCE
from engine.work.words import area_over, counted, length_over, length_under

if TYPE_CHECKING:
    from collections.abc import Iterator

    from engine.work.barrier import BarrierSheet
    from engine.work.lath import Lath
    from engine.work.whole import Work


class LayerName(StrEnum):
    """What a layer is."""

    BARRIER = "moisture-barrier"
    LATH = "lath"
    WETTING = "wetting"
    BOND_COAT = "bond-coat"
    BED = "bed"
    PRE_SLOPE = "pre-slope"
    LINER = "liner"
    WEEP_HOLES = "weep-holes"
    WIRE_FABRIC = "wire-fabric"
    UPPER_BED = "upper-bed"
    MEMBRANE = "membrane"
    TILE_MORTAR = "tile-mortar"
    TILE = "tile"


@dataclass(frozen=True, slots=True)
class Layer:
    """A layer, from below: its least and most thickness [mm], how it is laid, and the source.

    What has no thickness worth counting is 0 thick; a membrane's is counted with the tile mortar's.
    """

    name: LayerName
    least: float
    most: float
    says: str
    source: str


def layers(work: Work) -> tuple[Layer, ...]:
    """The layers of a planned floor, from the rough floor up."""
    return (*_under(work), *(_between(work) if work.site.is_between else _over(work)), *_tile(work))


def _sheet(name: LayerName, says: str, source: str) -> Layer:
    return Layer(name, 0.0, 0.0, says, source)


_WETTING = _sheet(
    LayerName.WETTING,
    "Wet the slab and let it dry to damp before packing, so that it does not drink the mix",
    NO_SOURCE,
)

# ------------------------------------------------------------------ under the bed


def _under(work: Work) -> Iterator[Layer]:
    if work.barrier is not None:
        yield _barrier(work, work.barrier)
    if work.lath is not None:
        yield _lath(work, work.lath)
    if work.site.is_bonded:
        yield _bond_coat(work) if work.site.has_bond_coat else _WETTING


def _bond_coat(work: Work) -> Layer:
    thick = practice.BOND_COAT[work.site.units]
    return Layer(
        LayerName.BOND_COAT,
        thick,
        thick,
        f"Wet the slab, then butter it with cement slurry about {format_length(thick, work.site.units)} thick, only as "
        "far as the next portion, and pack the mud into it while it is wet",
        NO_SOURCE,
    )


def _barrier(work: Work, sheet: BarrierSheet) -> Layer:
    units = work.site.units
    up, lap = (length_over(mm, units) for mm in (sheet.turn_up, sheet.lap))
    if sheet.kind is Barrier.FELT:
        how = (
            f"Lay 15-lb felt (ASTM D226) in {counted(sheet.courses, 'course')} of {length_over(sheet.course, units)} "
            f"off a roll {length_over(sheet.width, units)} wide, lapped {lap}"
        )
    else:
        piece = " x ".join(length_over(side, units) for side in sheet.piece)
        name = "polyethylene sheet" if sheet.kind is Barrier.POLY else "cleavage membrane"
        how = f"Lay {name} in one piece of {piece}; where it has to be pieced, lap it {lap}"
    return _sheet(
        LayerName.BARRIER,
        f"{how}, and turn it {up} up the walls",
        f"laps: {work.site.rules.cleavage_lap.source}; turned up: {NO_SOURCE}",
    )


def _lath(work: Work, found: Lath) -> Layer:
    units, rules = work.site.units, work.site.rules
    lap = length_over(rules.lath_lap.value, units)
    pieces = f"{counted(len(found.pieces), 'piece')} cut from {counted(found.sheets, 'sheet')}"
    if work.site.is_wood:
        apart = length_under(rules.lath_fastener_spacing.value, units)
        says = f"Staple metal lath over the barrier: {pieces}, lapped {lap}, fastened every {apart} both ways"
        source = f"laps: {rules.lath_lap.source}; fasteners: {rules.lath_fastener_spacing.source}"
        return _sheet(LayerName.LATH, says, source)
    return _sheet(
        LayerName.LATH,
        f"Lay metal lath in the mud, half way up the bed: {pieces}, lapped {lap}, without fasteners",
        f"laps: {rules.lath_lap.source}; loose in the mud: {NO_SOURCE}",
    )


# ------------------------------------------------------------------ the beds and the lining


def _bed(work: Work, name: LayerName) -> Layer:
    site = work.site
    least, most = site.depth.least.value, site.depth.most.value
    deep = f"{length_under(least, site.units)} to {length_over(most, site.units)} deep"
    return Layer(
        name,
        least,
        most,
        f"Deck mud, {deep}: packed hard, screeded from the strips to the flange",
        "this plan",
    )


def _over(work: Work) -> Iterator[Layer]:
    yield _bed(work, LayerName.BED)
    up, units = work.lining, work.site.units
    yield _sheet(
        LayerName.MEMBRANE,
        f"Bond the membrane to the bed and to the drain, {length_over(up.up_most, units)} up the walls from the bed "
        f"({length_over(up.over_threshold.value, units)} over the finished threshold) and over the threshold",
        f"height: the larger of the codes' figures, {_both(work)}",
    )


def _both(work: Work) -> str:
    """What the codes ask of the lining over the threshold, each with its source."""
    units = work.site.units
    return "; ".join(f"{length_over(rule.value, units)}: {rule.source}" for rule in work.lining.asked)


def _between(work: Work) -> Iterator[Layer]:
    yield _bed(work, LayerName.PRE_SLOPE)
    site, up = work.site, work.lining
    piece = " x ".join(length_over(side, site.units) for side in up.piece)
    yield _sheet(
        LayerName.LINER,
        f"Lay the liner on the pre-slope, one piece of {piece}: {length_over(up.up_most, site.units)} up the walls "
        f"from the pre-slope ({length_over(up.over_threshold.value, site.units)} over the finished threshold), folded "
        "at the corners and not cut, clamped in the drain, no fastener through it below its top",
        f"height: the larger of the codes' figures, {_both(work)}; the rest: {NO_SOURCE}",
    )
    yield _sheet(
        LayerName.WEEP_HOLES,
        "Keep the drain's weep holes open: ring them with pea gravel or a spacer before the upper bed",
        NO_SOURCE,
    )
    if work.needs_wire_fabric:
        rule = site.rules.wire_fabric_area
        yield _sheet(
            LayerName.WIRE_FABRIC,
            f"Lay wire fabric half way up the upper bed: the pan is over {area_over(rule.value, site.units)}",
            rule.source,
        )
    yield Layer(
        LayerName.UPPER_BED,
        site.upper_bed,
        site.upper_bed,
        f"Deck mud of even depth, {length_over(site.upper_bed, site.units)}, so that its top falls as the pre-slope",
        "this plan",
    )


def _tile(work: Work) -> Iterator[Layer]:
    job, units = work.site.job, work.site.units
    setting, thick = tile_setting(job), tile(job)
    what = "Tile mortar" if work.site.is_between else "Tile mortar, counted together with the membrane"
    yield Layer(
        LayerName.TILE_MORTAR,
        setting,
        setting,
        f"{what}: {format_length(setting, units)}",
        "this job",
    )
    yield Layer(
        LayerName.TILE,
        thick,
        thick,
        f"Tile, {format_length(thick, units)} thick, longest edge {format_length(tile_edge(job), units)}",
        "this job",
    )
