"""Mixing, packing and curing the beds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

from ..job.defaults import tile_edge
from ..packed import wording
from ..phrases import counted_phrase, phrase
from ..quantities import Units, format_share
from . import practice
from .cautions import careful, lifting
from .layers import LayerName
from .mortar import Bags, bags_by_portion, water_shares
from .practice import NO_SOURCE
from .rules import Rules
from .steps import Said, Task, Wait, plain, sources
from .words import counted, length_over, length_under, listed, mass_over, time_words, volume_over, water_words

if TYPE_CHECKING:
    from .portions import Portion
    from .whole import Work

_ON_SLAB = (LayerName.WETTING, LayerName.BOND_COAT)
_IN_UPPER = (LayerName.WEEP_HOLES, LayerName.WIRE_FABRIC)


def mixing(work: Work) -> Task:
    """Carrying in and mixing."""
    found, units = work.mortar, work.units
    says = (
        Said(
            phrase(
                "Carry in {carried} of dry material; the beds will weigh {weight} in place",
                carried=mass_over(found.mix.dry, units),
                weight=mass_over(found.weight, units),
            ),
            work.site.rules.bed_load_an_inch.source,
        ),
        *plain(_parts(work)),
        _water(work),
        Said(wording("work")["squeeze"], NO_SOURCE),
        Said(
            phrase(
                "Mix no more at once than one person packs in {time}: {batch}{bags}, so {batches} in all",
                time=time_words(practice.WORKABLE),
                batch=volume_over(found.batch, units),
                bags=phrase(" ({bags})", bags=counted(found.batch_bags, "bag")) if found.batch_bags else "",
                batches=counted(found.batches, "batch"),
            ),
            NO_SOURCE,
        ),
    )
    return Task(
        phrase("Carry in and mix the mud"),
        says,
        (phrase("mixing tub"), phrase("water"), phrase("respirator"), phrase("waterproof gloves")),
        (*careful("mixing-dust", "wet-cement"), lifting(work)),
    )


def _parts(work: Work) -> str:
    mix, units = work.mortar.mix, work.units
    if isinstance(mix, Bags):
        return phrase(
            "Open {count} of {of} in all, as the portions are packed", count=counted(mix.count, "bag"), of=mix.of
        )
    return phrase(
        "Mix 1 part of cement to {parts} of damp loose sand by volume, no lime: in all "
        "{cement} of cement and {sand} of sand",
        parts=f"{mix.parts:g}",
        cement=volume_over(mix.cement, units),
        sand=volume_over(mix.sand, units),
    )


def _water(work: Work) -> Said:
    rules, units = work.site.rules, work.units
    least, most = water_shares(rules)
    share = phrase(
        "{least} to {most} of the dry mix's weight", least=format_share(least, units), most=format_share(most, units)
    )
    return Said(
        phrase(
            "Add water a little at a time, about {share}: {water}. The sand's own damp counts",
            share=share,
            water=_how_much_water(work),
        ),
        sources(
            phrase("mud in place less dry mix: {source}", source=rules.bed_load_an_inch.source),
            rules.dry_in_place.source,
            phrase("the lower figure: {practice}", practice=NO_SOURCE),
        ),
    )


def _how_much_water(work: Work) -> str:
    found, units = work.mortar, work.units
    low, high = found.water
    each = phrase("in all")
    if isinstance(found.mix, Bags):
        low, high = (share * found.mix.mass for share in water_shares(work.site.rules))
        each = phrase("a bag")
    return phrase("{water} {each}", water=water_words(low, high, units), each=each)


def packing(work: Work) -> Task:
    """Packing the planned bed, portion by portion."""
    name = phrase("pre-slope" if work.site.is_between else "bed")
    bags, _ = bags_by_portion(work.mortar, work.portions)
    volumes = [part.volume for part in work.portions.parts]
    says = (
        *(Said(layer.says, layer.source) for layer in work.layers if layer.name in _ON_SLAB),
        Said(phrase("Fill under the flange first, with a wetter mix, so that it has no hollow under it"), NO_SOURCE),
        Said(
            phrase(
                "Pack the {name} in {how_many}, from the far corners to the way out; compact each hard, screed it from "
                "the strips to the flange's near edge, and smooth it before the next",
                name=name,
                how_many=counted(len(volumes), "portion"),
            ),
            NO_SOURCE,
        ),
        *_portions(work, volumes, bags),
        *plain(phrase("Check the marks as you go, take the strips out when the mud holds, and fill their room")),
    )
    return _placed(work, phrase("Pack the {name}", name=name), says, sum(volumes))


def _placed(work: Work, title: str, says: tuple[Said, ...], volume: float) -> Task:
    found = work.mortar
    hours = practice.WORKABLE * max(1.0, volume * (1 + found.waste) / found.batch)
    rules = work.site.rules
    return Task(
        title,
        says,
        (phrase("deck mud"), phrase("straightedge"), phrase("float"), phrase("tamper")),
        careful("wet-cement"),
        hours,
        Wait(
            rules.cure_least.value,
            phrase(
                "Let it cure at least {time} at 70 F (21 C), and keep it above 50 F (10 C) for "
                "{warm}; keep feet and draught off it",
                time=time_words(rules.cure_least.value),
                warm=time_words(rules.warm_least.value),
            ),
            sources(rules.cure_least.source, rules.warm_least.source),
        ),
    )


def _portions(work: Work, volumes: Sequence[float], bags: Sequence[int]) -> Iterator[Said]:
    units, over = work.units, 1 + work.mortar.waste
    for k, part in enumerate(work.portions.parts):
        opened = (
            phrase(", open {bags}" if bags[k] else ", from the bag that is open", bags=counted(bags[k], "bag"))
            if bags
            else ""
        )
        yield Said(
            phrase(
                "Portion {count}, {place}: {volumes} in place, {ordered} with waste{opened}",
                count=part.number,
                place=_place(work, part),
                volumes=volume_over(volumes[k], units),
                ordered=volume_over(volumes[k] * over, units),
                opened=opened,
            )
        )


def _place(work: Work, part: Portion) -> str:
    units, found = work.units, work.portions
    span = phrase(
        "more than {near} from {way_out}"
        if part.number == 1
        else "up to {far} from {way_out}"
        if part.number == len(found.parts)
        else "{near} to {far} from {way_out}",
        near=length_over(part.near, units),
        far=length_over(part.far, units),
        way_out=_way_out(found.way_out, is_assumed=found.is_assumed),
    )
    return phrase("{span}, with {corners}", span=span, corners=_corners(part.corners)) if part.corners else span


@lru_cache(maxsize=16)
def _way_out(edges: tuple[str, ...], *, is_assumed: bool) -> str:
    return phrase(
        "the way out ({way_out}{what})",
        way_out=listed(edges),
        what=phrase(", taken as the longest wall") if is_assumed else "",
    )


@lru_cache(maxsize=16)
def _corners(names: tuple[str, ...]) -> str:
    return counted_phrase("corner {corners}", "corners {corners}", len(names), corners=listed(names))


def upper_packing(work: Work) -> Task:
    """Packing the bed over the liner."""
    _, bags = bags_by_portion(work.mortar, work.portions)
    volumes = [part.upper for part in work.portions.parts]
    deep = length_over(work.site.upper_bed, work.units)
    says = (
        *(Said(layer.says, layer.source) for layer in work.layers if layer.name in _IN_UPPER),
        *plain(
            phrase(
                "Mark the walls again, {deep} over the first marks, and set strips there; no "
                "fastener through the liner",
                deep=deep,
            ),
            phrase(
                "Pack the upper bed {deep} deep everywhere, in the same {volumes}",
                deep=deep,
                volumes=counted(len(volumes), "portion"),
            ),
        ),
        *_portions(work, volumes, bags),
    )
    return _placed(work, phrase("Pack the upper bed"), says, work.mortar.upper)


def checking(work: Work) -> Task:
    """Measuring the finished bed before it is covered."""
    site = work.site
    is_large = tile_edge(site.job) >= site.rules.large_format_edge.value
    return _checking(site.rules, site.units, is_large=is_large)


@lru_cache(maxsize=16)
def _checking(rules: Rules, units: Units, *, is_large: bool) -> Task:
    flat, short = rules.out_of_flat_in_10_ft, rules.large_format_out_of_flat_in_2_ft
    near: tuple[Said, ...] = ()
    if is_large:
        flat, far = rules.large_format_out_of_flat_in_10_ft, length_under(short.value, units)
        text = phrase("Under tiles this large at most {out} out in 2 ft (600 mm) too", out=far)
        near = (Said(text, short.source),)
    out = length_under(flat.value, units)
    return Task(
        phrase("Check the bed"),
        (
            *plain(wording("work")["read-the-bed"]),
            Said(phrase("Lay a straightedge along the facets: at most {out} out in 10 ft (3 m)", out=out), flat.source),
            *near,
            *plain(
                phrase("Pour a cup of water here and there and see that it runs to the drain"),
                phrase("Grind what is high; fill what is low with what the tile mortar's maker allows"),
            ),
        ),
        (phrase("level line"), phrase("straightedge")),
        careful("cutting-dust"),
    )
