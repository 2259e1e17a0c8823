"""All drains raised or lowered by what is missing: closed forms, since the whole bed goes with them."""

import math
from collections.abc import Container, Iterator

from ..job.model import FloorKind
from ..limits.checks.curb import curb_rises
from ..limits.findings import Finding
from ..limits.rulebook import Figure
from ..phrases import phrase
from ..quantities import round_down, round_up
from ..survey.spot import Needs
from .remedy import Idea
from .trials import Trials


def set_for_depth(trials: Trials, finding: Finding) -> Iterator[Idea]:
    """Lowered until a bed that is too thick is nowhere over its most depth; else raised to its least."""
    for spare, room in _room(trials):
        yield from moved(trials, room if finding.rule == "bed-thick" else -spare)


def set_as_far(trials: Trials, finding: Finding) -> Iterator[Idea]:
    """The same as far as the other depth lets it be."""
    for spare, room in _room(trials):
        far = (spare if finding.rule == "bed-thick" else room) - trials.step
        yield from moved(trials, -far if finding.rule == "bed-thick" else far) if far > 0 else ()


def _room(trials: Trials) -> Iterator[tuple[float, float]]:
    """How far the bed can go down before it is too thin, and up before it is too thick [mm]."""
    depth, limits = trials.plan.depth, trials.case.depth_limits
    if not isinstance(depth, Needs):
        least = max(0.0, limits.least.value if limits.least else 0.0)
        yield depth.least.value - least, limits.most.value - depth.most.value if limits.most else math.inf


def set_for_curb(trials: Trials, finding: Finding) -> Iterator[Idea]:
    """Lowered until the curb stands high enough over the finished drain, or raised until it is not too high."""
    rises, is_low = curb_rises(trials.case), finding.rule == "curb-low"
    limit = trials.case.book.find(Figure.CURB_LEAST if is_low else Figure.CURB_MOST)
    if rises is not None and limit is not None:
        yield from moved(trials, rises[0 if is_low else 1] - limit.value)


def moved(trials: Trials, up: float) -> Iterator[Idea]:
    """All drains moved by `up` [mm], rounded to a step away from where they are; none where a drop is not entered."""
    entered = {i: drain.drop.value for i, drain in enumerate(trials.job.drains) if drain.drop is not None}
    if not math.isinf(up) and not _is_into_wood(trials, up):  # those left open go along
        name = phrase("the drain" if len(trials.job.drains) == 1 else "every drain")
        yield from drains_moved(trials, entered, entered, up, name)


def drains_moved(
    trials: Trials, drops: dict[int, float], moved: Container[int], up: float, name: str
) -> Iterator[Idea]:
    """Drains' drops [mm] entered, those of some numbers moved by `up` [mm], rounded as above."""
    step, is_up = trials.step, up > 0
    to = round_down if is_up else round_up
    new = {i: to(drop - up, step) if i in moved else round_down(drop, step) for i, drop in drops.items()}
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
