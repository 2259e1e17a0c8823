"""All drains raised or lowered by what is missing: closed forms, since the whole bed goes with them."""

import math
from collections.abc import Callable, Container

from ..bed.depth import Depth
from ..job.model import FloorKind
from ..limits.checks.curb import curb_rises
from ..limits.findings import Finding, Level
from ..limits.rulebook import Figure
from ..phrases import phrase
from ..quantities import round_down, round_up
from ..survey.spot import Needs
from .remedy import Idea, Ideas
from .trials import DEPTHS, NOISE, Trials


def set_for_depth(trials: Trials, finding: Finding, *, is_just: bool = False) -> Ideas:
    """Lowered until a bed that is too thick is nowhere over its most depth; else raised to its least.

    is_just: until it is nowhere under the floor, though it is thinner there than it should be.
    """
    yield from moved(trials, up_for_depth(trials, finding.rule, trials.plan.depth, is_just=is_just))


def just_out(maker: Callable[..., Ideas]) -> Callable[[Trials, Finding], Ideas]:
    """What brings a bed just out of the floor, where its least depth is no stop, by the same kind of change."""

    def made(trials: Trials, finding: Finding) -> Ideas:
        least = trials.case.depth_limits.least
        if least and least.level is not Level.STOP:
            for idea in maker(trials, finding, is_just=True):
                yield idea._replace(says=phrase("{change}; the bed is then just out of the floor", change=idea.says))

    return made


def set_as_far(trials: Trials, finding: Finding) -> Ideas:
    """The same as far as the other depth lets it be."""
    step, other = (-trials.step, "bed-thin") if finding.rule == "bed-thick" else (trials.step, "bed-thick")
    up = up_for_depth(trials, other, trials.plan.depth)
    yield from moved(trials, up - step) if up / step > 1 else ()


def up_for_depth(trials: Trials, rule: str, depth: Depth | Needs | None, *, is_just: bool = False) -> float:
    """How far up, down where that is negative, a bed comes to the limit of a rule [mm]; nan where there is none.

    is_just: just out of the floor.
    """
    least, most = trials.case.depth_limits.least, trials.case.depth_limits.most
    if not isinstance(depth, Depth):
        return math.nan
    if rule == "bed-thick":
        return most.value - depth.most.value if most else math.inf
    return max(0.0, least.value if least and not is_just else 0.0) - depth.least.value


def out_of_depth(trials: Trials, rule: str, depth: Depth | Needs | None, *, is_just: bool = False) -> float:
    """By how much a bed breaks the limit of a rule of its depth [mm]; nan where there is none."""
    return (-1 if rule == "bed-thick" else 1) * up_for_depth(trials, rule, depth, is_just=is_just)


def outs_of_depth(trials: Trials, finding: Finding, deep: Depth) -> tuple[float, float]:
    """By how much a bed is too thin and too thick [mm]: by the finding's limit, and by what would be a new stop."""
    limits, before = trials.case.depth_limits, trials.plan.depth
    low, high = (
        limit.value if limit and limit.level is Level.STOP else free
        for limit, free in ((limits.least, 0.0), (limits.most, math.inf))
    )
    if isinstance(before, Depth):
        thin, thick = before.least.value, before.most.value
        if finding.rule == "bed-below-floor":
            low = 0.0
        elif finding.rule == "bed-thick":
            low = min(low, thin)
        elif finding.rule != "bed-thin" and thin < low:  # what it breaks already it may break by more
            low = -math.inf if thin < 0 else 0.0
        if finding.rule not in DEPTHS:
            high = math.inf if thick > high else high
        elif finding.rule != "bed-thick":
            high = max(high, thick)
    return low - deep.least.value, deep.most.value - high


def keeps_depth(trials: Trials, rule: str, depth: Depth | Needs | None, *, is_just: bool = False) -> bool:
    """Whether a bed is within the limit of a rule of its depth."""
    return out_of_depth(trials, rule, depth, is_just=is_just) <= NOISE


def set_for_curb(trials: Trials, finding: Finding) -> Ideas:
    """Lowered until the curb stands high enough over the finished drain, or raised until it is not too high."""
    if (up := up_for_curb(trials, finding)) is not None:
        yield from moved(trials, up)


def up_for_curb(trials: Trials, finding: Finding) -> float | None:
    """How far up, down where that is negative, the finished drain comes to a limit of the curb over it [mm]."""
    rises, is_low = curb_rises(trials.case), finding.rule == "curb-low"
    limit = trials.case.book.find(Figure.CURB_LEAST if is_low else Figure.CURB_MOST)
    return None if rises is None or limit is None else rises[0 if is_low else 1] - limit.value


def drops(trials: Trials) -> dict[int, float]:
    """What the line reads on the drains [mm], entered or planned; none where one has none."""
    drains = trials.plan.drains
    found = [] if isinstance(drains, Needs) else [drain.drop for drain in drains]
    return {i: drop for i, drop in enumerate(found) if drop is not None}


def moved(trials: Trials, up: float) -> Ideas:
    """All drains moved by `up` [mm], rounded to a step away from where they are; those left open go along."""
    entered = {i: drain.drop.value for i, drain in enumerate(trials.job.drains) if drain.drop is not None}
    entered = entered or drops(trials)
    if math.isfinite(up) and not _is_into_wood(trials, up):
        name = phrase("the drain" if len(trials.job.drains) == 1 else "every drain")
        yield from drains_moved(trials, entered, entered, up, name)


def set_drop(trials: Trials, drop: float, up: float) -> float:
    """What the line reads on a drain set so much higher [mm]: on the step, away from where it was."""
    return (round_down if up > 0 else round_up)(drop - up, trials.step)


def drains_moved(trials: Trials, drops: dict[int, float], moved: Container[int], up: float, name: str) -> Ideas:
    """Drains' drops [mm] entered, those of some numbers moved by `up` [mm], rounded as above."""
    step, is_up = trials.step, up > 0
    new = {i: set_drop(trials, drop, up) if i in moved else round_down(drop, step) for i, drop in drops.items()}
    if min(new.values(), default=0.0) <= 0:
        return
    by = max(abs(new[i] - drop) for i, drop in drops.items())
    texts = [trials.text(drop) for drop in new.values()]
    reading = (
        phrase("line reading {drop}", drop=texts[0])
        if len(texts) == 1
        else phrase("line readings {drops}", drops=", ".join(texts))
    )
    parts = {"drains": name, "by": trials.text(round_up(by, step / 2)), "reading": reading}
    yield Idea(
        phrase("raise {drains} by {by}: {reading}" if is_up else "lower {drains} by {by}: {reading}", **parts),
        tuple((f"drains[{i}].drop", text) for i, text in zip(new, texts, strict=True)),
        by,
    )


def _is_into_wood(trials: Trials, up: float) -> bool:
    depth = trials.plan.depth
    is_wood = trials.job.floor.kind is FloorKind.WOOD
    return is_wood and not isinstance(depth, Needs) and depth.least.value > 0 > depth.least.value + up
