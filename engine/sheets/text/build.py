"""The plan as text: what lies on what, how high it ends up, the mud for it, and what it all weighs."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from engine.job.model import EdgeKind
from engine.limits.words import length_over, length_under, nearly, place_words
from engine.quantities import format_share
from engine.sheets.words import Row, heading, item, paragraph, row_lines
from engine.survey.spot import Needs
from engine.work import words
from engine.work.lath import piece_box
from engine.work.layers import LayerName
from engine.work.mortar import SQUEEZE, Bags
from engine.work.words import counted, load_over, load_under, mass_over, volume_over

if TYPE_CHECKING:
    from collections.abc import Iterator

    from engine.plan import Plan
    from engine.quantities import Units
    from engine.work.heights import Beside
    from engine.work.lath import Lath, LathPiece
    from engine.work.load import Load
    from engine.work.mortar import Mortar
    from engine.work.site import Site
    from engine.work.whole import Work

LOAD_WORDS = (
    "Whether a floor carries this is for a licensed engineer to say. A mortar bed weighs more than many wood floors "
    "are allowed."
)


def layers(plan: Plan) -> Iterator[str]:
    """The layers from the rough floor up."""
    if isinstance(plan.work, Needs):
        return
    yield from heading("Layers, from the rough floor up")
    for layer in plan.work.layers:
        yield from item(f"{layer.says} (source: {layer.source})")
        if layer.name is LayerName.LATH and plan.work.lath is not None:
            yield from _lath(plan.work.lath, plan.work.site)


def _lath(found: Lath, site: Site) -> Iterator[str]:
    """Where each piece of lath lies."""
    for piece in found.pieces:
        yield from paragraph(piece_words(piece, site), "  ", "    ")


def piece_words(piece: LathPiece, site: Site) -> str:
    """Where a piece of lath lies, and the sheet that it is cut from."""
    wall, units = site.floor.walls[0], site.units
    (left, low), (right, high) = piece_box(piece, site)
    return (
        f"Row {piece.row}, cut from sheet {piece.sheet}: {nearly(piece.length, units)} x "
        f"{nearly(piece.width, units)}, from {nearly(left, units)} to {nearly(right, units)} along {wall} and "
        f"{nearly(low, units)} to {nearly(high, units)} off it"
    )


def heights(plan: Plan) -> Iterator[str]:
    """Finished heights at the corners, the curb, the drain and open edges."""
    if isinstance(plan.work, Needs):
        return
    yield from heading("Finished heights, at the tile's face")
    for row in height_rows(plan.work):
        yield from row_lines(row)


def height_rows(work: Work) -> Iterator[Row]:
    """Finished heights in words, each with its place."""
    found, units, floor = work.heights, work.site.units, work.site.floor
    yield Row("Drain grate", f"{length_over(found.grate, units)} above the flange", "", *_middle(work.site))
    for corner, (x, y) in zip(found.corners, floor.corners.tolist(), strict=True):
        line = (
            ""
            if corner.below_line is None
            else f", {length_under(corner.below_line, units)} under the level line"
        )
        yield Row(
            f"Corner {corner.at}",
            f"{length_over(corner.above_grate, units)} above the grate, {length_over(corner.above_rough, units)} "
            f"above the rough floor there{line}",
            "",
            x,
            y,
        )
    for edge in found.thresholds:
        n = floor.walls.index(edge.edge)
        ((x, y),) = floor.on_wall(n, np.array([floor.length(n) / 2])).tolist()
        yield Row(f"Along {edge.edge} ({edge.kind.value})", _beside(edge, units), "", x, y)
    if found.curb_over_drain is not None and found.curb_over_floor is not None:
        yield Row(
            "Curb's top",
            f"{_over(found.curb_over_drain, units)} the finished drain, {_over(found.curb_over_floor, units)} the "
            "lowest tile beside it",
        )
    yield from _lining(work, units)


def _middle(site: Site) -> tuple[float, float]:
    x, y = site.drains[0].flange.centre.tolist()
    return x, y


def _over(mm: float, units: Units) -> str:
    return f"{length_under(mm, units)} above" if mm >= 0 else f"{length_over(-mm, units)} below"


def _beside(edge: Beside, units: Units) -> str:
    high = length_over(edge.high, units)
    tile = (
        f"{high} above the flange"
        if edge.is_level
        else f"{length_under(edge.low, units)} to {high} above the flange"
    )
    if edge.kind is not EdgeKind.OPEN:
        return f"tile {tile}"
    return (
        f"tile {tile}; the rough floor has to lie {length_over(edge.most, units)} under the finished floor outside "
        "for the tile to meet it"
    )


def _lining(work: Work, units: Units) -> Iterator[Row]:
    found = work.lining
    assumed = ", for a threshold of the least height, as the job gives none" if found.is_assumed else ""
    yield Row(
        "Liner's edge" if found.is_liner else "Membrane's edge",
        f"{length_over(found.over_threshold.value, units)} above the finished threshold: up to "
        f"{words.length_over(found.up_most, units)} up the walls from the bed{assumed}",
    )
    asked = "; ".join(f"{length_over(rule.value, units)} ({rule.source})" for rule in found.asked)
    yield Row("", f"the codes differ, the higher figure is taken: {asked}")


# ------------------------------------------------------------------ mortar


def mortar(plan: Plan) -> Iterator[str]:
    """The mud: how much, of what, with how much water, in which batches, for how many portions."""
    if isinstance(plan.work, Needs):
        return
    yield from heading("Mortar")
    for row in mortar_rows(plan.work):
        yield from row_lines(row)
    yield from row_lines(_portions(plan.work))


def mortar_rows(work: Work) -> Iterator[Row]:
    """The mud in words, but for its portions."""
    found, units = work.mortar, work.site.units
    if found.upper:
        yield Row("Pre-slope", f"{volume_over(found.bed, units)} in place")
        yield Row("Upper bed", f"{volume_over(found.upper, units)} in place")
    yield Row("In place", volume_over(found.placed, units))
    yield Row("With waste", f"{volume_over(found.ordered, units)}, {format_share(found.waste, units)} more")
    yield from _mix(found, units)
    yield Row(
        "To carry in", f"{mass_over(found.mix.dry, units)} dry; in place {mass_over(found.weight, units)}"
    )
    yield Row("Water", f"{_water(found, units)} in all; the sand's own damp counts")
    yield Row("How wet", SQUEEZE)
    bags = f" ({counted(found.batch_bags, 'bag')})" if found.batch_bags else ""
    batches = f"{found.batches} batch{'' if found.batches == 1 else 'es'}"
    yield Row(
        "Batches",
        f"{batches} of at most {volume_over(found.batch, units)}{bags}, what one person places in time",
    )
    yield from _bond_coat(found, units)


def _mix(found: Mortar, units: Units) -> Iterator[Row]:
    mix = found.mix
    if isinstance(mix, Bags):
        makes = volume_over(mix.makes, units)
        yield Row("Bags", f"{counted(mix.count, 'bag')} of {mix.of}, each making {makes}")
        return
    cement, sand = volume_over(mix.cement, units), volume_over(mix.sand, units)
    yield Row("Mix", f"1 part of cement to {mix.parts:g} of damp loose sand by volume, no lime")
    yield Row("Cement", f"{cement} loose, {mass_over(mix.cement_mass, units)}")
    yield Row("Sand", f"{sand} damp and loose, {mass_over(mix.sand_mass, units)} dry")


def _water(found: Mortar, units: Units) -> str:
    least, most = found.water
    return f"{words.fine_mass_under(least, units)} to {words.fine_mass_under(most, units)}"


def _bond_coat(found: Mortar, units: Units) -> Iterator[Row]:
    if found.slurry:
        yield Row("Bond coat", f"{words.fine_mass_over(found.slurry, units)} of cement for the slurry")


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


# ------------------------------------------------------------------ load


def load(plan: Plan) -> Iterator[str]:
    """What it weighs on the floor, on average and where the bed is deepest."""
    if isinstance(plan.work, Needs):
        return
    yield from heading("Load on the floor")
    for row in load_rows(plan.work):
        yield from row_lines(row)
    yield from paragraph(LOAD_WORDS)


def load_rows(work: Work) -> Iterator[Row]:
    """The load in words: part by part, together, and with the flood test's water."""
    found, units = work.load, work.site.units
    for part in found.parts:
        yield Row(part.name.capitalize(), _mean_and_worst(part.mean, part.worst, units), part.source)
    yield Row("Together", f"mean {load_over(found.mean, units)}")
    worst = found.worst
    where = place_words(worst.x, worst.y, work.site.floor, units)
    yield Row("", f"worst {load_over(worst.value, units)} {where}", "", worst.x, worst.y)
    yield Row(
        "Flood test's water",
        f"mean {load_over(found.water_mean, units)}, most {load_over(found.water_most, units)} at the drain",
    )
    yield Row(
        "Bed with that water",
        f"mean {load_over(found.test_mean, units)}, worst {load_over(found.test_worst, units)}",
    )
    yield _allowance(found, units)


def _mean_and_worst(mean: float, worst: float, units: Units) -> str:
    if mean == worst:
        return load_over(mean, units)
    return f"mean {load_over(mean, units)}, worst {load_over(worst, units)}"


def _allowance(found: Load, units: Units) -> Row:
    if found.allowance is None:
        return Row("Allowed", "the job does not say what the floor was checked for")
    return Row("Allowed", f"{load_under(found.allowance, units)}: your own figure")
