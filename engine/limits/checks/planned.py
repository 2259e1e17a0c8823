"""What the job asks for and this version cannot plan: said as a stop, so that no one builds from silence."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.limits.findings import Finding, Level
from engine.phrases import phrase
from engine.survey.spot import Needs

if TYPE_CHECKING:
    from collections.abc import Iterator

    from engine.limits.checks.case import Case


def check_planned(case: Case) -> Iterator[Finding]:
    """Finding not-planned-yet, once for each thing that the job asks for and no stage can do."""
    stages = case.stages
    waiting = (stages.outline, stages.flanges, stages.rough, stages.bed)
    unplanned = [stage for stage in waiting if isinstance(stage, Needs) and stage.not_yet]
    for needs in dict.fromkeys(unplanned):
        yield Finding(
            rule="not-planned-yet",
            level=Level.STOP,
            says=phrase("this version of the program cannot plan this job: {what}", what=needs.says),
            remedy=phrase(
                "change the entry, or wait for a version that plans it; the file keeps what you entered"
            ),
            source=phrase("the program's own limit"),
            key=needs.key,
        )
