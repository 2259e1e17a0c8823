"""The lining, its flood test, tile, and the first shower."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.job.model import EdgeKind
from engine.work import cautions, practice
from engine.work.layers import LayerName
from engine.work.practice import NO_SOURCE
from engine.work.said import Said, plain, sources
from engine.work.steps import Task, Wait
from engine.work.words import length_over, length_under, load_over, mass_over, time_words, volume_over

if TYPE_CHECKING:
    from collections.abc import Iterator

    from engine.work.whole import Work

_LININGS = (LayerName.LINER, LayerName.MEMBRANE)
PASSED = (
    "It passes when the water stands as high as before, less only what a bucket of water beside it lost, and "
    "everything round and under it is dry. Let the inspector see it where one has to"
)


def lining(work: Work) -> Task:
    """Laying the liner or the membrane; only a membrane has to set before it is flooded."""
    says = (
        *(Said(layer.says, layer.source) for layer in work.layers if layer.name in _LININGS),
        *_edge(work),
    )
    if work.site.is_between:
        return Task("Lay the liner", says, ("liner",))
    wait, cold = work.site.rules.flood_wait, work.site.rules.flood_wait_cold
    return Task(
        "Bond the membrane",
        says,
        ("membrane",),
        wait=Wait(
            wait.value,
            f"Let it set {time_words(wait.value)} before it is flooded, {time_words(cold.value)} under 50 F (10 C); "
            "its maker may ask for longer",
            sources(wait.source, cold.source),
        ),
    )


def _edge(work: Work) -> Iterator[Said]:
    """How high the lining's edge stands over the curb, which one measures on site."""
    if work.lining.is_assumed:
        yield Said("The threshold's height is not in the job: measure up from the finished threshold on site")
    over = work.site.rules.lining_over_curb
    if over is not None and work.site.edges(EdgeKind.CURB):
        high = length_over(over.value, work.site.units)
        yield Said(f"At the sides and back its edge stands at least {high} over the curb's top", over.source)


def flood(work: Work) -> Task:
    """The flood test, a task that takes as long as the water has to stand."""
    test, units, rules = work.flood, work.site.units, work.site.rules
    least, most, code = rules.flood_time_least, rules.flood_time_most, rules.pan_test_time
    water = f"{volume_over(test.volume, units)} of water, {mass_over(test.mass, units)}"
    steep = work.site.bed.most_fall > rules.flood_fall_most.value
    says = (
        *plain("Plug the drain at the lining or under it", *_dams(work)),
        *_fill(work),
        Said(
            f"That is {water}: {load_over(work.load.water_mean, units)} on average, "
            f"{load_over(work.load.water_most, units)} at the drain. Keep people and material off it",
            rules.water_load_an_inch.source,
        ),
        Said(
            f"Mark the water's edge and let it stand {time_words(least.value)}, at most {time_words(most.value)}"
            + (
                "; the source is about decks that fall at most 2 percent, and this floor falls more"
                if steep
                else ""
            ),
            least.source,
        ),
        Said(f"The code's own least is {time_words(code.value)}", code.source),
        Said(PASSED, NO_SOURCE),
    )
    carried = (cautions.structure(work),) if work.site.is_wood else ()
    return Task(
        "Flood test",
        says,
        ("test plug", "water", "bucket"),
        (cautions.LOCAL_CODE, *carried),
        least.value,
    )


def _dams(work: Work) -> Iterator[str]:
    over = work.flood.over_curb
    if work.site.edges(EdgeKind.OPEN):
        yield "Build a temporary dam along the open edge, and seal it to the lining"
    if over > 0:
        high = length_over(over, work.site.units)
        yield f"Build a temporary dam on the curb: the water stands {high} over it before it is tiled"


def _fill(work: Work) -> Iterator[Said]:
    test, units, rules = work.flood, work.site.units, work.site.rules
    threshold, drain = length_over(test.at_threshold, units), length_over(test.at_drain, units)
    where = "at the threshold" if work.site.thresholds else "at the walls"
    text = f"Fill until the water stands {threshold} deep {where}, {drain} at the drain"
    if not test.is_held:
        yield Said(text, rules.pan_test_depth.source)
        return
    yield Said(text, f"held to the head that {rules.flood_head_most.source} names")
    yield Said(
        f"The code wants {length_under(test.wanted, units)} at the threshold, which is deeper at the drain than that: "
        "ask the inspector which of the two it shall be",
        rules.pan_test_depth.source,
    )


DRAINING = Task(
    "Drain and dry",
    plain("Pull the plug, watch the water run to the drain, and mark where any stays", "Let the lining dry"),
    ("towels",),
)


def tiling(work: Work) -> Task:
    """Setting the tile."""
    grate = length_over(work.heights.grate, work.site.units)
    weep = ("Keep the weep holes open while the drain is set to its height",) if work.site.is_between else ()
    return Task(
        "Set the tile",
        plain(
            "Set the tile with full mortar under it, from the far corners to the way out",
            f"The drain's grate stands {grate} over the flange, level with the tile",
            *weep,
        ),
        ("tile", "tile mortar"),
        (cautions.CUTTING_DUST, cautions.WET_CEMENT),
        wait=Wait(
            practice.TILE_WAIT,
            f"Let the tile mortar set {time_words(practice.TILE_WAIT)} before grouting; its maker's time goes first",
            NO_SOURCE,
        ),
    )


GROUTING = Task(
    "Grout and seal",
    plain(
        "Grout the joints; leave the joint at walls and curb open and fill it with sealant",
        "How much grout is not reckoned here: it goes by the tile's joints",
    ),
    ("grout", "sealant"),
    (cautions.MIXING_DUST, cautions.WET_CEMENT),
    wait=Wait(
        practice.GROUT_WAIT,
        f"Keep water off it {time_words(practice.GROUT_WAIT)} before the first shower; the grout maker's "
        "time goes first",
        NO_SOURCE,
    ),
)
USING = Task("First shower", plain("Run water, and see that it leaves no birdbath"))
