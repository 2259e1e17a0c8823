"""Depth: the bed neither under the floor, nor too thin, nor too thick."""

from ...bed.depth import Depth
from ...job.defaults import has_bond_coat, has_liner, upper_bed
from ...job.model import FloorKind
from ...phrases import joined, phrase
from ...quantities import round_down, round_up
from ...records import record
from ..depth_limits import is_bonded
from ..findings import Change
from ..rulebook import Figure, Limit, Origin
from ..words import enough, fine
from .case import NOISE, Case, Finding, Findings, Level
from .curb import too_high, too_low


def check_depths(case: Case, depth: Depth) -> Findings:
    """Findings bed-below-floor, bed-thin and bed-thick."""
    limits = case.depth_limits
    least, most = limits.least, limits.most
    if depth.least.value < -NOISE:
        yield _below_floor(case, depth, least)
    if least and depth.least.value < least.value - NOISE:
        yield _thin(case, depth, least, _why(least, limits.because))
    if most and depth.most.value > most.value + NOISE:
        yield _thick(case, depth, most, _why(most, limits.because))


def check_bond(case: Case, depth: Depth) -> Findings:
    """Finding bond-unsure: a bed right on concrete, thin if it lets go, without a bond coat."""
    limit = case.book.find(Figure.UNBONDED_LEAST)
    spot = depth.least
    sure = has_bond_coat(case.job) or not is_bonded(case.job)
    if sure or limit is None or not -NOISE <= spot.value < limit.value - NOISE:
        return
    yield Finding(
        "bond-unsure",
        Level.CAUTION,
        says=phrase(
            "the bed is {depth} deep {place}; under {limit} it must hold on to the concrete, and no bond coat "
            "is planned",
            depth=case.under(spot.value),
            place=case.at(spot),
            limit=case.limit(limit),
        ),
        remedy=phrase(
            "butter the wetted slab with a bond coat, or make the bed {more} thicker",
            more=case.worked(limit.value - spot.value),
        ),
        source=limit.cited,
        x=spot.x,
        y=spot.y,
        key="floor.bond_coat",
        change=(("floor.bond_coat", "true"),),
    )


def check_upper_bed(case: Case) -> Findings:
    """Finding upper-bed-thin, where a liner lies between two beds."""
    limit = case.book.find(Figure.UPPER_BED_LEAST)
    planned = upper_bed(case.job)
    if not has_liner(case.job) or limit is None or planned >= limit.value - NOISE:
        return
    yield limit.broken(
        "upper-bed-thin",
        says=phrase(
            "the bed over the liner is {planned}, less than {limit}",
            planned=case.under(planned),
            limit=case.limit(limit),
        ),
        remedy=phrase("make it {more} thicker", more=case.worked(limit.value - planned)),
        key="build.upper_bed",
        change=(("build.upper_bed", limit.text),),
    )


def _below_floor(case: Case, depth: Depth, least: Limit | None) -> Finding:
    spot = depth.least
    remedy, change = _raise_or_grind(case, depth, (least.value if least else 0.0) - spot.value)
    enough_for = phrase(", which also gives the least depth") if least else ""
    says = phrase(
        "the bed lies {depth} under the rough floor {place}", depth=case.over(-spot.value), place=case.at(spot)
    )
    remedy, source = joined("", (remedy, enough_for)), phrase("geometry: there is no room for a bed")
    return Finding("bed-below-floor", Level.STOP, says, remedy, source, spot.x, spot.y, "drains[0].drop", change)


def _thin(case: Case, depth: Depth, least: Limit, because: str) -> Finding:
    spot = depth.least
    short = least.value - spot.value
    remedy, change = _raise_or_grind(case, depth, short)
    return least.broken(
        "bed-thin",
        says=phrase(
            "the bed {as_deep} {place}, {short} less than {least}{because}",
            as_deep=phrase("has no depth at all")
            if spot.value < 0
            else phrase("is {depth} deep", depth=case.under(spot.value)),
            place=case.at(spot),
            short=case.worked(short),
            least=case.limit(least),
            because=because,
        ),
        remedy=remedy,
        spot=spot,
        key="drains[0].drop",
        change=change,
    )


