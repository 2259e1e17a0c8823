"""The plan as text: what lies on what, how high it ends up, the mud for it, and what it all weighs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.job.model import EdgeKind
from engine.limits.words import length_over, length_under, nearly, place_words
from engine.quantities import format_share
from engine.sheets.words import entry, heading, item, paragraph
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
    from engine.survey.spot import Spot
    from engine.work.heights import Beside
    from engine.work.lath import Lath
    from engine.work.load import Load
    from engine.work.mortar import Mortar
    from engine.work.site import Site
    from engine.work.whole import Work


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
    wall, units = site.floor.walls[0], site.units
    for piece in found.pieces:
        (left, low), (right, high) = piece_box(piece, site)
        yield from paragraph(
            f"Row {piece.row}, cut from sheet {piece.sheet}: {nearly(piece.length, units)} x "
            f"{nearly(piece.width, units)}, from {nearly(left, units)} to {nearly(right, units)} along {wall} and "
            f"{nearly(low, units)} to {nearly(high, units)} off it",
            "  ",
            "    ",
        )


def heights(plan: Plan) -> Iterator[str]:
    """Finished heights at the corners, the curb, the drain and open edges."""
    if isinstance(plan.work, Needs):
        return
    found, units = plan.work.heights, plan.job.units
    yield from heading("Finished heights, at the tile's face")
    yield from entry("Drain grate", f"{length_over(found.grate, units)} above the flange")
    for corner in found.corners:
        line = (
            ""
            if corner.below_line is None
            else f", {length_under(corner.below_line, units)} under the laser line"
        )
        yield from entry(
            f"Corner {corner.at}",
            f"{length_over(corner.above_grate, units)} above the grate, {length_over(corner.above_rough, units)} "
            f"above the rough floor there{line}",
        )
    for edge in found.thresholds:
        yield from entry(f"Along {edge.edge} ({edge.kind.value})", _beside(edge, units))
    if found.curb_over_drain is not None and found.curb_over_floor is not None:
        yield from entry(
            "Curb's top",
            f"{_over(found.curb_over_drain, units)} the finished drain, {_over(found.curb_over_floor, units)} the "
            "lowest tile beside it",
        )
    yield from _lining(plan.work, units)


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


def _lining(work: Work, units: Units) -> Iterator[str]:
    found = work.lining
    assumed = ", for a threshold of the least height, as the job gives none" if found.is_assumed else ""
    yield from entry(
        "Liner's edge" if found.is_liner else "Membrane's edge",
        f"{length_over(found.over_threshold.value, units)} above the finished threshold: up to "
        f"{words.length_over(found.up_most, units)} up the walls from the bed{assumed}",
    )
    asked = "; ".join(f"{length_over(rule.value, units)} ({rule.source})" for rule in found.asked)
    yield from entry("", f"the codes differ, the higher figure is taken: {asked}")


# ------------------------------------------------------------------ mortar


def mortar(plan: Plan) -> Iterator[str]:
    """The mud: how much, of what, with how much water, in which batches, for how many portions."""
    if isinstance(plan.work, Needs):
        return
    found, units = plan.work.mortar, plan.job.units
    yield from heading("Mortar")
    if found.upper:
        yield from entry("Pre-slope", f"{volume_over(found.bed, units)} in place")
        yield from entry("Upper bed", f"{volume_over(found.upper, units)} in place")
    yield from entry("In place", volume_over(found.placed, units))
    yield from entry(
        "With waste", f"{volume_over(found.ordered, units)}, {format_share(found.waste, units)} more"
    )
    yield from _mix(found, units)
    yield from entry(
        "To carry in", f"{mass_over(found.mix.dry, units)} dry; in place {mass_over(found.weight, units)}"
    )
    yield from entry("Water", f"{_water(found, units)} in all; the sand's own damp counts")
    yield from entry("How wet", SQUEEZE)
    bags = f" ({counted(found.batch_bags, 'bag')})" if found.batch_bags else ""
    batches = f"{found.batches} batch{'' if found.batches == 1 else 'es'}"
    yield from entry(
        "Batches",
        f"{batches} of at most {volume_over(found.batch, units)}{bags}, what one person places in time",
    )
    yield from _bond_coat(found, units)
    yield from _portions(plan.work)


def _mix(found: Mortar, units: Units) -> Iterator[str]:
    mix = found.mix
    if isinstance(mix, Bags):
        makes = volume_over(mix.makes, units)
        yield from entry("Bags", f"{counted(mix.count, 'bag')} of {mix.of}, each making {makes}")
        return
    cement, sand = volume_over(mix.cement, units), volume_over(mix.sand, units)
    yield from entry("Mix", f"1 part of cement to {mix.parts:g} of damp loose sand by volume, no lime")
    yield from entry("Cement", f"{cement} loose, {mass_over(mix.cement_mass, units)}")
    yield from entry("Sand", f"{sand} damp and loose, {mass_over(mix.sand_mass, units)} dry")


def _water(found: Mortar, units: Units) -> str:
    least, most = found.water
    return f"{words.fine_mass_under(least, units)} to {words.fine_mass_under(most, units)}"


def _bond_coat(found: Mortar, units: Units) -> Iterator[str]:
    if found.slurry:
        yield from entry("Bond coat", f"{words.fine_mass_over(found.slurry, units)} of cement for the slurry")


def _portions(work: Work) -> Iterator[str]:
    found = work.portions
    step = next(step.number for step in work.order if step.task.title.startswith("Pack the"))
    out = words.listed(found.way_out)
    assumed = ", taken as the longest wall, for the job names none" if found.is_assumed else ""
    yield from entry(
        "Portions",
        f"{len(found.parts)}, from the far corners to the way out ({out}{assumed}); each with its own volume in step "
        f"{step} of the order of work",
    )


# ------------------------------------------------------------------ load


def load(plan: Plan) -> Iterator[str]:
    """What it weighs on the floor, on average and where the bed is deepest."""
    if isinstance(plan.work, Needs) or isinstance(plan.outline, Needs):
        return
    found, units = plan.work.load, plan.job.units
    yield from heading("Load on the floor")
    for part in found.parts:
        yield from entry(
            part.name.capitalize(),
            f"{_mean_and_worst(part.mean, part.worst, units)} (source: {part.source})",
        )
    yield from entry("Together", f"mean {load_over(found.mean, units)}")
    yield from entry("", f"worst {load_over(found.worst.value, units)} {_where(found.worst, plan)}")
    yield from entry(
        "Flood test's water",
        f"mean {load_over(found.water_mean, units)}, most {load_over(found.water_most, units)} at the drain",
    )
    yield from entry(
        "Bed with that water",
        f"mean {load_over(found.test_mean, units)}, worst {load_over(found.test_worst, units)}",
    )
    yield from _allowance(found, units)
    yield from paragraph(
        "Whether a floor carries this is for a licensed engineer to say. A mortar bed weighs more than many wood "
        "floors are allowed."
    )


def _mean_and_worst(mean: float, worst: float, units: Units) -> str:
    if mean == worst:
        return load_over(mean, units)
    return f"mean {load_over(mean, units)}, worst {load_over(worst, units)}"


def _where(spot: Spot, plan: Plan) -> str:
    return (
        "" if isinstance(plan.outline, Needs) else place_words(spot.x, spot.y, plan.outline, plan.job.units)
    )


def _allowance(found: Load, units: Units) -> Iterator[str]:
    if found.allowance is None:
        yield from entry("Allowed", "the job does not say what the floor was checked for")
    else:
        yield from entry("Allowed", f"{load_under(found.allowance, units)}: your own figure")
