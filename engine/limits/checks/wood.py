"""Wood floors: a moisture barrier and lath under the mud."""

from __future__ import annotations

import math
from collections.abc import Iterator

from engine.job.defaults import barrier, has_lath
from engine.job.model import Barrier, FloorKind
from engine.limits.checks.case import Case
from engine.limits.findings import Finding
from engine.limits.rulebook import Figure, Limit
from engine.phrases import phrase
from engine.quantities import format_area


def check_wood(case: Case) -> Iterator[Finding]:
    """Findings wood-no-barrier and wood-no-lath."""
    if case.job.floor.kind is not FloorKind.WOOD:
        return
    needs_barrier, needs_lath = (_needed(case, figure) for figure in (Figure.WOOD_BARRIER, Figure.WOOD_LATH))
    if needs_barrier and barrier(case.job) is Barrier.NONE:
        yield Finding(
            rule="wood-no-barrier",
            level=needs_barrier.level,
            says=phrase("the floor is wood and there is no moisture barrier under the mud"),
            remedy=phrase("lay one layer of 15-lb felt, lapped, or another barrier, before the lath"),
            source=needs_barrier.cited,
            key="floor.moisture_barrier",
            change=(("floor.moisture_barrier", Barrier.FELT.value),),
        )
    if needs_lath and not has_lath(case.job):
        yield Finding(
            rule="wood-no-lath",
            level=needs_lath.level,
            says=phrase("the floor is wood and there is no lath in the mud"),
            remedy=phrase(
                "staple metal lath over the barrier: a sheet for every {area}, and the laps", area=_a_sheet(case)
            ),
            source=needs_lath.cited,
            key="floor.lath",
            change=(("floor.lath", "true"),),
        )


def _needed(case: Case, figure: Figure) -> Limit | None:
    limit = case.book.find(figure)
    return limit if limit and limit.value else None


def _a_sheet(case: Case) -> str:
    """What a sheet of lath covers: 27 x 96 in (ASTM C847), or what the user's own sheet does."""
    sides = (case.book.find(Figure.LATH_SHEET_WIDTH), case.book.find(Figure.LATH_SHEET_LENGTH))
    return format_area(math.prod(side.value for side in sides if side), case.units)
