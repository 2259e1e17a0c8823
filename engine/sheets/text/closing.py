"""The end of the plan as text: which figures are the user's own, what figures mean, what can hurt someone."""

from __future__ import annotations

from collections.abc import Iterator
from math import isclose

from engine.job.model import Typed
from engine.limits.rulebook import Figure, Limit, default_fall
from engine.limits.words import figure_words
from engine.phrases import phrase
from engine.plan import Plan
from engine.quantities import Units, format_fall, format_length
from engine.sheets.standing_words import MEANINGS, standing_cautions
from engine.sheets.words import entry, heading, item


def own_figures(plan: Plan) -> Iterator[str]:
    """The user's own figures, as typed."""
    own = list(own_rows(plan))
    if own:
        yield from heading("Your own figures, in place of the rulebook's or of reckoned ones")
        for name, figure in own:
            yield from entry(name, figure)


def own_rows(plan: Plan) -> Iterator[tuple[str, str]]:
    """The user's own figures in place of the rulebook's or of reckoned ones: name and figure."""
    bed, units = plan.job.bed, plan.job.units
    if bed.fall is not None and not isclose(bed.fall.value, default_fall(plan.rulebook)):
        yield "Fall", _as_typed(format_fall(bed.fall.value, units), bed.fall)
    for name, typed in (
        ("Least depth", bed.least_depth),
        ("Most depth", bed.most_depth),
        ("Wall height", bed.wall_height),
    ):
        if typed is not None:
            yield name, _as_typed(format_length(typed.value, units), typed)
    for figure, limit in plan.rulebook.own.items():
        yield figure.words.capitalize(), _in_place(figure, limit, units)


def _in_place(figure: Figure, limit: Limit, units: Units) -> str:
    mine = figure_words(figure, limit, units)
    if limit.replaces is None:
        return phrase("{figure}; the rulebook has none", figure=mine)
    printed = figure_words(figure, limit.replaces, units)
    return phrase("{figure}; the rulebook: {printed}", figure=mine, printed=printed)


def _as_typed(figure: str, typed: Typed) -> str:
    return figure if figure == str(typed.text) else f"{figure} (typed as {typed.text})"


def meanings(_: Plan) -> Iterator[str]:
    """What the figures mean, whatever the job."""
    yield from heading("What the figures mean")
    for meaning in MEANINGS:
        yield from item(meaning)


def cautions(plan: Plan) -> Iterator[str]:
    """What can hurt someone, whatever the job."""
    yield from heading("Take care")
    for caution in standing_cautions(plan.rulebook, plan.job.units):
        yield from item(caution)
