"""What lies on the rough floor, up to the tile."""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum
from functools import lru_cache
from typing import TYPE_CHECKING

from ..job.defaults import tile, tile_edge, tile_setting
from ..job.model import Barrier
from ..packed import wording
from ..phrases import joined, phrase
from ..quantities import Units, format_length
from ..records import record
from . import practice
from .practice import NO_SOURCE
from .words import area_over, counted, length_over, length_under

if TYPE_CHECKING:
    from .lath import Lath
    from .lining import BarrierSheet
    from .whole import Work


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


@record
class Layer:
    """A layer: its least and most thickness [mm], how it is laid, and the source.

    What is hardly thick is 0 thick; a membrane counts with the tile mortar.
    """

    name: LayerName
    least: float
    most: float
    says: str
    source: str


def layers(work: Work) -> tuple[Layer, ...]:
    """A planned floor's layers, from the rough floor up."""
    return (*_under(work), *(_between(work) if work.site.is_between else _over(work)), *_tile(work))


def _sheet(name: LayerName, says: str, source: str) -> Layer:
    return Layer(name, 0.0, 0.0, says, source)


_WETTING = _sheet(
    LayerName.WETTING,
    phrase("Wet the slab and let it dry to damp before packing, so that it does not drink the mix"),
    NO_SOURCE,
)

# --- under the bed


def _under(work: Work) -> Iterator[Layer]:
    if work.barrier is not None:
        yield _barrier(work, work.barrier)
    if work.lath is not None:
        yield _lath(work, work.lath)
    if work.site.is_bonded:
        yield _bond_coat(work.units) if work.site.has_bond_coat else _WETTING


@lru_cache(maxsize=16)
def _bond_coat(units: Units) -> Layer:
    thick = practice.BOND_COAT[units]
    return Layer(
        LayerName.BOND_COAT,
        thick,
        thick,
        phrase(
            "Wet the slab, then butter it with cement slurry about {thick} thick, only as far as "
            "the next portion, and pack the mud into it while it is wet",
            thick=format_length(thick, units),
        ),
        NO_SOURCE,
    )


def _barrier(work: Work, sheet: BarrierSheet) -> Layer:
    units = work.units
    up, lap = (length_over(mm, units) for mm in (sheet.turn_up, sheet.lap))
    if sheet.kind is Barrier.FELT:
        how = phrase(
            "Lay 15-lb felt (ASTM D226) in {courses} of {course} off a roll {width} wide, lapped {lap}",
            courses=counted(sheet.courses, "course"),
            course=length_over(sheet.course, units),
            width=length_over(sheet.width, units),
            lap=lap,
        )
    else:
        how = phrase(
            "Lay {name} in one piece of {piece}; where it has to be pieced, lap it {lap}",
            name=phrase("polyethylene sheet" if sheet.kind is Barrier.POLY else "cleavage membrane"),
            piece=joined(" x ", [length_over(side, units) for side in sheet.piece]),
            lap=lap,
        )
    return _sheet(
        LayerName.BARRIER,
        phrase("{how}, and turn it {up} up the walls", how=how, up=up),
        phrase("laps: {source}; turned up: {practice}", source=work.site.rules.cleavage_lap.source, practice=NO_SOURCE),
    )


def _lath(work: Work, found: Lath) -> Layer:
    units, rules = work.units, work.site.rules
    lap = length_over(rules.lath_lap.value, units)
    pieces = phrase(
        "{pieces} cut from {sheets}", pieces=counted(len(found.pieces), "piece"), sheets=counted(found.sheets, "sheet")
    )
    if work.site.is_wood:
        says = phrase(
            "Staple metal lath over the barrier: {pieces}, lapped {lap}, fastened every {apart} both ways",
            pieces=pieces,
            lap=lap,
            apart=length_under(rules.lath_fastener_spacing.value, units),
        )
        source = phrase(
            "laps: {source}; fasteners: {source_2}",
            source=rules.lath_lap.source,
            source_2=rules.lath_fastener_spacing.source,
        )
        return _sheet(LayerName.LATH, says, source)
    return _sheet(
        LayerName.LATH,
        phrase(
            "Lay metal lath in the mud, half way up the bed: {pieces}, lapped {lap}, without fasteners",
            pieces=pieces,
            lap=lap,
        ),
        phrase("laps: {source}; loose in the mud: {practice}", source=rules.lath_lap.source, practice=NO_SOURCE),
    )


