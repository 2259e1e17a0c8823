"""Mixing, packing and curing the beds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.job.defaults import tile_edge
from engine.quantities import format_share
from engine.work import cautions, practice
from engine.work.layers import LayerName
from engine.work.mortar import SQUEEZE, Bags, bags_by_portion, water_shares
from engine.work.practice import NO_SOURCE
from engine.work.said import Said, plain, sources
from engine.work.steps import Task, Wait
from engine.work.words import (
    counted,
    fine_mass_under,
    length_over,
    length_under,
    listed,
    mass_over,
    time_words,
    volume_over,
)

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from engine.work.portions import Portion
    from engine.work.rules import Rule
    from engine.work.whole import Work

_ON_SLAB = (LayerName.WETTING, LayerName.BOND_COAT)
_IN_UPPER = (LayerName.WEEP_HOLES, LayerName.WIRE_FABRIC)


def mixing(work: Work) -> Task:
    """Carrying in and mixing."""
    found, units = work.mortar, work.site.units
    carried, weight = mass_over(found.mix.dry, units), mass_over(found.weight, units)
    says = (
        Said(
            f"Carry in {carried} of dry material; the beds will weigh {weight} in place",
            work.site.rules.bed_load_an_inch.source,
        ),
        *plain(_parts(work)),
        _water(work),
        Said(SQUEEZE, NO_SOURCE),
        Said(
            f"Mix no more at once than one person packs in {time_words(practice.WORKABLE)}: "
            f"{volume_over(found.batch, units)}{_batch_bags(work)}, so {_batches(found.batches)} in all",
            NO_SOURCE,
        ),
    )
    return Task(
        "Carry in and mix the mud",
        says,
        ("mixing tub", "water", "respirator", "waterproof gloves"),
        (cautions.MIXING_DUST, cautions.WET_CEMENT, cautions.lifting(work)),
    )


def _batches(count: int) -> str:
    return "1 batch" if count == 1 else f"{count} batches"


def _batch_bags(work: Work) -> str:
    bags = work.mortar.batch_bags
    return f" ({counted(bags, 'bag')})" if bags else ""


def _parts(work: Work) -> str:
    mix, units = work.mortar.mix, work.site.units
    if isinstance(mix, Bags):
        return f"Open {counted(mix.count, 'bag')} of {mix.of} in all, as the portions are packed"
    return (
        f"Mix 1 part of cement to {mix.parts:g} of damp loose sand by volume, no lime: in all "
        f"{volume_over(mix.cement, units)} of cement and {volume_over(mix.sand, units)} of sand"
    )


def _water(work: Work) -> Said:
    rules, units = work.site.rules, work.site.units
    least, most = water_shares(rules)
    share = f"{format_share(least, units)} to {format_share(most, units)} of the dry mix's weight"
    return Said(
        f"Add water a little at a time, about {share}: {_how_much_water(work)}. The sand's own damp counts",
        sources(
            f"mud in place less dry mix: {rules.bed_load_an_inch.source}",
            rules.dry_in_place.source,
            f"the lower figure: {NO_SOURCE}",
        ),
    )


def _how_much_water(work: Work) -> str:
    found, units = work.mortar, work.site.units
    low, high = found.water
    each = "in all"
    if isinstance(found.mix, Bags):
        low, high = (share * found.mix.mass for share in water_shares(work.site.rules))
        each = "a bag"
    return f"{fine_mass_under(low, units)} to {fine_mass_under(high, units)} {each}"


def packing(work: Work) -> Task:
    """Packing the planned bed, portion by portion."""
    name = "pre-slope" if work.site.is_between else "bed"
    bags, _ = bags_by_portion(work.mortar, work.portions)
    volumes = [part.volume for part in work.portions.parts]
    how_many = counted(len(volumes), "portion")
    says = (
        *(Said(layer.says, layer.source) for layer in work.layers if layer.name in _ON_SLAB),
        Said("Fill under the flange first, with a wetter mix, so that it has no hollow under it", NO_SOURCE),
        Said(
            f"Pack the {name} in {how_many}, from the far corners to the way out; compact each hard, screed it from "
            "the strips to the flange's near edge, and smooth it before the next",
            NO_SOURCE,
        ),
        *_portions(work, volumes, bags),
        *plain("Check the marks as you go, take the strips out when the mud holds, and fill their room"),
    )
    return _placed(work, f"Pack the {name}", says, sum(volumes))


def _placed(work: Work, title: str, says: tuple[Said, ...], volume: float) -> Task:
    found = work.mortar
    hours = practice.WORKABLE * max(1.0, volume * (1 + found.waste) / found.batch)
    rules = work.site.rules
    return Task(
        title,
        says,
        ("deck mud", "straightedge", "float", "tamper"),
        (cautions.WET_CEMENT,),
        hours,
        Wait(
            rules.cure_least.value,
            f"Let it cure at least {time_words(rules.cure_least.value)} at 70 F (21 C), and keep it above 50 F (10 C) "
            f"for {time_words(rules.warm_least.value)}; keep feet and draught off it",
            sources(rules.cure_least.source, rules.warm_least.source),
        ),
    )


def _portions(work: Work, volumes: Sequence[float], bags: Sequence[int]) -> Iterator[Said]:
    units, over = work.site.units, 1 + work.mortar.waste
    for k, part in enumerate(work.portions.parts):
        opened = f", open {counted(bags[k], 'bag')}" if bags else ""
        yield Said(
            f"Portion {part.number}, {_place(work, part)}: {volume_over(volumes[k], units)} in place, "
            f"{volume_over(volumes[k] * over, units)} with waste{opened}"
        )


def _place(work: Work, part: Portion) -> str:
    units, found = work.site.units, work.portions
    near, far = length_over(part.near, units), length_over(part.far, units)
    span = f"{near} to {far} from {_way_out(work)}"
    if part.number == 1:
        span = f"more than {near} from {_way_out(work)}"
    elif part.number == len(found.parts):
        span = f"up to {far} from {_way_out(work)}"
    return f"{span}, with {_corners(part)}" if part.corners else span


def _way_out(work: Work) -> str:
    found = work.portions
    return f"the way out ({listed(found.way_out)}{', taken as the longest wall' if found.is_assumed else ''})"


def _corners(part: Portion) -> str:
    word = "corner" if len(part.corners) == 1 else "corners"
    return f"{word} {listed(part.corners)}"


def upper_packing(work: Work) -> Task:
    """Packing the bed over the liner."""
    _, bags = bags_by_portion(work.mortar, work.portions)
    volumes = [part.upper for part in work.portions.parts]
    deep = length_over(work.site.upper_bed, work.site.units)
    says = (
        *(Said(layer.says, layer.source) for layer in work.layers if layer.name in _IN_UPPER),
        *plain(
            f"Mark the walls again, {deep} over the first marks, and set strips there; no fastener through the liner",
            f"Pack the upper bed {deep} deep everywhere, in the same {counted(len(volumes), 'portion')}",
        ),
        *_portions(work, volumes, bags),
    )
    return _placed(work, "Pack the upper bed", says, work.mortar.upper)


def checking(work: Work) -> Task:
    """Measuring the finished bed before anything covers it."""
    flat = flatness(work)
    out = length_under(flat.value, work.site.units)
    return Task(
        "Check the bed",
        (
            *plain(
                "Read the bed under the level line, at the marks and at the flange, and enter the readings as as_built"
            ),
            Said(f"Lay a straightedge along the facets: at most {out} out in 10 ft (3 m)", flat.source),
            *plain(
                "Pour a cup of water here and there and see that it runs to the drain",
                "Grind what is high; fill what is low with what the tile mortar's maker allows",
            ),
        ),
        ("level line", "straightedge"),
        (cautions.CUTTING_DUST,),
    )


def flatness(work: Work) -> Rule:
    """How far the bed may be out in 10 ft for the job's tile [mm]."""
    rules = work.site.rules
    large = tile_edge(work.site.job) >= rules.large_format_edge.value
    return rules.large_format_out_of_flat_in_10_ft if large else rules.out_of_flat_in_10_ft
