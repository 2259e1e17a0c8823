"""Which figures are the user's own, what each stands for, and how to go back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.job.rule_figures import Figure
from engine.limits.checks.case import NOISE, RELATIVE_NOISE
from engine.limits.findings import Finding, Level
from engine.limits.rulebook import Origin
from engine.limits.words import figure_words, limit_length
from engine.phrases import phrase
from engine.quantities import format_length

if TYPE_CHECKING:
    from collections.abc import Iterator

    from engine.limits.checks.case import Case
    from engine.limits.rulebook import Limit

UNJUDGED = frozenset(  # what rulebooks and practice name, and no rule here looks at
    (
        Figure.BED_FALL_LEAST,
        Figure.LINER_FALL_LEAST,
        Figure.ROSE_REACH,
        Figure.SUNK_MOST,
        Figure.OUTLET_LEAST,
        Figure.OUTLET_USUAL,
        Figure.DRAINS_APART_MOST,
        Figure.DRAIN_TO_WALL_MOST,
        Figure.DRAIN_DEPTH_USUAL,
        Figure.SAND_LEAST,
        Figure.SAND_MOST,
        Figure.SAND_CURLS,
        Figure.MOSAIC_AREA,
    )
)


def check_own_figures(case: Case) -> Iterator[Finding]:
    """Notes own-figure: which limits and heights are the user's own and not the rulebook's."""
    own = case.job.bed
    if own.least_depth is not None or own.most_depth is not None:
        limits = case.depth_limits
        yield from _own_limit(case, limits.least, "bed.least_depth")
        yield from _own_limit(case, limits.most, "bed.most_depth")
    if own.wall_height is not None:
        shown = format_length(own.wall_height.value, case.units)
        instead = phrase("not computed from the fall")
        yield _own(phrase("the wall height of {height}", height=shown), instead, "bed.wall_height")
    for figure, limit in case.book.own.items():
        if not _same(limit):
            yield _own_figure(case, figure, limit)


def _own_limit(case: Case, limit: Limit | None, key: str) -> Iterator[Finding]:
    if limit and limit.origin is Origin.OWN and not _same(limit):
        what = phrase(
            "the least depth of {limit}" if key == "bed.least_depth" else "the most depth of {limit}",
            limit=limit_length(limit, case.units),
        )
        replaced = limit.replaces and limit_length(limit.replaces, case.units)
        yield _own(what, _instead(limit, replaced or ""), key)


def _own_figure(case: Case, figure: Figure, limit: Limit) -> Finding:
    what = phrase("the {words}, {limit},", words=figure.words, limit=figure_words(figure, limit, case.units))
    replaced = "" if limit.replaces is None else figure_words(figure, limit.replaces, case.units)
    instead = _instead(limit, replaced)
    if figure in UNJUDGED:
        instead = phrase("{instead}; no rule of this plan looks at it", instead=instead)
    return _own(what, instead, f"figures.{figure.key}")


def _same(limit: Limit) -> bool:
    """Whether it is the rulebook's very figure."""
    if limit.replaces is None:
        return False
    apart = abs(limit.value - limit.replaces.value)
    return apart <= min(NOISE, RELATIVE_NOISE * abs(limit.replaces.value))


def _instead(limit: Limit, replaced: str) -> str:
    if limit.replaces is None:
        return phrase("where the rulebook has none")
    return phrase("not the rulebook's {figure} ({source})", figure=replaced, source=limit.replaces.cited)


def _own(what: str, instead: str, key: str) -> Finding:
    return Finding(
        rule="own-figure",
        level=Level.NOTE,
        says=phrase("{what} is your own figure, {instead}", what=what, instead=instead),
        remedy=phrase("leave {key} out to go back", key=key),
        source=phrase("your own figure"),
        key=key,
        change=((key, ""),),
    )