# --- the beds and the lining


def _bed(work: Work, name: LayerName) -> Layer:
    site = work.site
    least, most = site.depth.least.value, site.depth.most.value
    deep = phrase("{least} to {most} deep", least=length_under(least, site.units), most=length_over(most, site.units))
    return Layer(
        name,
        least,
        most,
        phrase("Deck mud, {deep}: packed hard, screeded from the strips to the flange", deep=deep),
        phrase("this plan"),
    )


def _over(work: Work) -> Iterator[Layer]:
    yield _bed(work, LayerName.BED)
    up, units = work.lining, work.units
    yield _sheet(
        LayerName.MEMBRANE,
        phrase(
            "Bond the membrane to the bed and to the drain, {up_most} up the walls from the bed "
            "({over_threshold} over the finished threshold) and over the threshold",
            up_most=length_over(up.up_most, units),
            over_threshold=length_over(up.over_threshold.value, units),
        ),
        _higher(work),
    )


def _higher(work: Work) -> str:
    asked = [(length_over(rule.value, work.units), rule.source) for rule in work.lining.asked]
    both = joined("; ", [phrase("{rule}: {source}", rule=rule, source=source) for rule, source in asked])
    return phrase("height: the larger of the codes' figures, {both}", both=both)


def _between(work: Work) -> Iterator[Layer]:
    yield _bed(work, LayerName.PRE_SLOPE)
    site, up = work.site, work.lining
    yield _sheet(
        LayerName.LINER,
        phrase(
            "Lay the liner on the pre-slope, one piece of {piece}: {up_most} up the walls from "
            "the pre-slope ({over_threshold} over the finished threshold), folded at the corners "
            "and not cut, clamped in the drain, no fastener through it below its top",
            piece=joined(" x ", [length_over(side, site.units) for side in up.piece]),
            up_most=length_over(up.up_most, site.units),
            over_threshold=length_over(up.over_threshold.value, site.units),
        ),
        phrase("{height}; the rest: {practice}", height=_higher(work), practice=NO_SOURCE),
    )
    yield _sheet(
        LayerName.WEEP_HOLES,
        wording("work")["weep-holes"],
        NO_SOURCE,
    )
    if work.needs_wire_fabric:
        rule = site.rules.wire_fabric_area
        yield _sheet(
            LayerName.WIRE_FABRIC,
            phrase(
                "Lay wire fabric half way up the upper bed: the pan is over {area}",
                area=area_over(rule.value, site.units),
            ),
            rule.source,
        )
    yield Layer(
        LayerName.UPPER_BED,
        site.upper_bed,
        site.upper_bed,
        phrase(
            "Deck mud of even depth, {upper_bed}, so that its top falls as the pre-slope",
            upper_bed=length_over(site.upper_bed, site.units),
        ),
        phrase("this plan"),
    )


def _tile(work: Work) -> Iterator[Layer]:
    job = work.site.job
    yield _tile_mortar(tile_setting(job), job.units, is_between=work.site.is_between)
    yield _tiles(tile(job), tile_edge(job), job.units)


@lru_cache(maxsize=16)
def _tile_mortar(thick: float, units: Units, *, is_between: bool) -> Layer:
    what = phrase("Tile mortar" if is_between else "Tile mortar, counted together with the membrane")
    says = phrase("{what}: {setting}", what=what, setting=format_length(thick, units))
    return Layer(LayerName.TILE_MORTAR, thick, thick, says, phrase("this job"))


@lru_cache(maxsize=16)
def _tiles(thick: float, edge: float, units: Units) -> Layer:
    says = phrase(
        "Tile, {thick} thick, longest edge {edge}", thick=format_length(thick, units), edge=format_length(edge, units)
    )
    return Layer(LayerName.TILE, thick, thick, says, phrase("this job"))
