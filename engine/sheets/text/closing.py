"""The end of the plan as text: own figures, what figures mean, what can hurt someone.

Sources: silica, 29 CFR 1926.1153; lifting, NIOSH; fall, 1/4 in per 12 in = 1:48.
"""

from collections.abc import Iterator
from itertools import starmap
from math import isclose

from ...job.model import Typed
from ...limits.rulebook import Figure, Limit, Origin, Rulebook, default_fall
from ...limits.words import figure_words
from ...packed import wording
from ...phrases import phrase
from ...plan import Plan
from ...quantities import POUND, Units, format_fall, format_length, format_mass
from ..words import Row, heading, item, section

_NIOSH = 51 * POUND  # [kg]
_CEMENT = 94 * POUND  # [kg] a bag


def own_figures(plan: Plan) -> Iterator[str]:
    """The user's own figures, as typed."""
    return section("Your own figures, in place of the rulebook's or of reckoned ones", starmap(Row, own_rows(plan)))


def own_rows(plan: Plan) -> Iterator[tuple[str, str]]:
    """The user's own figures for the rulebook's or reckoned ones: name and figure."""
    bed, units = plan.job.bed, plan.units
    if bed.fall is not None and not isclose(bed.fall.value, default_fall(plan.rulebook)):
        yield "Fall", _as_typed(format_fall(bed.fall.value, units), bed.fall)
    own = {"Least depth": bed.least_depth, "Most depth": bed.most_depth, "Wall height": bed.wall_height}
    for name, typed in own.items():
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
    for meaning in wording("meanings").values():
        yield from item(meaning)


def cautions(plan: Plan) -> Iterator[str]:
    """What can hurt someone, whatever the job."""
    yield from heading("Take care")
    for caution in standing_cautions(plan.rulebook, plan.units):
        yield from item(caution)


def standing_cautions(book: Rulebook, units: Units) -> tuple[str, ...]:
    """What can hurt someone on any floor; one person's lift is the job's, if any."""
    return (*wording("care").values(), _lifting(book, units))


def _lifting(book: Rulebook, units: Units) -> str:
    limit = book.find(Figure.LIFT_MOST)
    most = _NIOSH if limit is None or limit.origin is not Origin.OWN else limit.value
    told = "51 lb (23 kg)" if most == _NIOSH else format_mass(most, units)
    source = "NIOSH" if limit is None or most == _NIOSH else limit.cited
    bag = f"A 94 lb bag of cement is {'over it' if most < _CEMENT else 'not over it'}."
    return f"Lifting: over {told} is too much for one person ({source}). {bag}"
