"""What the bed is built of: barrier and lath on wood, deck mud, liner and wire fabric, tiles."""

import math

from ...job.defaults import barrier, has_lath, has_liner, parts, supply, tile_edge
from ...job.model import Barrier, BedShape, DrainKind, EdgeKind, FloorKind, Supply
from ...phrases import joined, phrase
from ...quantities import format_area
from ...survey.outline import FloorOutline
from ..words import area_more, figure_words, limit_area
from .case import NOISE, Case, Figure, Finding, Findings, Level, Limit, is_above, is_below

_FORM = {
    BedShape.EVEN_FALL: phrase("a cone: no part of it is flat"),
    BedShape.LEVEL_WALLS: phrase("facets that meet in valleys and lean toward the drain like a cone"),
}


def check_wood(case: Case) -> Findings:
    """Findings wood-no-barrier and wood-no-lath."""
    if case.job.floor.kind is not FloorKind.WOOD:
        return
    needs_barrier, needs_lath = (_needed(case, figure) for figure in (Figure.WOOD_BARRIER, Figure.WOOD_LATH))
    if needs_barrier and barrier(case.job) is Barrier.NONE:
        yield needs_barrier.broken(
            "wood-no-barrier",
            says=phrase("the floor is wood and there is no moisture barrier under the mud"),
            remedy=phrase("lay one layer of 15-lb felt, lapped, or another barrier, before the lath"),
            key="floor.moisture_barrier",
            change=(("floor.moisture_barrier", Barrier.FELT.value),),
        )
    if needs_lath and not has_lath(case.job):
        sides = (case.book.find(Figure.LATH_SHEET_WIDTH), case.book.find(Figure.LATH_SHEET_LENGTH))
        sheet = format_area(math.prod(side.value for side in sides if side), case.units)
        yield needs_lath.broken(
            "wood-no-lath",
            says=phrase("the floor is wood and there is no lath in the mud"),
            remedy=phrase("staple metal lath over the barrier: a sheet for every {area}, and the laps", area=sheet),
            key="floor.lath",
            change=(("floor.lath", "true"),),
        )


def _needed(case: Case, figure: Figure) -> Limit | None:
    limit = case.book.find(figure)
    return limit if limit and limit.value else None


def check_tiles(case: Case) -> Findings:
    """Finding large-tile-cone, where a bed falls to a drain from all sides."""
    limit, edge, bed = case.book.find(Figure.CONE_TILE_EDGE), tile_edge(case.job), case.stages.bed
    shape = bed.shape if bed else case.job.bed.shape
    to_a_point = any(drain.kind in (DrainKind.ROUND, DrainKind.SQUARE) for drain in case.job.drains)
    if limit is None or shape not in _FORM or not to_a_point or edge < limit.value - NOISE:
        return
    yield limit.broken(
        "large-tile-cone",
        says=phrase(
            "tiles of {edge} show lippage here: the bed is {form}, and from {limit} up tiles do not follow it",
            edge=case.length(edge),
            form=_FORM[shape],
            limit=case.limit(limit),
        ),
        remedy=phrase(
            "take tiles under {limit}, {mosaic} follows best; {cut}or plan one plane to a channel",
            limit=case.limit(limit),
            mosaic=_mosaic(case),
            cut=phrase("cut the large ones along the valleys; ") if shape is BedShape.LEVEL_WALLS else "",
        ),
        key="build.tile_edge",
    )


def _mosaic(case: Case) -> str:
    limit = case.book.find(Figure.MOSAIC_AREA)
    if limit is None:
        return phrase("mosaic")
    return phrase("mosaic (tiles under {area})", area=figure_words(Figure.MOSAIC_AREA, limit, case.units))


