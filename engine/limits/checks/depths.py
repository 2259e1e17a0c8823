"""Depth: the bed neither under the floor, nor too thin, nor too thick; and which figures are the user's."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.job.defaults import has_bond_coat, upper_bed, waterproofing
from engine.job.model import Waterproofing
from engine.limits.checks.case import NOISE
from engine.limits.checks.drain_moves import lowered, raised
from engine.limits.depth_limits import is_bonded
from engine.limits.findings import Finding, Level
from engine.limits.rulebook import Figure, Origin
from engine.limits.words import enough, length_over, length_under, limit_length, worked
from engine.quantities import format_length

if TYPE_CHECKING:
    from collections.abc import Iterator

    from engine.bed.depth import Depth
    from engine.limits.checks.case import Case
    from engine.limits.rulebook import Limit
    from engine.survey.spot import Spot


def check_depths(case: Case, depth: Depth) -> Iterator[Finding]:
    """Findings bed-below-floor, bed-thin and bed-thick."""
    limits = case.depth_limits
    least, most = limits.least, limits.most
    if depth.least.value < -NOISE:
        yield _below_floor(case, depth, least)
    if least and depth.least.value < least.value - NOISE:
        yield _thin(case, depth, least, _why(least, limits.because))
    if most and depth.most.value > most.value + NOISE:
        yield _thick(case, depth, most, _why(most, limits.because))


def check_bond(case: Case, depth: Depth) -> Iterator[Finding]:
    """Finding bond-unsure: a bed right on concrete that is thin for one that may let go, and no bond coat planned."""
    limit = case.book.find(Figure.UNBONDED_LEAST)
    spot = depth.least
    sure = has_bond_coat(case.job) or not is_bonded(case.job)
    if sure or limit is None or spot.value >= limit.value - NOISE:
        return
    yield Finding(
        rule="bond-unsure",
        level=Level.CAUTION,
        says=f"the bed is {length_under(spot.value, case.units)} deep {case.at(spot)}; under "
        f"{limit_length(limit, case.units)} it must hold on to the concrete, and no bond coat is planned",
        remedy=f"butter the wetted slab with a bond coat, or make the bed "
        f"{worked(limit.value - spot.value, case.units)} thicker",
        source=limit.cited,
        x=spot.x,
        y=spot.y,
        key="floor.bond_coat",
        change=(("floor.bond_coat", "true"),),
    )


def check_upper_bed(case: Case) -> Iterator[Finding]:
    """Finding upper-bed-thin, where a liner lies between two beds."""
    limit = case.book.find(Figure.UPPER_BED_LEAST)
    planned = upper_bed(case.job)
    between = waterproofing(case.job) is Waterproofing.BETWEEN_BEDS
    if not between or limit is None or planned >= limit.value - NOISE:
        return
    yield Finding(
        rule="upper-bed-thin",
        level=limit.level,
        says=f"the bed over the liner is {length_under(planned, case.units)}, less than "
        f"{limit_length(limit, case.units)}",
        remedy=f"make it {worked(limit.value - planned, case.units)} thicker",
        source=limit.cited,
        key="build.upper_bed",
        change=(("build.upper_bed", limit.text),),
    )


def check_own_figures(case: Case) -> Iterator[Finding]:
    """Notes own-figure: which limits and heights are the user's own and not the rulebook's."""
    own = case.job.bed
    if own.least_depth is not None or own.most_depth is not None:
        limits = case.depth_limits
        yield from _own_limit(case, "least depth", "bed.least_depth", limits.least)
        yield from _own_limit(case, "most depth", "bed.most_depth", limits.most)
    if own.wall_height is not None:
        shown = format_length(own.wall_height.value, case.units)
        yield _own(f"the wall height of {shown}", "not computed from the fall", "bed.wall_height")


def _own_limit(case: Case, words: str, key: str, limit: Limit | None) -> Iterator[Finding]:
    if limit and limit.origin is Origin.OWN and not _same(limit):
        yield _own(f"the {words} of {limit_length(limit, case.units)}", _instead(case, limit), key)


def _same(limit: Limit) -> bool:
    return limit.replaces is not None and abs(limit.value - limit.replaces.value) <= NOISE


def _instead(case: Case, limit: Limit) -> str:
    if limit.replaces is None:
        return "where the rulebook has none"
    return f"not the rulebook's {limit_length(limit.replaces, case.units)} ({limit.replaces.cited})"


def _own(what: str, instead: str, key: str) -> Finding:
    return Finding(
        rule="own-figure",
        level=Level.NOTE,
        says=f"{what} is your own figure, {instead}",
        remedy=f"leave {key} out to go back",
        source="your own figure",
        key=key,
        change=((key, ""),),
    )


def _below_floor(case: Case, depth: Depth, least: Limit | None) -> Finding:
    spot = depth.least
    remedy, change = _raise_or_grind(case, depth, (least.value if least else 0.0) - spot.value)
    enough_for = ", which also gives the least depth" if least else ""
    return Finding(
        rule="bed-below-floor",
        level=Level.STOP,
        says=f"the bed lies {length_over(-spot.value, case.units)} under the rough floor {case.at(spot)}",
        remedy=f"{remedy}{enough_for}",
        source="geometry: there is no room for a bed",
        x=spot.x,
        y=spot.y,
        key="drains[0].drop",
        change=change,
    )


def _as_deep(case: Case, spot: Spot) -> str:
    if spot.value < 0:
        return "has no depth at all"
    return f"is {length_under(spot.value, case.units)} deep"


def _thin(case: Case, depth: Depth, least: Limit, because: str) -> Finding:
    spot = depth.least
    short = least.value - spot.value
    remedy, change = _raise_or_grind(case, depth, short)
    return Finding(
        rule="bed-thin",
        level=least.level,
        says=f"the bed {_as_deep(case, spot)} {case.at(spot)}, "
        f"{worked(short, case.units)} less than {limit_length(least, case.units)}{because}",
        remedy=remedy,
        source=least.cited,
        x=spot.x,
        y=spot.y,
        key="drains[0].drop",
        change=change,
    )


def _why(limit: Limit, because: str) -> str:
    return f": {because}" if because and limit.origin is not Origin.OWN else ""


def _raise_or_grind(case: Case, depth: Depth, short: float) -> tuple[str, tuple[tuple[str, str], ...]]:
    """The drain raised by what is short, where nothing else then breaks; or the high spot ground by it."""
    by = worked(short, case.units)
    grind = f"grind the high spot by {by}"
    move = raised(case, depth, enough(short, case.units))
    if move.spoils:
        return f"{grind} (raising the drain by {by} would {move.spoils})", ()
    return f"raise the drain by {by}, or {grind}", move.change


def _thick(case: Case, depth: Depth, most: Limit, because: str) -> Finding:
    spot = depth.most
    over = spot.value - most.value
    remedy, key, change = _lower_or_fill(case, depth, over)
    allow = f"or set bed.most_depth to {worked(spot.value, case.units)} if the specifier calls for more"
    return Finding(
        rule="bed-thick",
        level=most.level,
        says=f"the bed is {length_over(spot.value, case.units)} deep {case.at(spot)}, "
        f"{worked(over, case.units)} more than {limit_length(most, case.units)}{because}",
        remedy=f"{remedy}, {allow}",
        source=most.cited,
        x=spot.x,
        y=spot.y,
        key=key,
        change=change,
    )


def _lower_or_fill(case: Case, depth: Depth, over: float) -> tuple[str, str, tuple[tuple[str, str], ...]]:
    by = worked(over, case.units)
    fill = f"fill the low spot by {by} and let it set first"
    move = lowered(case, depth, enough(over, case.units))
    if move.spoils:
        return f"{fill} (lowering the drain by {by} would {move.spoils})", "bed.most_depth", ()
    return f"lower the drain by {by}, or {fill}", "drains[0].drop", move.change
