"""Findings and remedies on the sheets, in words and as plain values."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from ..limits.findings import Finding, Level
from ..phrases import joined, phrase
from ..plan import Plan
from ..survey.place_words import place_words
from .figures import Figures, length, lengths, plain, ratio
from .words import below

if TYPE_CHECKING:
    from ..remedies.fits import Fit
    from ..remedies.remedy import Answer, Remedy

MOST_WAYS = 4  # remedies told under a finding
_LONGER = 8  # times as long as before
LEVEL_WORDS = {Level.STOP: "STOP, do not build this", Level.CAUTION: "CAUTION", Level.NOTE: "NOTE"}


def counts(plan: Plan) -> str:
    """How many findings each level has."""
    found = [(sum(finding.level is level for finding in plan.findings), level.value) for level in Level]
    return ", ".join(f"{count or 'no'} {name}{'' if count == 1 else 's'}" for count, name in found)


def place_of(finding: Finding, plan: Plan) -> str:
    """The finding's place, unless it has none or its words name it."""
    if finding.x is None or finding.y is None or not plan.outline:
        return ""
    where = place_words(finding.x, finding.y, plan.outline, plan.units)
    return "" if where in finding.says else where


def remedy_lines(answer: Answer, patience: float) -> Iterator[str]:
    """What clears a finding, and what cannot; patience: how many times as long as usual was looked [-]."""
    for remedy in answer.remedies[:MOST_WAYS]:
        yield from below(f"Would clear it: {remedy_words(remedy)}")
    for says in answer.ruled_out:
        yield from below(f"Cannot be: {says}")
    if answer.is_open:
        longer = f"--patience {_LONGER * patience:g}"
        yield from below(f"Not all was tried: a longer look ({longer}) may find a smaller change")


def remedy_words(remedy: Remedy, name: Callable[[str], str] = str) -> str:
    """A remedy in words, what else it clears and what stops and cautions it brings; name: what a rule is called."""
    says = remedy.says
    if len(remedy.clears) > 1:
        rules = joined(", ", [name(rule) for rule in remedy.clears[1:]])
        says = phrase("{remedy} (also clears: {rules})", remedy=says, rules=rules)
    if remedy.brings:
        rules = joined(", ", [name(rule) for rule in remedy.brings])
        says = phrase("{remedy} (but it would bring: {rules})", remedy=says, rules=rules)
    if remedy.cautions:
        rules = joined(", ", [name(rule) for rule in remedy.cautions])
        says = phrase("{remedy} (a caution comes with it: {rules})", remedy=says, rules=rules)
    return says


def remedy_figures(answer: Answer) -> Figures:
    """The keys that a finding's remedies add to it."""
    return {
        "remedies": [_remedy(remedy) for remedy in answer.remedies],
        **({"ruled_out": list(answer.ruled_out)} if answer.ruled_out else {}),
        **({"is_open": True} if answer.is_open else {}),
    }


def fit_figures(fit: Fit) -> Figures:
    """How a shape of bed fares in the room, as plain values."""
    return {
        "shape": fit.shape.value,
        **plain(fit, "meets", "says"),
        "longest_run": None if fit.run is None else length(fit.run),
        "least_fall": None if fit.least_fall is None else ratio(fit.least_fall),
        "most_fall": None if fit.most_fall is None else ratio(fit.most_fall),
        **lengths(fit, "too_high", "too_low"),
    }


def _remedy(remedy: Remedy) -> Figures:
    return {
        "says": remedy.says,
        "change": [{"key": key, "text": text} for key, text in remedy.change],
        "figure": None if remedy.figure is None else ratio(remedy.figure),
        "clears": list(remedy.clears),
        "brings": list(remedy.brings),
        **({"cautions": list(remedy.cautions)} if remedy.cautions else {}),
    }