def _why(limit: Limit, because: str) -> str:
    return joined(": ", ("", because)) if because and limit.origin is not Origin.OWN else ""


def _raise_or_grind(case: Case, depth: Depth, short: float) -> tuple[str, Change]:
    by = case.worked(short)
    is_wood = case.job.floor.kind is FloorKind.WOOD
    grind = phrase(
        "have a carpenter bring the high spot down by {by}" if is_wood else "grind the high spot by {by}", by=by
    )
    move = raised(case, depth, enough(short, case.units))
    if move.spoils:
        return phrase("{grind} (raising the drain by {by} would {spoil})", grind=grind, by=by, spoil=move.spoils), ()
    return phrase("raise the drain by {by}, or {grind}", by=by, grind=grind), move.change


def _thick(case: Case, depth: Depth, most: Limit, because: str) -> Finding:
    spot = depth.most
    over = spot.value - most.value
    remedy, key, change = _lower_or_fill(case, depth, over)
    allow = phrase(
        "or allow {depth} as your own most depth if the specifier calls for more", depth=case.worked(spot.value)
    )
    return most.broken(
        "bed-thick",
        says=phrase(
            "the bed is {depth} deep {place}, {over} more than {most}{because}",
            depth=case.over(spot.value),
            place=case.at(spot),
            over=case.worked(over),
            most=case.limit(most),
            because=because,
        ),
        remedy=joined(", ", (remedy, allow)),
        spot=spot,
        key=key,
        change=change,
    )


def _lower_or_fill(case: Case, depth: Depth, over: float) -> tuple[str, str, Change]:
    by = case.worked(over)
    is_wood = case.job.floor.kind is FloorKind.WOOD
    fill = phrase(
        "have a carpenter pack the low spot up by {by}"
        if is_wood
        else "fill the low spot by {by} and let it set first",
        by=by,
    )
    move = lowered(case, depth, enough(over, case.units))
    if move.spoils:
        says = phrase("{fill} (lowering the drain by {by} would {spoil})", fill=fill, by=by, spoil=move.spoils)
        return says, "bed.most_depth", ()
    return phrase("lower the drain by {by}, or {fill}", by=by, fill=fill), "drains[0].drop", move.change


@record
class Move:
    """The entries that move every drain, none where a height is not entered; what that would break."""

    change: Change
    spoils: str = ""


def raised(case: Case, depth: Depth, by: float) -> Move:
    """All drains raised by at least `by` [mm], up to one fine step more."""
    most = case.depth_limits.most
    by_most = _goes(case, -by)
    if most and depth.most.value + by_most > most.value + NOISE and depth.most.value <= most.value + NOISE:
        return Move((), phrase("make the bed too thick elsewhere"))
    if too_low(case) <= NOISE < too_low(case) + by_most:
        return Move((), phrase("leave the curb too low"))
    return Move(_drops(case, -by))


def lowered(case: Case, depth: Depth, by: float) -> Move:
    """All drains lowered, likewise."""
    least = case.depth_limits.least
    floor = least.value if least else 0.0
    if depth.least.value - _goes(case, by) < floor - NOISE:
        return Move((), phrase("make the bed too thin elsewhere"))
    high = too_high(case, depth.gap.bed)
    if high <= NOISE < high + _goes(case, by):
        return Move((), phrase("leave the curb too high"))
    return Move(_drops(case, by))


def _goes(case: Case, by: float) -> float:
    """How far drains that are to go so far go at most as entered [mm]."""
    drops = [drain.drop.value for drain in case.job.drains if drain.drop is not None]
    return max((abs(_entered(case, drop, by) - drop) for drop in drops), default=abs(by))


def _entered(case: Case, drop: float, by: float) -> float:
    return (round_down if by < 0 else round_up)(drop + by, fine(case.units))


def _drops(case: Case, by: float) -> Change:
    """The drops to enter, so rounded that each drain moves that far or more; open ones go along."""
    drops = [drain.drop for drain in case.job.drains]
    if any(drop is not None and drop.value + by <= 0 for drop in drops):
        return ()
    return tuple(
        (f"drains[{i}].drop", case.length(_entered(case, drop.value, by)))
        for i, drop in enumerate(drops)
        if drop is not None
    )
