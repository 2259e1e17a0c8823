"""What the work is reckoned from, for the checks that look at it."""

from __future__ import annotations

from engine.bed.surfaces import Hidden
from engine.limits.checks.case import Case
from engine.limits.work_rules import rules_of
from engine.survey.spot import Needs
from engine.work.site import Site


def work_site(case: Case) -> Site | None:
    """The planned floor as the work knows it; None while a stage still waits."""
    stages = case.stages
    if isinstance(stages.outline, Needs) or isinstance(stages.drains, Needs) or isinstance(stages.rough, Needs):
        return None
    if isinstance(stages.bed, Needs | Hidden) or isinstance(stages.depth, Needs):
        return None
    rules = rules_of(case.book)
    return Site(case.job, stages.outline, stages.drains, stages.rough, stages.bed, stages.depth, rules)
