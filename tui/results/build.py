"""The pages of what is built: layers with finished heights, and the mud with its load."""

from engine.packed import wording
from engine.phrases import counted_phrase, joined, phrase
from engine.quantities import Units
from engine.sheets.text.build import height_rows, load_rows, mortar_rows, of_work
from engine.work.mortar import Bags
from engine.work.portions import Portion
from engine.work.shopping import mixed_words
from engine.work.whole import Work
from engine.work.words import length_over, length_under, listed, volume_over

from ..widgets.sheet import Listing, SheetLine
from .lines import BLANK, About, Place, head, line, rows


@of_work
def layers(work: Work) -> Listing:
    """The layers from the rough floor up, then how high all ends up."""
    yield head(phrase("Layers, from the rough floor up"))
    for i, layer in enumerate(work.layers):
        yield line(joined("", ["- ", layer.says]), f"layer:{i}", About("layer", "", layer.source))
    yield BLANK
    yield head(phrase("Finished heights, at the tile's face"))
    yield from rows(height_rows(work), "height")


@of_work
def mud(work: Work) -> Listing:
    """What is mixed, in which portions it is packed, and what it weighs."""
    yield head(phrase("Deck mud"))
    yield line(*_bought(work))
    yield from rows(mortar_rows(work), "mud")
    yield BLANK
    yield from _portions(work)
    yield BLANK
    yield head(phrase("Load on the floor"))
    yield from rows(load_rows(work), "load")
    yield SheetLine(wording("work")["load"])


def _bought(work: Work) -> tuple[str, str, About]:
    mixed, mix = mixed_words(work), work.mortar.mix
    if isinstance(mix, Bags):
        worked = phrase(
            "{sum}; a bag makes {makes}: {exact} bags, so {count}.",
            sum=mixed,
            makes=volume_over(mix.makes, work.site.units),
            exact=f"{mix.exact:.2f}",
            count=mix.count,
        )
        bags = counted_phrase("Buy {number} bag of {of}", "Buy {number} bags of {of}", mix.count, of=mix.of)
        return bags, "mud:bags", About("mud.bags", worked)
    parts = phrase("Mix on site, 1 to {parts}", parts=f"{mix.parts:g}")
    return parts, "mud:site", About("mud.site", phrase("{sum}.", sum=mixed))


def _portions(work: Work) -> Listing:
    found, units = work.portions, work.site.units
    out = listed(found.way_out)
    yield head(
        counted_phrase(
            "{number} portion, from the far corners to the way out",
            "{number} portions, from the far corners to the way out",
            len(found.parts),
        )
    )
    if found.is_assumed:
        yield SheetLine(phrase("The job names no way out; {walls} is taken, the longest wall.", walls=out))
    for i, part in enumerate(found.parts):
        worked = phrase(
            "The floor from {near} to {far} off the way out ({walls}), the bed's depth added up over it.",
            near=length_under(part.near, units),
            far=length_over(part.far, units),
            walls=out,
        )
        about = About("portion", worked, path=f"portions.parts[{i}].volume")
        middle = Place(*part.triangles[len(part.triangles) // 2].mean(axis=0).tolist())
        yield line(_portion(part, units), f"portion:{part.number}", about, middle)


def _portion(part: Portion, units: Units) -> str:
    upper = phrase(", {volume} in the upper bed", volume=volume_over(part.upper, units)) if part.upper else ""
    return phrase(
        "{number}: {volume} in place{upper}; {near} to {far} off the way out{corners}",
        number=part.number,
        volume=volume_over(part.volume, units),
        upper=upper,
        near=length_under(part.near, units),
        far=length_over(part.far, units),
        corners=phrase(", with {corners}", corners=listed(part.corners)) if part.corners else "",
    )
