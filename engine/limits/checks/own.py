"""Which figures are the user's own, what each stands for, and how to go back."""

from collections.abc import Mapping
from typing import Final

from ...job.model import BedShape
from ...job.rule_figures import Figure
from ...phrases import phrase
from ..rulebook import Limit, Origin
from ..words import figure_words
from .case import NOISE, RELATIVE_NOISE, Case, Finding, Findings, Level

_STEPS = phrase("told in the order of work and judged by no rule")
_IN_FINDING = phrase("told beside what a rule says and judged by none")
TOLD: Final[Mapping[Figure, str]] = {  # figures that no rule and no reckoning goes by, and where they stand instead
    Figure.ROSE_REACH: phrase("judged by no rule: the whole floor is held to the least fall, wherever the rose hangs"),
    Figure.CURB_TOP_FALL: _STEPS,
    Figure.OUTLET_LEAST: _STEPS,
    Figure.OUTLET_USUAL: _STEPS,
    Figure.DRAIN_DEPTH_USUAL: _STEPS,
    Figure.WARM_LEAST: _STEPS,
    Figure.OUT_OF_FLAT_IN_10_FT: phrase(
        "told in the order of work; of the other ways to build it, a receptor's floor is judged by it"
    ),
    Figure.LARGE_FORMAT_EDGE: phrase("told in the order of work: it tells which flatness a bed is checked for"),
    Figure.LARGE_FORMAT_OUT_OF_FLAT_IN_10_FT: _STEPS,
    Figure.LARGE_FORMAT_OUT_OF_FLAT_IN_2_FT: _STEPS,
    Figure.STIFFNESS_CERAMIC: _STEPS,
    Figure.STIFFNESS_STONE: _STEPS,
    Figure.LIVE_LOAD: _STEPS,
    Figure.PAN_TEST_TIME: _STEPS,
    Figure.FLOOD_TIME_MOST: _STEPS,
    Figure.FLOOD_FALL_MOST: _STEPS,
    Figure.FLOOD_WAIT_COLD: _STEPS,
    Figure.LIFT_MOST: phrase("told in the order of work, where a bag is held against it"),
    Figure.THRESHOLD_MOST_TRANSFER: _IN_FINDING,
    Figure.DEAD_LOAD_USUAL: _IN_FINDING,
    Figure.MOSAIC_AREA: _IN_FINDING,
}


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
    if figure in TOLD:
        instead = phrase("{instead}; {told}", instead=instead, told=TOLD[figure])
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
