"""Raising or lowering the drains: the drops to enter, and what else that would break."""

from __future__ import annotations

from engine.bed.depth import Depth
from engine.limits.checks.case import NOISE, Case
from engine.limits.checks.curb import curb_rises
from engine.limits.rulebook import Figure
from engine.limits.words import fine
from engine.phrases import phrase
from engine.quantities import round_down, round_up
from engine.records import record


@record
class Move:
    """The entries that move every drain, empty where a height is not entered; what the move would break."""

    change: tuple[tuple[str, str], ...]
    spoils: str = ""


def raised(case: Case, depth: Depth, by: float) -> Move:
    """All drains raised by at least `by` [mm], up to one fine step more."""
    most = case.depth_limits.most
    by_most = by + fine(case.units)
    if most and depth.most.value + by_most > most.value + NOISE and depth.most.value <= most.value + NOISE:
        return Move((), phrase("make the bed too thick elsewhere"))
    least_curb = case.book.find(Figure.CURB_LEAST)
    rises = curb_rises(case)
    if rises and least_curb and rises[0] >= least_curb.value - NOISE > rises[0] - by_most:
        return Move((), phrase("leave the curb too low"))
    return Move(_drops(case, -by))


def lowered(case: Case, depth: Depth, by: float) -> Move:
    """All drains lowered by at least `by` [mm], up to one fine step more."""
    least = case.depth_limits.least
    floor = least.value if least else 0.0
    if depth.least.value - by - fine(case.units) < floor - NOISE:
        return Move((), phrase("make the bed too thin elsewhere"))
    most_curb = case.book.find(Figure.CURB_MOST)
    rises = curb_rises(case)
    if rises and most_curb and rises[1] <= most_curb.value + NOISE < rises[1] + by + fine(case.units):
        return Move((), phrase("leave the curb too high"))
    return Move(_drops(case, by))


def _drops(case: Case, by: float) -> tuple[tuple[str, str], ...]:
    """The drops to enter, rounded so that each drain moves at least that far; those left open go along."""
    drops = [drain.drop for drain in case.job.drains]
    if any(drop is not None and drop.value + by <= 0 for drop in drops):
        return ()
    rounded = round_down if by < 0 else round_up
    step = fine(case.units)
    return tuple(
        (f"drains[{i}].drop", case.length(rounded(drop.value + by, step)))
        for i, drop in enumerate(drops)
        if drop is not None
    )
