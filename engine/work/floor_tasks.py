"""What is done before any mud is mixed."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import lru_cache
from typing import TYPE_CHECKING

from ..bed.drains import SetDrain
from ..job.model import Barrier, EdgeKind, RulebookName
from ..packed import wording
from ..phrases import phrase
from ..quantities import Units, format_fall, format_length
from .cautions import careful, structure
from .heights import Beside
from .layers import LayerName
from .rules import Rule, Rules
from .steps import Said, Task, plain
from .words import counted, length_over, length_under, listed, load_over
from .worked_floor import worked_floor

if TYPE_CHECKING:
    from .whole import Work

_UNDER = (LayerName.BARRIER, LayerName.LATH)
_BARRIERS = {
    Barrier.NONE: phrase("none"),
    Barrier.FELT: phrase("felt"),
    Barrier.POLY: phrase("poly"),
    Barrier.MEMBRANE: phrase("membrane"),
}
_ACCESSIBLE = (RulebookName.US_ACCESSIBLE, RulebookName.DE_DIN18040)
_CONCRETE = plain(phrase("Clean the slab of paint, curing compound, dust and loose concrete, down to what holds"))


def floor_tasks(work: Work) -> Iterator[Task]:
    """The tasks before mixing, in order."""
    yield _check(work)
    yield from worked_floor(work)
    yield _drain(work)
    yield from _thresholds(work)
    yield from _rough_floor(work)
    yield _strips()


def _check(work: Work) -> Task:
    accessible = careful("access") if work.site.job.rulebook in _ACCESSIBLE else ()
    return Task(
        phrase("Check the floor and the plan"),
        (
            *plain(phrase("Read the findings of this plan; do not start while one of them is a stop")),
            *(_wood(work.site.rules, work.units) if work.site.is_wood else _CONCRETE),
        ),
        cautions=(*careful("local-code"), structure(work), *accessible),
    )


@lru_cache(maxsize=4)
def _wood(rules: Rules, units: Units) -> tuple[Said, ...]:
    stiff = [
        Said(
            phrase(
                "Have the floor's stiffness checked: for {what} it bends at most span / {rule}",
                what=what,
                rule=f"{rule.value:g}",
            ),
            rule.source,
        )
        for rule, what in ((rules.stiffness_ceramic, phrase("ceramic tile")), (rules.stiffness_stone, phrase("stone")))
    ]
    live = rules.live_load
    if live is not None:
        load = load_over(live.value, units)
        text = phrase("Besides what is built on it the floor carries {load} of people and things", load=load)
        stiff.append(Said(text, live.source))
    return (*stiff, *plain(phrase("Look for rot and loose boards; mend and screw them first")))


def _drain(work: Work) -> Task:
    drains = work.site.drains
    names = [phrase("the drain" if len(drains) == 1 else "drain {number}", number=k + 1) for k in range(len(drains))]
    return Task(
        phrase("Set the drain" if len(drains) == 1 else "Set the drains"),
        (
            *plain(*(_setting(work, name, drain) for name, drain in zip(names, drains, strict=True))),
            *_outlet(work.site.rules, work.units),
        ),
        (phrase("test plug"), phrase("tape")),
        careful("plumbing"),
    )


@lru_cache(maxsize=4)
def _outlet(rules: Rules, units: Units) -> tuple[Said, ...]:
    told: tuple[tuple[Rule | None, Callable[[str], str]], ...] = (
        (rules.drain_depth_usual, lambda size: phrase("Usually the mud is {deep} deep there", deep=size)),
        (rules.outlet_least, lambda size: phrase("The outlet is at least {least} wide", least=size)),
        (rules.outlet_usual, lambda size: phrase("Usually the outlet is {usual} wide", usual=size)),
    )
    sizes = [Said(said(length_over(rule.value, units)), rule.source) for rule, said in told if rule is not None]
    return (
        *sizes,
        *plain(
            phrase("Plug the outlet, fill the pipe, and see that nothing leaks before the mud covers it"),
            phrase("Tape the drain over so that no mud gets in"),
        ),
    )


def _setting(work: Work, name: str, drain: SetDrain) -> str:
    units = work.units
    line = "" if drain.drop is None else phrase(", {drop} under the level line", drop=format_length(drain.drop, units))
    return phrase(
        "Set the top of {name}'s flange {height} over the rough floor there{line}",
        name=name,
        height=format_length(drain.above_rough, units),
        line=line,
    )


def _thresholds(work: Work) -> Iterator[Task]:
    curbs = [edge.edge for edge in work.heights.thresholds if edge.kind is EdgeKind.CURB]
    opens = [edge for edge in work.heights.thresholds if edge.kind is EdgeKind.OPEN]
    if curbs:
        yield _curb(work, curbs)
    if opens:
        yield Task(phrase("Recess the open edge"), plain(*(_recess(work, edge) for edge in opens)))


def _curb(work: Work, edges: list[str]) -> Task:
    return Task(
        phrase("Build the curb"),
        (
            *plain(
                phrase(
                    "Build the curb at {edges} from what neither swells nor rots when it is wet", edges=listed(edges)
                )
            ),
            *_curb_height(work),
        ),
        cautions=careful("cutting-dust"),
    )


def _curb_height(work: Work) -> Iterator[Said]:
    over, drop, fall = work.heights.curb_over_drain, work.site.job.curb.drop, work.site.rules.curb_top_fall
    units = work.units
    if over is not None and drop is not None:
        yield Said(
            phrase(
                "Its finished top, tile included, stands {drop} under the level line: {over} over the finished drain",
                drop=format_length(drop.value, units),
                over=length_under(over, units),
            )
        )
    if fall is not None:
        yield Said(
            phrase("Let its top fall toward the drain, {fall}", fall=format_fall(fall.value, units)), fall.source
        )


def _recess(work: Work, edge: Beside) -> str:
    units = work.units
    rises = length_over(edge.high - edge.low, units)
    slope = "" if edge.is_level else phrase("; the tile rises {rises} along it, to be taken up outside", rises=rises)
    return phrase(
        "{edge}: the rough floor has to lie {most} under the finished floor outside, or "
        "{bed_most} under an outside floor that gets the same tile and mortar{slope}",
        edge=edge.edge,
        most=length_over(edge.most, units),
        bed_most=length_over(edge.bed_most, units),
        slope=slope,
    )


def _rough_floor(work: Work) -> Iterator[Task]:
    under = [layer for layer in work.layers if layer.name in _UNDER]
    if under:
        title = phrase("Lay the moisture barrier and the lath" if len(under) == 2 else "Lay what goes under the mud")
        yield Task(title, tuple(Said(layer.says, layer.source) for layer in under), tuple(_under_needs(work)))


def _under_needs(work: Work) -> Iterator[str]:
    if work.barrier is not None:
        yield phrase("moisture barrier: {kind}", kind=_BARRIERS[work.barrier.kind])
    if work.lath is not None:
        yield phrase("lath: {sheets}", sheets=counted(work.lath.sheets, "sheet"))
        if work.site.is_wood:
            yield phrase("staples: {fasteners}", fasteners=work.lath.fasteners)


def _strips() -> Task:
    return Task(
        phrase("Mark the walls and fix the strips"),
        plain(
            phrase("Mark the walls: every mark of this plan, down from the level line"),
            wording("work")["cut-strips"],
            wording("work")["cut-straightedge"],
        ),
        (phrase("level line"), phrase("strips"), phrase("straightedge")),
    )
