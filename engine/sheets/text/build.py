"""The plan as text: layers, finished heights, mud and load."""

from collections.abc import Callable, Iterable, Iterator
from typing import TypeVar

from ...job.model import EdgeKind
from ...limits.words import length_over, length_under, nearly
from ...packed import wording
from ...phrases import joined, phrase, shaped
from ...plan import Plan
from ...quantities import Units, format_share
from ...survey.place_words import place_words
from ...work import words
from ...work.heights import Beside
from ...work.lath import LathPiece, piece_box
from ...work.layers import LayerName
from ...work.mortar import Bags, Mortar
from ...work.site import Site
from ...work.whole import Work
from ...work.words import counted, load_over, load_under, mass_over, volume_over, water_words
from ..words import Row, below, heading, item, section

_KINDS = {EdgeKind.WALL: phrase("wall"), EdgeKind.CURB: phrase("curb"), EdgeKind.OPEN: phrase("open")}
_T = TypeVar("_T")


def of_work(tell: Callable[[Work], Iterable[_T]]) -> Callable[[Plan], list[_T]]:
    """What is told of a plan's work, if there is any."""
    return lambda plan: [*tell(plan.work)] if plan.work else []


@of_work
def layers(work: Work) -> Iterator[str]:
    """The layers from the rough floor up."""
    yield from heading("Layers, from the rough floor up")
    for layer in work.layers:
        yield from item(f"{layer.says} (source: {layer.source})")
        if layer.name is LayerName.LATH and work.lath is not None:
            for piece in work.lath.pieces:
                yield from below(piece_words(piece, work.site))


def piece_words(piece: LathPiece, site: Site) -> str:
    """Where a piece of lath lies, and the sheet it is cut from."""
    wall, units = site.floor.walls[0], site.units
    (left, low), (right, high) = piece_box(piece, site)
    return (
        f"Row {piece.row}, cut from sheet {piece.sheet}: {nearly(piece.length, units)} x "
        f"{nearly(piece.width, units)}, from {nearly(left, units)} to {nearly(right, units)} along {wall} and "
        f"{nearly(low, units)} to {nearly(high, units)} off it"
    )


@of_work
def heights(work: Work) -> Iterator[str]:
    """Finished heights at corners, curb, drain and open edges."""
    return section("Finished heights, at the tile's face", height_rows(work))


def height_rows(work: Work) -> Iterator[Row]:
    """Finished heights in words, each with its place."""
    found, units, floor = work.heights, work.units, work.site.floor
    yield Row(
        phrase("Drain grate"),
        phrase("{grate} above the flange", grate=length_over(found.grate, units)),
        "",
        *work.site.drains[0].flange.centre.tolist(),
    )
    yield Row(
        phrase("At a wall mark"),
        phrase("tile {grate} above the mark, wherever one is", grate=length_over(found.grate, units)),
    )
    for corner, (x, y) in zip(found.corners, floor.corners.tolist(), strict=True):
        line = ""
        if corner.below_line is not None:
            line = phrase(", {below_line} under the level line", below_line=length_under(corner.below_line, units))
        yield Row(
            phrase("Corner {at}", at=corner.at),
            phrase(
                "{above_grate} above the grate, {above_rough} above the rough floor there{line}",
                above_grate=length_over(corner.above_grate, units),
                above_rough=length_over(corner.above_rough, units),
                line=line,
            ),
            "",
            x,
            y,
        )
    for edge in found.thresholds:
        x, y = floor.middle(floor.walls.index(edge.edge)).tolist()
        yield Row(
            phrase("Along {edge} ({kind})", edge=edge.edge, kind=_KINDS[edge.kind]), _beside(edge, units), "", x, y
        )
    if found.curb_over_drain is not None and found.curb_over_floor is not None:
        yield Row(
            phrase("Curb's top"),
            phrase(
                "{over} the finished drain, {over_2} the lowest tile beside it",
                over=_over(found.curb_over_drain, units),
                over_2=_over(found.curb_over_floor, units),
            ),
        )
    yield from _lining(work, units)


def _over(mm: float, units: Units) -> str:
    if mm >= 0:
        return phrase("{mm} above", mm=length_under(mm, units))
    return phrase("{mm} below", mm=length_over(-mm, units))


def _beside(edge: Beside, units: Units) -> str:
    tile = phrase(
        "{high} above the flange" if edge.is_level else "{low} to {high} above the flange",
        low=length_under(edge.low, units),
        high=length_over(edge.high, units),
    )
    return phrase(
        "tile {tile}; the rough floor has to lie {most} under the finished floor outside for the tile to meet it"
        if edge.kind is EdgeKind.OPEN
        else "tile {tile}",
        tile=tile,
        most=length_over(edge.most, units),
    )


def _lining(work: Work, units: Units) -> Iterator[Row]:
    found = work.lining
    assumed = phrase(", for a threshold of the least height, as the job gives none") if found.is_assumed else ""
    yield Row(
        phrase("Liner's edge" if found.is_liner else "Membrane's edge"),
        phrase(
            "{over_threshold} above the finished threshold: up to {up_most} up the walls from the bed{assumed}",
            over_threshold=words.length_over(found.over_threshold.value, units),
            up_most=words.length_over(found.up_most, units),
            assumed=assumed,
        ),
    )
    asked = [
        phrase("{rule} ({source})", rule=words.length_over(each.value, units), source=each.source)
        for each in found.asked
    ]
    yield Row("", phrase("the codes differ, the higher figure is taken: {asked}", asked=joined("; ", asked)))


