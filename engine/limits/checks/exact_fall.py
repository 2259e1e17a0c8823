"""A rulebook whose least fall is also its most: what that leaves to build by."""

from __future__ import annotations

from collections.abc import Iterator

from engine.bed.surfaces import Bed
from engine.limits.checks.case import Case, is_above
from engine.limits.findings import Finding, Level
from engine.limits.words import enough, fine
from engine.phrases import joined, phrase


def check_exact_fall(case: Case, bed: Bed) -> Iterator[Finding]:
    """Note no-tolerance, where least and most fall are one figure: what a little off comes to."""
    least, most = case.book.least_fall, case.book.most_fall
    if most is None or is_above(most.value, least.value) or bed.longest_run <= 0:
        return
    step, run = enough(fine(case.units), case.units), bed.longest_run
    steeper, flatter = (f"1:{1 / (least.value + way * step / run):.1f}" for way in (1, -1))
    yield Finding(
        rule="no-tolerance",
        level=Level.NOTE,
        says=phrase(
            "{fall} is at once the least and the most fall: over the longest run of {run}, {step} too high "
            "is already {steeper}, and as much too low {flatter}",
            fall=case.limit_fall(least),
            run=case.over(run),
            step=case.length(step),
            steeper=steeper,
            flatter=flatter,
        ),
        remedy=phrase(
            "ask the local authority what it tolerates before building, and check the marks twice; only an "
            "even fall or one plane keeps one fall everywhere"
        ),
        source=joined("; ", dict.fromkeys((least.cited, most.cited))),
        key="bed.fall",
    )