def check_mix(case: Case) -> Findings:
    """Findings mix-rich and mix-lean, where cement and sand are mixed on site."""
    if supply(case.job) is not Supply.SITE:
        return
    planned, book = parts(case.job), case.book
    least, most, curls = (book.find(figure) for figure in (Figure.SAND_LEAST, Figure.SAND_MOST, Figure.SAND_CURLS))
    if curls and is_below(planned, curls.value):
        enough = least if least and least.value > curls.value else curls
        yield _mixed(planned, curls, enough, curls=True)
    elif least and is_below(planned, least.value):
        yield _mixed(planned, least, least)
    elif most and is_above(planned, most.value):
        yield _mixed(planned, most, most)


def _mixed(planned: float, limit: Limit, enough: Limit, *, curls: bool = False) -> Finding:
    is_rich, parts = planned < limit.value, f"{enough.value:g}"
    return limit.broken(
        "mix-rich" if is_rich else "mix-lean",
        says=phrase(
            "the mud is mixed 1 part of cement to {parts} of sand{verdict}",
            parts=f"{planned:g}",
            verdict=phrase(
                ": richer than 1 to {limit} it curls as it dries"
                if curls
                else ", richer than the 1 to {limit} that deck mud is"
                if is_rich
                else ", leaner than the 1 to {limit} that holds together",
                limit=f"{limit.value:g}",
            ),
        ),
        remedy=phrase(
            "take at least {parts} parts of sand" if is_rich else "take at most {parts} parts of sand", parts=parts
        ),
        key="mortar.parts",
        change=(("mortar.parts", parts),),
    )


def check_lining(case: Case) -> Findings:
    """Notes liner-height and wire-fabric, where a liner lies between two beds."""
    floor = case.stages.outline
    if not has_liner(case.job) or not floor:
        return
    yield from _height(case, floor)
    yield from _fabric(case, floor)


def _height(case: Case, floor: FloorOutline) -> Findings:
    figures = (Figure.LINING_OVER_THRESHOLD_UPC, Figure.LINING_OVER_THRESHOLD_IPC)
    asked = [limit for figure in figures if (limit := case.book.find(figure))]
    heights = {limit.value for limit in asked}
    if len(heights) < 2:
        return
    highest = max(asked, key=lambda limit: limit.value)
    told = joined(
        ", ", (phrase("{height} by {source}", height=case.limit(limit), source=limit.cited) for limit in asked)
    )
    curb = case.book.find(Figure.LINING_OVER_CURB) if EdgeKind.CURB in floor.kinds else None
    over = _over_curb(case, curb, highest) if curb else ""
    if curb and curb.value > highest.value:
        highest = curb
    yield Finding(
        "liner-height",
        Level.NOTE,
        says=phrase(
            "codes differ on how high the liner stands over the finished threshold: {heights}; this plan takes "
            "the higher figure{also}",
            heights=told,
            also=over,
        ),
        remedy=phrase(
            "turn it up {high} over the threshold at every wall, unless the local code asks for more",
            high=case.limit(highest),
        ),
        source=joined("; ", (limit.cited for limit in (*asked, curb) if limit)),
        key="build.waterproofing",
    )


def _over_curb(case: Case, curb: Limit, highest: Limit) -> str:
    return phrase(
        "; but over the curb {curb} are asked for, and it takes those"
        if curb.value > highest.value
        else "; so the curb lies more than {curb} under its edge, as it has to",
        curb=case.limit(curb),
    )


def _fabric(case: Case, floor: FloorOutline) -> Findings:
    most = case.book.find(Figure.WIRE_FABRIC_AREA)
    if most is None or not is_above(floor.area, most.value):
        return
    area = area_more(floor.area, case.units)
    yield Finding(
        "wire-fabric",
        Level.NOTE,
        says=phrase(
            "the pan is {area}, more than {most}: its upper bed needs wire fabric",
            area=area,
            most=limit_area(most, case.units),
        ),
        remedy=phrase(
            "lay {area} of wire fabric half way up the upper bed; layers and shopping list have it", area=area
        ),
        source=most.cited,
        key="build.waterproofing",
    )