@of_work
def mortar(work: Work) -> Iterator[str]:
    """The mud: how much, of what, its water, batches and portions."""
    return section("Mortar", (*mortar_rows(work), _portions(work)))


def mortar_rows(work: Work) -> Iterator[Row]:
    """The mud in words, but for its portions."""
    found, units = work.mortar, work.units
    if found.upper:
        yield Row(phrase("Pre-slope"), phrase("{bed} in place", bed=volume_over(found.bed, units)), path="mortar.bed")
        yield Row(
            phrase("Upper bed"),
            phrase("{upper} in place", upper=volume_over(found.upper, units)),
            path="mortar.upper_bed",
        )
    yield Row(phrase("In place"), volume_over(found.placed, units), path="" if found.upper else "mortar.bed")
    yield Row(
        phrase("With waste"),
        phrase(
            "{ordered}, {waste} more", ordered=volume_over(found.ordered, units), waste=format_share(found.waste, units)
        ),
        path="mortar.ordered",
    )
    yield from _mix(found, units)
    yield Row(
        phrase("To carry in"),
        phrase(
            "{dry} dry; in place {weight}", dry=mass_over(found.mix.dry, units), weight=mass_over(found.weight, units)
        ),
        path="mortar.dry",
    )
    yield Row(
        phrase("Water"),
        phrase("{water} in all; the sand's own damp counts", water=water_words(*found.water, units)),
        path="mortar.water.most",
    )
    yield Row(phrase("How wet"), wording("work")["squeeze"])
    yield Row(
        phrase("Batches"),
        phrase(
            "{batches} of at most {batch}{bags}, what one person places in time",
            batches=counted(found.batches, "batch"),
            batch=volume_over(found.batch, units),
            bags=phrase(" ({bags})", bags=counted(found.batch_bags, "bag")) if found.batch_bags else "",
        ),
        path="mortar.batch.volume",
    )
    if found.slurry:
        yield Row(
            phrase("Bond coat"),
            phrase("{mass} of cement for the slurry", mass=words.fine_mass_over(found.slurry, units)),
            path="mortar.slurry_cement",
        )


def _mix(found: Mortar, units: Units) -> Iterator[Row]:
    mix = found.mix
    if isinstance(mix, Bags):
        makes = volume_over(mix.makes, units)
        yield Row(
            phrase("Bags"),
            phrase("{count} of {of}, each making {makes}", count=counted(mix.count, "bag"), of=mix.of, makes=makes),
            path="mortar.mix.exact",
        )
        return
    cement, sand = volume_over(mix.cement, units), volume_over(mix.sand, units)
    yield Row(
        phrase("Mix"),
        phrase("1 part of cement to {parts} of damp loose sand by volume, no lime", parts=f"{mix.parts:g}"),
    )
    yield Row(
        phrase("Cement"),
        phrase("{cement} loose, {cement_mass}", cement=cement, cement_mass=mass_over(mix.cement_mass, units)),
    )
    yield Row(
        phrase("Sand"),
        phrase("{sand} damp and loose, {sand_mass} dry", sand=sand, sand_mass=mass_over(mix.sand_mass, units)),
    )


def _portions(work: Work) -> Row:
    found = work.portions
    step = next(step.number for step in work.order if step.task.title.startswith("Pack the"))
    out = words.listed(found.way_out)
    assumed = ", taken as the longest wall, for the job names none" if found.is_assumed else ""
    return Row(
        "Portions",
        f"{len(found.parts)}, from the far corners to the way out ({out}{assumed}); each with its own volume in step "
        f"{step} of the order of work",
    )


@of_work
def load(work: Work) -> Iterator[str]:
    """What it weighs, on average and where the bed is deepest."""
    return section("Load on the floor", load_rows(work), wording("work")["load"])


def load_rows(work: Work) -> Iterator[Row]:
    """The load in words: by parts, together, and with the flood test's water."""
    found, units = work.load, work.units
    for part in found.parts:
        yield Row(shaped(part.name, str.capitalize), _mean_and_worst(part.mean, part.worst, units), part.source)
    yield Row(phrase("Together"), phrase("mean {mean}", mean=load_over(found.mean, units)), path="load.mean")
    worst = found.worst
    where = place_words(worst.x, worst.y, work.site.floor, units)
    yield Row(
        "",
        phrase("worst {mean} {where}", mean=load_over(worst.value, units), where=where),
        "",
        worst.x,
        worst.y,
        path="load.worst.load",
    )
    yield Row(
        phrase("Flood test's water"),
        phrase(
            "mean {mean}, most {worst} at the drain",
            mean=load_over(found.water_mean, units),
            worst=load_over(found.water_most, units),
        ),
        path="load.flood.water_most",
    )
    yield Row(
        phrase("Bed with that water"),
        _mean_and_worst(found.test_mean, found.test_worst, units),
        path="load.flood.worst",
    )
    allowed = (
        phrase("the job does not say what the floor was checked for")
        if found.allowance is None
        else phrase("{load}: your own figure", load=load_under(found.allowance, units))
    )
    yield Row(phrase("Allowed"), allowed)


def _mean_and_worst(mean: float, worst: float, units: Units) -> str:
    if mean == worst:
        return load_over(mean, units)
    return phrase("mean {mean}, worst {worst}", mean=load_over(mean, units), worst=load_over(worst, units))
