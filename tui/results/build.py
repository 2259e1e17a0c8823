"""The pages of what is built: layers with finished heights, and the mud with its load."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.quantities import format_share
from engine.sheets.text.build import LOAD_WORDS, height_rows, load_rows, mortar_rows
from engine.survey.spot import Needs
from engine.work.mortar import Bags
from engine.work.words import counted, length_over, length_under, listed, volume_over
from tui.results.lines import BLANK, About, Place, head, line, rows
from tui.widgets.sheet import SheetLine

if TYPE_CHECKING:
    from collections.abc import Iterator

    from engine.plan import Plan
    from engine.quantities import Units
    from engine.work.portions import Portion
    from engine.work.whole import Work


def layers(plan: Plan) -> Iterator[SheetLine]:
    """The layers from the rough floor up, then how high it all ends up."""
    if isinstance(plan.work, Needs):
        return
    yield head("Layers, from the rough floor up")
    for i, layer in enumerate(plan.work.layers):
        yield line(f"- {layer.says}", f"layer:{i}", About("layer", "", layer.source))
    yield BLANK
    yield head("Finished heights, at the tile's face")
    yield from rows(height_rows(plan.work), "height")


# ------------------------------------------------------------------ mud and load


def mud(plan: Plan) -> Iterator[SheetLine]:
    """What is mixed, in which portions it is packed, and what it weighs on the floor."""
    if isinstance(plan.work, Needs):
        return
    yield head("Deck mud")
    yield line(*_bought(plan.work))
    yield from rows(mortar_rows(plan.work), "mud")
    yield BLANK
    yield from _portions(plan.work)
    yield BLANK
    yield head("Load on the floor")
    yield from rows(load_rows(plan.work), "load")
    yield SheetLine(LOAD_WORDS)


def _bought(work: Work) -> tuple[str, str, About]:
    """How much is bought, before everything else, with the sum that gave it."""
    found, units = work.mortar, work.site.units
    waste = format_share(found.waste, units)
    sum_ = f"{volume_over(found.placed, units)} in place and {waste} for waste are {volume_over(found.ordered, units)}"
    mix = found.mix
    if isinstance(mix, Bags):
        worked = f"{sum_}; a bag makes {volume_over(mix.makes, units)}: {mix.exact:.2f} bags, so {mix.count}."
        return f"Buy {counted(mix.count, 'bag')} of {mix.of}", "mud:bags", About("mud.bags", worked)
    return f"Mix on site, 1 to {mix.parts:g}", "mud:site", About("mud.site", f"{sum_}.")


def _portions(work: Work) -> Iterator[SheetLine]:
    found, units = work.portions, work.site.units
    out = listed(found.way_out)
    yield head(f"{counted(len(found.parts), 'portion')}, from the far corners to the way out")
    if found.is_assumed:
        yield SheetLine(f"The job names no way out; {out} is taken, the longest wall.")
    for part in found.parts:
        worked = (
            f"The floor from {length_under(part.near, units)} to {length_over(part.far, units)} off the way out "
            f"({out}), the bed's depth added up over it."
        )
        yield line(_portion(part, units), f"portion:{part.number}", About("portion", worked), _middle(part))


def _portion(part: Portion, units: Units) -> str:
    upper = f", {volume_over(part.upper, units)} in the upper bed" if part.upper else ""
    corners = f", with {listed(part.corners)}" if part.corners else ""
    near, far = length_under(part.near, units), length_over(part.far, units)
    return f"{part.number}: {volume_over(part.volume, units)} in place{upper}; {near} to {far} off the way out{corners}"


def _middle(part: Portion) -> Place:
    """A place inside a portion."""
    x, y = part.triangles[len(part.triangles) // 2].mean(axis=0).tolist()
    return Place(x, y)
