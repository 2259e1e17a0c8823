"""The lining, its flood test, tile and the first shower."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import TYPE_CHECKING

from ..job.model import EdgeKind
from ..packed import wording
from ..phrases import phrase
from . import practice
from .cautions import careful, structure
from .layers import LayerName
from .practice import NO_SOURCE
from .steps import Said, Task, Wait, plain, sources
from .words import fine_length_over, length_over, length_under, load_over, mass_over, time_words, volume_over

if TYPE_CHECKING:
    from .whole import Work

_LININGS = (LayerName.LINER, LayerName.MEMBRANE)


def lining(work: Work) -> Task:
    """Laying the liner or membrane; a membrane alone has to set before the flood."""
    says = (*(Said(layer.says, layer.source) for layer in work.layers if layer.name in _LININGS), *_edge(work))
    if work.site.is_between:
        return Task(phrase("Lay the liner"), says, (phrase("liner"),))
    wait, cold = work.site.rules.flood_wait, work.site.rules.flood_wait_cold
    return Task(
        phrase("Bond the membrane"),
        says,
        (phrase("membrane"),),
        wait=Wait(
            wait.value,
            phrase(
                "Let it set {wait} before it is flooded, {cold} under 50 F (10 C); its maker may ask for longer",
                wait=time_words(wait.value),
                cold=time_words(cold.value),
            ),
            sources(wait.source, cold.source),
        ),
    )


def _edge(work: Work) -> Iterator[Said]:
    if work.lining.is_assumed:
        yield Said(phrase("The threshold's height is not in the job: measure up from the finished threshold on site"))
    over = work.site.rules.lining_over_curb
    if over is not None and work.site.edges(EdgeKind.CURB):
        high = length_over(over.value, work.units)
        yield Said(
            phrase("At the sides and back its edge stands at least {high} over the curb's top", high=high), over.source
        )


def flood(work: Work) -> Task:
    """The flood test, as long as the water has to stand."""
    test, units, rules = work.flood, work.units, work.site.rules
    least, most, code = rules.flood_time_least, rules.flood_time_most, rules.pan_test_time
    water = phrase(
        "{volume} of water, {mass}", volume=volume_over(test.volume, units), mass=mass_over(test.mass, units)
    )
    steep = work.site.bed.most_fall > rules.flood_fall_most.value
    says = (
        *plain(phrase("Plug the drain at the lining or under it"), *_dams(work)),
        *_fill(work),
        Said(
            phrase(
                "That is {water}: {mean} on average, {worst} at the drain. Keep people and material off it",
                water=water,
                mean=load_over(work.load.water_mean, units),
                worst=load_over(work.load.water_most, units),
            ),
            rules.water_load_an_inch.source,
        ),
        Said(
            phrase(
                "Mark the water's edge and let it stand {least}, at most {most}{steep}",
                least=time_words(least.value),
                most=time_words(most.value),
                steep=phrase("; the source is about decks that fall at most 2 percent, and this floor falls more")
                if steep
                else "",
            ),
            least.source,
        ),
        Said(phrase("The code's own least is {code}", code=time_words(code.value)), code.source),
        Said(wording("work")["flood-passed"], NO_SOURCE),
    )
    carried = (structure(work),) if work.site.is_wood else ()
    return Task(
        phrase("Flood test"),
        says,
        (phrase("test plug"), phrase("water"), phrase("bucket")),
        (*careful("local-code"), *carried),
        least.value,
    )


def _dams(work: Work) -> Iterator[str]:
    over = work.flood.over_curb
    if work.site.edges(EdgeKind.OPEN):
        yield phrase("Build a temporary dam along the open edge, and seal it to the lining")
    if over > 0:
        high = length_over(over, work.units)
        yield phrase("Build a temporary dam on the curb: the water stands {high} over it before it is tiled", high=high)


def _fill(work: Work) -> Iterator[Said]:
    test, units, rules = work.flood, work.units, work.site.rules
    text = phrase(
        "Fill until the water stands {threshold} deep {where}, {drain} at the drain",
        threshold=length_over(test.at_threshold, units),
        where=phrase("at the threshold" if work.site.thresholds else "at the walls"),
        drain=length_over(test.at_drain, units),
    )
    if not test.is_held:
        yield Said(text, rules.pan_test_depth.source)
        return
    yield Said(text, phrase("held to the head that {source} names", source=rules.flood_head_most.source))
    yield Said(
        phrase(
            "The code wants {wanted} at the threshold, which is deeper at the drain than that: "
            "ask the inspector which of the two it shall be",
            wanted=length_under(test.wanted, units),
        ),
        rules.pan_test_depth.source,
    )


def draining() -> Task:
    """Letting the test's water out."""
    return Task(
        phrase("Drain and dry"),
        plain(
            phrase("Pull the plug, watch the water run to the drain, and mark where any stays"),
            phrase("Let the lining dry off before it is covered"),
        ),
        (phrase("towels"),),
    )


def tiling(work: Work) -> Task:
    """Setting the tile."""
    site = work.site
    return _tiling(fine_length_over(work.heights.grate, site.units), is_between=site.is_between)


@lru_cache(maxsize=16)
def _tiling(grate: str, *, is_between: bool) -> Task:
    weep = (phrase("Keep the weep holes open while the drain is set to its height"),) if is_between else ()
    return Task(
        phrase("Set the tile"),
        plain(
            phrase("Set the tile with full mortar under it, from the far corners to the way out"),
            phrase("The drain's grate stands {grate} over the flange, level with the tile", grate=grate),
            *weep,
        ),
        (phrase("tile"), phrase("tile mortar")),
        careful("cutting-dust", "wet-cement"),
        wait=Wait(
            practice.TILE_WAIT,
            phrase(
                "Let the tile mortar set {time} before grouting; its maker's time goes first",
                time=time_words(practice.TILE_WAIT),
            ),
            NO_SOURCE,
        ),
    )


def grouting() -> Task:
    """Grouting, and waiting until the tile may get wet."""
    return Task(
        phrase("Grout and seal"),
        plain(
            phrase("Grout the joints; leave the joint at walls and curb open and fill it with sealant"),
            phrase("How much grout is not reckoned here: it goes by the tile's joints"),
        ),
        (phrase("grout"), phrase("sealant")),
        careful("mixing-dust", "wet-cement"),
        wait=Wait(
            practice.GROUT_WAIT,
            phrase(
                "Keep water off it {time} before the first shower; the grout maker's time goes first",
                time=time_words(practice.GROUT_WAIT),
            ),
            NO_SOURCE,
        ),
    )


def using() -> Task:
    """The first shower."""
    return Task(phrase("First shower"), plain(phrase("Run water, and see that it leaves no birdbath")))
