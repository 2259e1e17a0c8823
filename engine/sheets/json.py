"""The plan as JSON, the contract with other programs: the same bytes on every run and machine."""

import json
from collections.abc import Callable

from .. import __version__
from ..limits.drain_range import Bound
from ..limits.findings import Finding
from ..plan import Plan
from ..remedies import Answer, remedies
from ..remedies.fits import fits
from .digest import digest_of
from .figures import Figures, lengths, plain, plan_figures, ratio
from .least_bed import least_bed_figures
from .proof_figures import proof_figures
from .remedy_words import fit_figures, remedy_figures
from .set_out_figures import cut_figures, set_out_figures
from .work_figures import WITH_COSTS, work_figures

FORMAT = 1


def plan_json(plan: Plan, *, is_said: bool = True) -> str:
    """The plan as one JSON object, ASCII only, with a newline at its end; is_said: with findings and needs.

    Lengths [mm], areas [mm2], volumes in whole [mm3], masses [kg], loads [kPa], times [h], falls and shares [-],
    whatever the job's units. A waiting stage is null; `needs` lists what for. Raises JobError for strip or stock
    entries that fit none.
    """
    whole: Figures = {}
    for part in _PARTS:
        whole |= part(plan) if is_said or part is not _said else {}
    return json.dumps(whole, indent=2, allow_nan=False) + "\n"


def part_with(plan: Plan, key: str) -> Figures:
    """The part of the JSON that holds a key, made alone; empty where none does."""
    return next((part(plan) for part, keys in _PARTS.items() if key in keys), {})


def _head(plan: Plan) -> Figures:
    return {
        "format": FORMAT,
        "engine": __version__,
        "digest": digest_of(plan_figures(plan)),
        "job": plan.job.name,
        "units": plan.units.value,
        "rulebook": {"name": plan.rulebook.name.value, "edition": plan.rulebook.edition, "works": plan.rulebook.works},
    }


def _known(plan: Plan) -> Figures:
    found = plan.drain_range
    return {
        "drain_range": found
        and {
            "lowest": found.lowest and _bound(found.lowest),
            "highest": found.highest and _bound(found.highest),
            "curb": found.curb and _bound(found.curb),
        },
        "guessed": ratio(plan.rough.guessed) if plan.rough else None,
    }


def _shapes(plan: Plan) -> Figures:
    return {"shapes": [fit_figures(fit) for fit in fits(plan)]}


def _said(plan: Plan) -> Figures:
    return {
        "findings": [_finding(*each) for each in zip(plan.findings, remedies(plan), strict=True)],
        "needs": [{"key": need.key, "says": need.says} for need in plan.needs],
    }


_PARTS: dict[Callable[[Plan], Figures], tuple[str, ...]] = {  # in the order written, with their keys
    _head: ("format", "engine", "digest", "job", "units", "rulebook"),
    plan_figures: ("outline", "drains", "rough", "bed", "marks", "own_figures"),
    _known: ("drain_range", "guessed"),
    set_out_figures: ("tape", "next_diagonal", "curves", "channels", "ridges", "catchments", "next_reading"),
    cut_figures: ("strips", "straightedges", "pulls", "stock"),
    work_figures: WITH_COSTS,
    least_bed_figures: ("least_bed",),
    _shapes: ("shapes",),
    proof_figures: ("sure", "hand", "as_built", "flood_test"),
    _said: ("findings", "needs"),
}


def _bound(end: Bound) -> Figures:
    place = {} if end.spot is None else lengths(end.spot, "x", "y")
    return {**lengths(end, "height", "above_rough", "drop"), "decided_by": end.by.value, **place}


def _finding(finding: Finding, answer: Answer) -> Figures:
    return {
        "rule": finding.rule,
        "level": finding.level.value,
        **plain(finding, "says", "remedy", "source"),
        **({} if finding.x is None else lengths(finding, "x", "y")),
        **({} if finding.key is None else {"key": finding.key}),
        **remedy_figures(answer),
    }
