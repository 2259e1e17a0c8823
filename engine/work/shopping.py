"""The shopping list."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache
from typing import TYPE_CHECKING

from ..job.defaults import strip_thickness, tile, tile_edge, tile_setting
from ..job.model import Barrier
from ..job.shop_items import Item, item_words
from ..phrases import joined, phrase
from ..quantities import CUBIC_FOOT, FOOT, Units, format_length, format_share, round_up
from ..records import record
from . import practice
from .mortar import Bags, SiteMix
from .practice import NO_SOURCE
from .rules import Rules
from .words import area_over, counted, fine_mass_over, length_over, volume_over

if TYPE_CHECKING:
    from ..layout.stock import StockPlan
    from ..layout.straightedges import Straightedges
    from .lining import BarrierSheet
    from .whole import Work

__all__ = ["Item", "Purchase", "amount", "item_words", "shopping"]

_NOISE = 1e-9
_MEASURES = ("sq ft", "m2")  # units of what is not sold by the piece
_AREA = Units.pair(("sq ft", FOOT**2), ("m2", 1e6))


@record
class Purchase:
    """An item: how many of a unit (bag, roll ...) of a size, how it was reckoned, and the source."""

    item: Item
    quantity: float
    unit: str
    of: str
    reckoned: str
    source: str


def amount(purchase: Purchase) -> str:
    """A quantity in words: "3 bags of 80 lb", "1 box of 1000", "15 sq ft, 5/16 in thick"."""
    count, unit = int(purchase.quantity), purchase.unit
    is_measure = unit in _MEASURES
    packs = f"{count} {unit}" if is_measure else counted(count, unit)
    told = phrase("{packs}, {size}" if is_measure else "{packs} of {size}", packs=packs, size=purchase.of)
    return told if purchase.of else packs


def shopping(work: Work) -> tuple[Purchase, ...]:
    """What a planned floor takes, but for what is not reckoned."""
    return (*_mud(work), *_sheets(work), *_lining(work), *_boards(work), *_tile(work))


def _whole(needed: float, pack: float) -> int:
    return math.ceil(needed / pack - _NOISE)


# --- mud


def _mud(work: Work) -> Iterator[Purchase]:
    found = work.mortar
    mix = found.mix
    if isinstance(mix, Bags):
        yield _bags(work, mix)
        if found.slurry:
            yield _cement(work, 0.0, found.slurry)
        return
    yield _cement(work, mix.cement_mass, found.slurry)
    yield _sand(work, mix)


def _mixed(work: Work) -> str:
    found, units = work.mortar, work.units
    return phrase(
        "{placed} in place and {waste} for waste",
        placed=volume_over(found.placed, units),
        waste=format_share(found.waste, units),
    )


def mixed_words(work: Work) -> str:
    """What is mixed: what is placed and the waste."""
    ordered = volume_over(work.mortar.ordered, work.units)
    return phrase("{mixed} are {ordered}", mixed=_mixed(work), ordered=ordered)


def _bags(work: Work, mix: Bags) -> Purchase:
    units = work.units
    return Purchase(
        Item.DECK_MUD,
        mix.count,
        "bag",
        mix.of,
        phrase(
            "{mixed}; a bag makes {makes}: {bags} bags",
            mixed=mixed_words(work),
            makes=f"{mix.makes / CUBIC_FOOT:.4g} cu ft" if units is Units.INCH else f"{mix.makes / 1e6:.4g} L",
            bags=f"{round_up(mix.exact, 0.01):.2f}",
        ),
        phrase("this job's bag"),
    )


def _cement(work: Work, in_mud: float, in_slurry: float) -> Purchase:
    units, rules = work.units, work.site.rules
    pack = practice.CEMENT[units]
    ways, sources = [], [rules.cement_loose.source]
    if in_mud:
        ways.append(phrase("{mass} in the mud ({mixed})", mass=fine_mass_over(in_mud, units), mixed=_mixed(work)))
        sources.append(phrase("in place {source}", source=rules.dry_in_place.source))
    if in_slurry:
        ways.append(
            phrase(
                "{mass} in the bond coat, {thick} over {area}",
                mass=fine_mass_over(in_slurry, units),
                thick=format_length(practice.BOND_COAT[units], units),
                area=area_over(work.site.floor.area, units),
            )
        )
        sources.append(phrase("the bond coat's thickness: {practice}", practice=NO_SOURCE))
    return Purchase(
        Item.CEMENT, _whole(in_mud + in_slurry, pack.holds), "bag", pack.text, joined("; ", ways), joined("; ", sources)
    )


def _sand(work: Work, mix: SiteMix) -> Purchase:
    units, rules = work.units, work.site.rules
    pack = practice.SAND[units]
    return Purchase(
        Item.SAND,
        _whole(mix.sand_mass, pack.holds),
        "bag",
        pack.text,
        phrase(
            "{parts} parts of damp loose sand to one of cement: {sand} to {cement}, {mass} of it dry",
            parts=f"{mix.parts:g}",
            sand=volume_over(mix.sand, units),
            cement=volume_over(mix.cement, units),
            mass=fine_mass_over(mix.sand_mass, units),
        ),
        phrase("{source}; in place {source_2}", source=rules.sand_loose.source, source_2=rules.dry_in_place.source),
    )


# --- sheets under the bed


def _sheets(work: Work) -> Iterator[Purchase]:
    if work.barrier is not None:
        yield _barrier(work, work.barrier)
    found, rules, units = work.lath, work.site.rules, work.units
    if found is None:
        return
    size = phrase(
        "{lath_sheet_width} x {lath_sheet_length}",
        lath_sheet_width=length_over(rules.lath_sheet_width.value, units),
        lath_sheet_length=length_over(rules.lath_sheet_length.value, units),
    )
    yield Purchase(
        Item.LATH,
        found.sheets,
        "sheet",
        size,
        phrase(
            "{pieces} in rows over {area}, lapped {lap}",
            pieces=counted(len(found.pieces), "piece"),
            area=area_over(found.area, units),
            lap=length_over(rules.lath_lap.value, units),
        ),
        phrase("{source}; laps: {source_2}", source=rules.lath_sheet_width.source, source_2=rules.lath_lap.source),
    )
    if work.site.is_wood:
        apart = length_over(rules.lath_fastener_spacing.value, units)
        yield Purchase(
            Item.STAPLES,
            _whole(found.fasteners, practice.STAPLES.holds),
            "box",
            practice.STAPLES.text,
            phrase("{fasteners} staples, every {apart} both ways", fasteners=found.fasteners, apart=apart),
            rules.lath_fastener_spacing.source,
        )


def _barrier(work: Work, sheet: BarrierSheet) -> Purchase:
    units = work.units
    up = length_over(sheet.turn_up, units)
    if sheet.kind is not Barrier.FELT:
        item = Item.POLY if sheet.kind is Barrier.POLY else Item.CLEAVAGE
        return Purchase(
            item, 1, "piece", _size(sheet.piece, units), phrase("turned {up} up the walls", up=up), NO_SOURCE
        )
    roll = practice.FELT_ROLL[units]
    return Purchase(
        Item.FELT,
        _whole(sheet.length, roll.holds),
        "roll",
        roll.text,
        phrase(
            "{courses} of {course}, lapped {lap}, turned {up} up the walls",
            courses=counted(sheet.courses, "course"),
            course=length_over(sheet.course, units),
            lap=length_over(sheet.lap, units),
            up=up,
        ),
        phrase("laps: {source}; the roll: {practice}", source=work.site.rules.cleavage_lap.source, practice=NO_SOURCE),
    )


def _size(sides: tuple[float, float], units: Units) -> str:
    if units is Units.MM:
        return joined(" x ", [length_over(side, units) for side in sides])
    return joined(" x ", [f"{side / FOOT:g} ft" for side in sides])


# --- lining


def _lining(work: Work) -> Iterator[Purchase]:
    found = work.lining
    high = phrase("{up_most} up the walls from the bed", up_most=length_over(found.up_most, work.units))
    assumed = phrase(", for a curb of the least height, as the job gives none") if found.is_assumed else ""
    if not work.site.is_between:
        yield _membrane(work, high, assumed)
        return
    size = _size(found.piece, work.units)
    yield Purchase(Item.LINER, 1, "piece", size, joined("", (high, assumed)), found.over_threshold.source)
    count = len(work.site.drains)
    yield Purchase(Item.WEEP_GRAVEL, count, "handful", phrase("pea gravel"), phrase("one a drain"), NO_SOURCE)
    if work.needs_wire_fabric:
        yield _wire_fabric(work)


def _membrane(work: Work, high: str, assumed: str) -> Purchase:
    found, units = work.lining, work.units
    reckoned = phrase(
        "floor, walls and thresholds {area}, {high}{assumed}; {waste} for laps and cuts",
        area=area_over(found.area, units),
        high=high,
        assumed=assumed,
        waste=format_share(practice.SHEET_WASTE, units),
    )
    source = phrase(
        "height: {source}; laps and cuts: {practice}", source=found.over_threshold.source, practice=NO_SOURCE
    )
    return _area(Item.MEMBRANE, found.area, units, reckoned, source)


def _wire_fabric(work: Work) -> Purchase:
    area, rule, units = work.site.floor.area, work.site.rules.wire_fabric_area, work.units
    reckoned = phrase(
        "{area} of pan, over {limit}; {waste} for laps and cuts",
        area=area_over(area, units),
        limit=area_over(rule.value, units),
        waste=format_share(practice.SHEET_WASTE, units),
    )
    source = phrase("{source}; laps and cuts: {practice}", source=rule.source, practice=NO_SOURCE)
    return _area(Item.WIRE_FABRIC, area, units, reckoned, source)


def _area(item: Item, area: float, units: Units, reckoned: str, source: str) -> Purchase:
    unit, one = _AREA[units]
    return Purchase(item, _whole(area * (1 + practice.SHEET_WASTE), one), unit, "", reckoned, source)


# --- boards and tile


def _boards(work: Work) -> Iterator[Purchase]:
    if work.stock is not None and work.stock.boards:
        yield _strip_boards(work, work.stock)
    if work.edges is not None and work.edges.longest > 0:
        yield _straightedge(work.edges, work.units)


def _strip_boards(work: Work, stock: StockPlan) -> Purchase:
    units = work.units
    high = max((strip.cut_height for strip in work.strips), default=0.0)
    return Purchase(
        Item.STRIP_BOARD,
        len(stock.boards),
        "board",
        phrase(
            "{stock} x {thick}{tall}",
            stock=format_length(stock.stock, units),
            thick=format_length(strip_thickness(work.site.job), units),
            tall=phrase(", at least {high} high", high=length_over(high, units)) if high > 0 else "",
        ),
        phrase(
            "{strips}, a saw cut of {kerf}; {proof}",
            strips=counted(len(work.strips), "strip"),
            kerf=format_length(stock.kerf, units),
            proof=phrase("no fewer do")
            if stock.is_fewest
            else phrase("at least {bound} are needed", bound=stock.bound),
        ),
        phrase("this plan"),
    )


def _straightedge(edges: Straightedges, units: Units) -> Purchase:
    longest = max((*edges.lengths, edges.longest, *(bend.longest for bend in edges.bends)))
    return Purchase(
        Item.STRAIGHTEDGE,
        1,
        "board",
        format_length(round_up(longest, practice.PIECE_STEP[units]), units),
        phrase(
            "the longest straightedge is {longest}; one board, trimmed as the work goes",
            longest=length_over(longest, units),
        ),
        phrase("this plan"),
    )


def _tile(work: Work) -> Iterator[Purchase]:
    job, area = work.site.job, work.site.floor.area
    yield _tiles(area, tile(job), tile_edge(job), job.units)
    if tile_setting(job) > 0:
        yield _tile_mortar(area * tile_setting(job), job.units, work.site.rules)


@lru_cache(maxsize=16)
def _tiles(area: float, thick: float, edge: float, units: Units) -> Purchase:
    waste = format_share(practice.TILE_WASTE, units)
    tiled = area * (1 + practice.TILE_WASTE)
    size = phrase(
        "{tile} thick, longest edge {edge}", tile=format_length(thick, units), edge=format_length(edge, units)
    )
    unit, one = _AREA[units]
    return Purchase(
        Item.TILE,
        _whole(tiled, one),
        unit,
        size,
        phrase("the floor alone, {area}; {waste} for cuts", area=area_over(area, units), waste=waste),
        NO_SOURCE,
    )


@lru_cache(maxsize=16)
def _tile_mortar(volume: float, units: Units, rules: Rules) -> Purchase:
    pack = practice.TILE_MORTAR[units]
    dry = volume * (1 + practice.TILE_WASTE) * rules.dry_in_place.value
    return Purchase(
        Item.TILE_MORTAR,
        _whole(dry, pack.holds),
        "bag",
        pack.text,
        phrase(
            "{volume} and {over}, taken as dense as deck mud: {mass} dry",
            volume=volume_over(volume, units),
            over=format_share(practice.TILE_WASTE, units),
            mass=fine_mass_over(dry, units),
        ),
        phrase("{practice}: ask its maker for the coverage", practice=NO_SOURCE),
    )
