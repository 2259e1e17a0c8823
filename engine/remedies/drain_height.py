"""All drains raised or lowered by what is missing: closed forms, since the whole bed goes along."""

import math
from collections.abc import Callable

from ..bed.depth import Depth
from ..bed.surfaces import NoBed
from ..limits.checks.curb import too_high, too_low
from ..limits.findings import Finding, Level
from ..phrases import phrase
from ..survey.spot import Needs
from .remedy import Change, Ideas
from .set_drops import eased, moved
from .trials import DEPTHS, NOISE, Trials


def set_for_depth(trials: Trials, finding: Finding, *, is_just: bool = False) -> Ideas:
    """Lowered until a too thick bed keeps its most depth everywhere; else raised to its least.

    is_just: until it is nowhere under the floor, if too thin there.
    """

    def keeps(aside: Trials, change: Change) -> bool:
        return keeps_depth(trials, finding.rule, aside.depth(change), is_just=is_just)

    yield from eased(trials, finding, up_for_depth(trials, finding.rule, trials.plan.depth, is_just=is_just), keeps)


def just_out(maker: Callable[..., Ideas]) -> Callable[[Trials, Finding], Ideas]:
    """The same change, to just bring a bed out of the floor where its least depth is no stop."""

    def made(trials: Trials, finding: Finding) -> Ideas:
        least = trials.case.depth_limits.least
        if least and least.level is not Level.STOP:
            for idea in maker(trials, finding, is_just=True):
                yield idea._replace(says=phrase("{change}; the bed is then just out of the floor", change=idea.says))

    return made


def set_as_far(trials: Trials, finding: Finding) -> Ideas:
    """The same as far as the other depth lets it."""
    step, other = (-trials.step, "bed-thin") if finding.rule == "bed-thick" else (trials.step, "bed-thick")
    up = up_for_depth(trials, other, trials.plan.depth)
    yield from moved(trials, up - step) if up / step > 1 else ()


def up_for_depth(trials: Trials, rule: str, depth: Depth | Needs | None, *, is_just: bool = False) -> float:
    """How far up (down if negative) a bed is from a rule's limit [mm], or just out of the floor; nan without one."""
    least, most = trials.case.depth_limits.least, trials.case.depth_limits.most
    if not depth:
        return math.nan
    if rule == "bed-thick":
        return most.value - depth.most.value if most else math.inf
    return max(0.0, least.value if least and not is_just else 0.0) - depth.least.value


def out_of_depth(trials: Trials, rule: str, depth: Depth | Needs | None, *, is_just: bool = False) -> float:
    """How much a bed breaks a rule's limit of its depth [mm]; nan without one."""
    return (-1 if rule == "bed-thick" else 1) * up_for_depth(trials, rule, depth, is_just=is_just)


def outs_of_depth(trials: Trials, finding: Finding, deep: Depth) -> tuple[float, float]:
    """How much a bed is too thin and too thick [mm], by the finding's limit and by what would be a new stop."""
    limits, before = trials.case.depth_limits, trials.plan.depth
    low, high = (
        limit.value if limit and limit.level is Level.STOP else free
        for limit, free in ((limits.least, 0.0), (limits.most, math.inf))
    )
    if before:
        thin, thick = before.least.value, before.most.value
        if finding.rule == "bed-below-floor":
            low = 0.0
        elif finding.rule == "bed-thick":
            low = min(low, thin)
        elif finding.rule != "bed-thin" and thin < low:  # what it breaks already it may break more
            low = -math.inf if thin < 0 else 0.0
        if finding.rule not in DEPTHS:
            high = math.inf if thick > high else high
        elif finding.rule != "bed-thick":
            high = max(high, thick)
    return low - deep.least.value, deep.most.value - high


def keeps_depth(trials: Trials, rule: str, depth: Depth | Needs | None, *, is_just: bool = False) -> bool:
    """Whether a bed keeps a rule's limit of its depth."""
    return out_of_depth(trials, rule, depth, is_just=is_just) <= NOISE


def set_for_curb(trials: Trials, finding: Finding) -> Ideas:
    """Lowered until the curb is high enough over the finished drain, or raised until not too high."""
    yield from eased(trials, finding, up_for_curb(trials, finding))


def up_for_curb(trials: Trials, finding: Finding) -> float:
    """How far up (down if negative) the finished drains are from a limit of the curb [mm]."""
    case, bed = trials.case, trials.plan.bed
    return -too_low(case) if finding.rule == "curb-low" else too_high(case, None if isinstance(bed, NoBed) else bed)
