"""All drains raised or lowered by what is missing: closed forms, since the whole bed goes with them."""

from __future__ import annotations

from collections.abc import Iterator

from engine.job.model import FloorKind
from engine.limits.checks.curb import curb_rises
from engine.limits.findings import Finding
from engine.limits.rulebook import Figure
from engine.phrases import phrase
from engine.quantities import round_down, round_up
from engine.remedies.remedy import Idea
from engine.remedies.trials import Trials
from engine.survey.spot import Needs


def raise_for_depth(trials: Trials, _: Finding) -> Iterator[Idea]:
    """Raised until the bed is nowhere under its least depth."""
    depth, least = trials.plan.depth, trials.case.depth_limits.least
    if not isinstance(depth, Needs):
        yield from moved(trials, max(0.0, least.value if least else 0.0) - depth.least.value)


def lower_for_depth(trials: Trials, _: Finding) -> Iterator[Idea]:
    """Lowered until the bed is nowhere over its most depth."""
    depth, most = trials.plan.depth, trials.case.depth_limits.most
    if not isinstance(depth, Needs) and most is not None:
        yield from moved(trials, most.value - depth.most.value)


def raise_as_far(trials: Trials) -> Iterator[Idea]:
    """Raised as far as the most depth lets it be."""
    depth, most = trials.plan.depth, trials.case.depth_limits.most
    if not isinstance(depth, Needs) and most is not None:
        room = most.value - depth.most.value - trials.step
        yield from moved(trials, room) if room > 0 else ()


def lower_as_far(trials: Trials) -> Iterator[Idea]:
    """Lowered as far as the least depth lets it be."""
    depth, least = trials.plan.depth, trials.case.depth_limits.least
    if not isinstance(depth, Needs):
        room = depth.least.value - (least.value if least else 0.0) - trials.step
        yield from moved(trials, -room) if room > 0 else ()


def lower_for_curb(trials: Trials, _: Finding) -> Iterator[Idea]:
    """Lowered until the curb stands high enough over the finished drain."""
    rises, least = curb_rises(trials.case), trials.case.book.find(Figure.CURB_LEAST)
    if rises is not None and least is not None:
        yield from moved(trials, rises[0] - least.value)


def raise_for_curb(trials: Trials, _: Finding) -> Iterator[Idea]:
    """Raised until the curb stands no more than it may over the finished drain."""
    rises, most = curb_rises(trials.case), trials.case.book.find(Figure.CURB_MOST)
    if rises is not None and most is not None:
        yield from moved(trials, rises[1] - most.value)


def moved(trials: Trials, up: float) -> Iterator[Idea]:
    """All drains moved by `up` [mm], rounded to a step away from where they are; none where a drop is not entered."""
    measured = {i: drain.drop.value for i, drain in enumerate(trials.job.drains) if drain.drop is not None}
    drops = list(measured.values())  # those left open go along
    if not drops or _is_into_wood(trials, up):
        return
    step, is_up = trials.step, up > 0
    rounded = round_down if is_up else round_up
    moved = [rounded(drop - up, step) for drop in drops]
    if min(moved) <= 0:
        return
    by = max(abs(new - old) for new, old in zip(moved, drops, strict=True))
    texts = [trials.text(drop) for drop in moved]
    one = len(texts) == 1
    drains = phrase("the drain" if len(trials.job.drains) == 1 else "every drain")
    reading = (
        phrase("line reading {drop}", drop=texts[0]) if one else phrase("line readings {drops}", drops=", ".join(texts))
    )
    parts = {"drains": drains, "by": trials.text(round_up(by, step / 2)), "reading": reading}
    yield Idea(
        phrase("raise {drains} by {by}: {reading}" if is_up else "lower {drains} by {by}: {reading}", **parts),
        tuple((f"drains[{i}].drop", text) for i, text in zip(measured, texts, strict=True)),
        by,
    )


def _is_into_wood(trials: Trials, up: float) -> bool:
    """Whether a bed moved by `up` [mm] would lie under a floor of wood, which nobody grinds."""
    depth = trials.plan.depth
    is_wood = trials.job.floor.kind is FloorKind.WOOD
    return is_wood and not isinstance(depth, Needs) and depth.least.value > 0 > depth.least.value + up
