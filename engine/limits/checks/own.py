"""Which figures are the user's own, what each stands for, and how to go back."""

from collections.abc import Mapping
from functools import cache

from ...job.model import BedShape
from ...job.rule_figures import Figure, figure_of
from ...packed import wording
from ...phrases import phrase
from ..rulebook import Limit, Origin
from ..words import figure_words
from .case import NOISE, RELATIVE_NOISE, Case, Finding, Findings, Level


@cache
def told_only() -> Mapping[Figure, str]:
    """The figures that no rule or reckoning goes by, and where they stand instead."""
    return {figure_of(key): words for key, words in wording("told").items()}


def check_own_figures(case: Case) -> Findings:
    """Notes own-figure: which limits and heights are the user's, not the rulebook's."""
    own = case.job.bed
    if own.least_depth is not None or own.most_depth is not None:
        limits = case.depth_limits
        yield from _own_limit(case, limits.least, phrase("least depth"), "bed.least_depth")
        yield from _own_limit(case, limits.most, phrase("most depth"), "bed.most_depth")
    if own.wall_height is not None:
        level = own.shape in (None, BedShape.LEVEL_WALLS)
        instead = phrase(
            "not computed from the fall" if level else "which only level walls take: this bed does not use it"
        )
        yield _own_height(phrase("wall height"), case.length(own.wall_height.value), instead, "bed.wall_height")
    for figure, limit in case.book.own.items():
        if not _same(limit):
            yield _own_figure(case, figure, limit)


def _own_limit(case: Case, limit: Limit | None, figure: str, key: str) -> Findings:
    if limit and limit.origin is Origin.OWN and not _same(limit):
        replaced = limit.replaces and case.limit(limit.replaces)
        yield _own_height(figure, case.limit(limit), _instead(limit, replaced or ""), key)


def _own_height(figure: str, limit: str, instead: str, key: str) -> Finding:
    return _own(phrase("the {figure} of {limit}", figure=figure, limit=limit), figure, instead, key)


def _own_figure(case: Case, figure: Figure, limit: Limit) -> Finding:
    what = phrase("the {words}, {limit},", words=figure.words, limit=figure_words(figure, limit, case.units))
    replaced = "" if limit.replaces is None else figure_words(figure, limit.replaces, case.units)
    instead = _instead(limit, replaced)
    if told := told_only().get(figure):
        instead = phrase("{instead}; {told}", instead=instead, told=told)
    return _own(what, figure.words, instead, f"figures.{figure.key}")


def _same(limit: Limit) -> bool:
    if limit.replaces is None:
        return False
    apart = abs(limit.value - limit.replaces.value)
    return apart <= min(NOISE, RELATIVE_NOISE * abs(limit.replaces.value))


def _instead(limit: Limit, replaced: str) -> str:
    if limit.replaces is None:
        return phrase("where the rulebook has none")
    return phrase("not the rulebook's {figure} ({source})", figure=replaced, source=limit.replaces.cited)


def _own(what: str, figure: str, instead: str, key: str) -> Finding:
    return Finding(
        "own-figure",
        Level.NOTE,
        says=phrase("{what} is your own figure, {instead}", what=what, instead=instead),
        remedy=phrase("to go back, leave out the {figure}", figure=figure),
        source=phrase("your own figure"),
        key=key,
        change=((key, ""),),
    )
