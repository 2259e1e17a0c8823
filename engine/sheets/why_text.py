"""How a figure came about, as text: formula, figures, source, what each entry does to it."""

import json
import re
from collections.abc import Callable, Sequence
from functools import partial
from itertools import groupby
from typing import Any

from ..errors import harmless
from ..job.entry_list import Entry
from ..phrases import Phrase, counted_phrase, phrase
from ..plan import Plan
from ..quantities import Units
from ..why import Pages, explained, figure_paths
from .derivation import derivation, figure_at
from .figure_list import (
    PlanFigure,
    entries_reading,
    figure_words,
    figures_reading,
    plain_unit,
    plan_figures,
    rules_reading,
)
from .influence import Influence, influences, is_too_long, untried
from .json import plan_json
from .words import below, paragraph

_MOST_ENTRIES = 12
_MOST_ALIKE = 24


def why_text(plan: Plan, figure: str) -> str | None:
    """How a figure came about, in lines of at most 80 characters; None for an unknown name.

    figure: a name for `engine.why.explained`, or as it reads ("1 3/8"): several are listed.
    """
    figures = json.loads(plan_json(plan, is_said=False))  # what clears the findings takes long
    if told := _told(plan, figures, figure):
        return told
    whole = json.loads(plan_json(plan))
    return _told(plan, whole, figure) or _told_by_reading(plan, whole, figure)


def _told_by_reading(plan: Plan, whole: Any, reading: str) -> str | None:
    units = plan.units
    found, typed = figures_reading(whole, reading, units), entries_reading(plan.job, reading)
    if found or typed:
        if len(found) == 1 and not typed:
            return f"{harmless(found[0].name)}\n{_told(plan, whole, found[0].path)}"
        return reading_list(found, typed, units, partial(_title, plan, whole))
    told = [_told(plan, whole, f"figures.{figure.key}") for figure in rules_reading(plan.rulebook, reading, units)]
    return "\n".join(page for page in told if page) or None


def _title(plan: Plan, whole: Any, path: str) -> str:
    pages = explained(plan, path) or _derived(plan, whole, path)
    return "" if pages is None else pages[0]


def _told(plan: Plan, whole: Any, figure: str) -> str | None:
    path = _path(plan, whole, figure)
    pages = explained(plan, path) or explained(plan, figure) or _derived(plan, whole, path)
    if pages is None:
        return None
    title, paragraphs = pages
    lines = [title]
    for heading, text in paragraphs:
        lines += paragraph(f"{heading}: {text}" if heading else text, "  ")
    return "".join(f"{line}\n" for line in (*lines, *_rests(plan, whole, path)))


def _path(plan: Plan, whole: Any, figure: str) -> str:
    asked = figure.strip()
    named = (one.path for one in plan_figures(whole) if one.name == asked)
    paths = (asked, *figure_paths(plan, figure), *named)
    return next((path for path in paths if figure_at(whole, path) is not None), asked)


def _derived(plan: Plan, whole: Any, path: str) -> Pages | None:
    value = figure_at(whole, path)
    found = None if value is None else derivation(plan.job, whole, path)
    if value is None or found is None:
        return None
    here = [("With this job's figures", found.numbers)] if found.numbers else []
    source = [("Source", found.source)] if found.source else []
    told = figure_words(value, path, plan.units)
    return found.title, [("Here", told), ("Formula", found.formula), *here, *source]


def _rests(plan: Plan, whole: Any, path: str) -> list[str]:
    if figure_at(whole, path) is None:
        return []
    first, *rest = rests_on(plan, influences(plan, path), path)
    lines = paragraph(first, "  ")
    for says in rest[:_MOST_ENTRIES]:
        lines += paragraph(says, "  - ", "    ")
    return lines + [line for says in rest[_MOST_ENTRIES:] for line in paragraph(says, "  ")]


def rests_on(plan: Plan, found: Sequence[Influence], path: str, name: Callable[[str], str] = str) -> list[str]:
    """What the entries a figure rests on do to it: an opening sentence, then an entry each.

    name: what a key's entry is called. Of over a dozen the rest are counted.
    """
    if is_too_long(plan):
        return [phrase("What each entry does to it is not told: this job takes too long to plan again and again.")]
    rest: list[str] = []
    if passed := untried(plan):
        told = counted_phrase(
            "One entry was not moved: this job takes long to plan.",
            "{number} entries were not moved: this job takes long to plan.",
            passed,
        )
        rest = [told]
    if not found:
        return [phrase("No entry moved by a small step alone changes it as it is rounded here."), *rest]
    says: list[str] = [phrase("It rests on these entries; each was moved alone, and the job planned again:")]
    says += [_influence(one, path, plan.units, name(one.key)) for one in found[:_MOST_ENTRIES]]
    left = len(found) - _MOST_ENTRIES
    if left > 0:
        rest = [phrase("and, less, on {number} more", number=left), *rest]
    return [*says, *rest]


def _influence(one: Influence, path: str, units: Units, name: str) -> Phrase:
    entry = phrase("{name} = {typed}", name=name, typed=one.typed)
    if not one.is_given:
        entry = phrase("{entry}, taken where it is left out", entry=entry)
    if one.after is None:
        return phrase("{entry}: with {step} more there is no such figure", entry=entry, step=one.step)
    before, after = (figure_words(value, path, units) for value in (one.before, one.after))
    if before == after:
        unit = plain_unit(path)
        before, after = (f"{value:.12g} {unit}".rstrip() for value in (one.before, one.after))
    return phrase(
        "{entry}: with {step} more, {before} becomes {after}", entry=entry, step=one.step, before=before, after=after
    )


def reading_list(found: Sequence[PlanFigure], typed: Sequence[Entry], units: Units, title: Callable[[str], str]) -> str:
    """The entries typed so, then the figures, of a kind that read alike on one line; title: what a path's is."""
    lines = []
    if typed:
        lines += ["Typed, not planned:"]
        lines += [line for entry in typed for line in below(f"{entry.key} = {entry.typed}")]
    if found:
        count = "1 figure reads" if len(found) == 1 else f"{len(found)} figures read"
        lines += paragraph(f"{count} so; ask for one by its name, such as {found[0].path}:")
    alike = groupby(found, lambda one: (re.sub(r"\[\d+\]", "[]", one.path), figure_words(one.value, one.path, units)))
    for (_, words), group in alike:
        lines += _line([*group], words, title)
    return "".join(f"{line}\n" for line in lines)


def _line(figures: Sequence[PlanFigure], words: str, title: Callable[[str], str]) -> list[str]:
    first, *others = figures
    called = "" if first.name == first.path else f" ({first.name})"
    told = f"{first.path}: {title(first.path)}, {words}{called}"
    if others:
        names = ", ".join(one.path.rpartition(".")[0] or one.path for one in others[:_MOST_ALIKE])
        left = len(others) - _MOST_ALIKE
        told += f"; so do {names}" + (f" and {left} more" if left > 0 else "")
    return below(told)
