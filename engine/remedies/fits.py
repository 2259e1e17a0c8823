"""Which shapes of bed can meet both the least and the most fall in a room, and how true they must be built."""

from collections.abc import Iterator
from typing import NamedTuple

from ..bed.surfaces import Bed, beds_of
from ..job.model import BedShape
from ..limits.checks.case import RELATIVE_NOISE, is_above
from ..limits.checks.falls import FINEST_MARKS, held_falls
from ..limits.rulebook import Limit
from ..limits.words import fall_over, fall_under, length_over, limit_fall
from ..phrases import joined, phrase
from ..plan import Plan
from ..quantities import format_length, round_down, round_up
from ..records import record
from ..survey.outline import FloorOutline
from ..survey.spot import Needs
from .places import best_place, no_place_for_falls
from .remedy import Change
from .shapes import NAMES, alone, channel_ideas
from .trials import Trials

_NAMES = NAMES | {BedShape.PLANE: phrase("one plane to a channel")}
_HINDERS = ("plane-blocked", "channel-short", "flange-over-wall", "drain-outside")


@record
class Fit:
    """How a shape of bed fares in this room at the least fall.

    says: how true it must be built to meet both limits, with the drain where, or why it cannot; run: its longest [mm];
    least_fall, most_fall [-]; too_high, too_low: how far its walls, or the far end of its longest run, may be off
    before a limit breaks [mm], None where one does. All are None where no bed was found.
    """

    shape: BedShape
    meets: bool
    says: str
    run: float | None = None
    least_fall: float | None = None
    most_fall: float | None = None
    too_high: float | None = None
    too_low: float | None = None


def fits(plan: Plan) -> tuple[Fit, ...]:
    """Each shape planned in this room: with the drain as it is, and with a channel in its stead.

    None before the room and the drain are known, or where the rulebook leaves room enough.
    """
    most = plan.rulebook.most_fall
    if most is None or not plan.rulebook.is_tight or not plan.outline or isinstance(plan.bed, Needs):
        return ()
    return tuple(_fits(Trials(plan), (plan.rulebook.least_fall, most)))


def _fits(trials: Trials, limits: tuple[Limit, Limit]) -> Iterator[Fit]:
    for shape in (BedShape.LEVEL_WALLS, BedShape.EVEN_FALL, BedShape.PLANE):
        first = None
        for way in _ways(trials, shape, limits):
            fit = _fit(trials, way, limits)
            first = first or fit
            if fit and fit.meets:
                first = fit
                break
        none = phrase("{shape}: none was found for this room, though one may exist", shape=_NAMES[shape])
        yield first or Fit(shape, meets=False, says=none)


class _Way(NamedTuple):
    shape: BedShape
    name: str
    change: Change
    moved: str = ""


def _ways(trials: Trials, shape: BedShape, limits: tuple[Limit, Limit]) -> Iterator[_Way]:
    others = alone(trials)
    fall = (("bed.shape", shape.value), ("bed.fall", limits[0].text), *trials.no_own_height)
    yield (as_is := _Way(shape, _NAMES[shape], fall))
    if shape is BedShape.PLANE:
        name = phrase("one plane to one channel in all drains' stead") if others else as_is.name
        yield from (_Way(shape, name, (*idea.change, *fall)) for idea in channel_ideas(trials))
    if shape is not BedShape.LEVEL_WALLS:
        return
    one = trials.after(others) if others else trials
    best = one and best_place(one)
    if not best or is_above(best[0] * limits[0].value, limits[1].value):
        return
    for step in (trials.step, trials.step / 1000):
        x, y = (format_length(each, trials.units, step) for each in best[1].tolist())
        moved = phrase("one drain at x {x}, y {y}" if others else "the drain moved to x {x}, y {y}", x=x, y=y)
        yield as_is._replace(change=(*others, ("drains[0].at", f"x {x}, y {y}"), *fall), moved=moved)


def _fit(trials: Trials, way: _Way, limits: tuple[Limit, Limit]) -> Fit | None:
    found = trials.planned(way.change)
    bed = None if found is None else found.bed
    if found is None or not bed or any(each.rule in _HINDERS for each in found.findings):
        return None
    high, low = _off(bed, found.outline, limits)
    by, marked = _marked(trials, bed, high, low)
    high, low = high - by, low + by
    if min(high, low) < -RELATIVE_NOISE * bed.wall_height:
        says = _cannot(trials, way.shape, bed, limits)
        return Fit(way.shape, False, says, bed.longest_run, bed.least_fall, bed.most_fall)
    what = joined(phrase(" and "), [each for each in (way.moved, marked) if each])
    name = phrase("{shape} with {what}", shape=way.name, what=what) if what else way.name
    off = max(0.0, high), max(0.0, low)
    says = _can(trials, way.shape, name, bed.longest_run, off)
    return Fit(way.shape, True, says, bed.longest_run, *_falls(bed, by), *off)


def _falls(bed: Bed, by: float) -> tuple[float, float]:
    """The least and the most fall with walls so much higher [mm]: all falls go with them."""
    more = [(part, 1 + by / part.wall_height if by else 1.0) for part in beds_of(bed)]
    return min(part.least_fall * times for part, times in more), max(part.most_fall * times for part, times in more)


def _off(bed: Bed, floor: FloorOutline | Needs, limits: tuple[Limit, Limit]) -> tuple[float, float]:
    """How much higher and lower walls, or the longest run's far end, may be [mm]; below 0: must not."""
    least, most = (limit.value for limit in limits)
    if not bed.has_level_walls:
        return (most - bed.most_fall) * bed.longest_run, (bed.least_fall - least) * bed.longest_run
    held = [(part.wall_height, *held_falls(part, floor)) for part in beds_of(bed)]
    up = min(high * (most / steep - 1) for high, _, steep in held)
    return up, min(high * (1 - least / flat) for high, flat, _ in held)


def _marked(trials: Trials, bed: Bed, high: float, low: float) -> tuple[float, str]:
    """How much higher than on whole marks level walls must be [mm], in words; 0 where those or none will do."""
    noise, units = RELATIVE_NOISE * bed.wall_height, trials.units
    if not bed.has_level_walls or high >= -noise or high + low < -noise:
        return 0.0, ""
    finer = round_up(bed.wall_height - low, FINEST_MARKS[units]) - bed.wall_height
    if finer <= high + noise:
        return finer, phrase("marks to {finer}", finer=trials.text(FINEST_MARKS[units]))
    by = (high - low) / 2
    at = format_length(bed.wall_height + by, units, trials.step / 1000)
    return by, phrase("every mark at exactly {height} over the drain", height=at)


def _cannot(trials: Trials, shape: BedShape, bed: Bed, limits: tuple[Limit, Limit]) -> str:
    (least, most), units = limits, trials.units
    found = phrase(
        "from {least} to {most}", least=fall_under(bed.least_fall, units), most=fall_over(bed.most_fall, units)
    )
    if is_above(most.value, least.value):
        allowed = phrase("between {least} and {most}", least=limit_fall(least, units), most=limit_fall(most, units))
    else:
        allowed = phrase("{fall} everywhere, at once the least and the most", fall=limit_fall(most, units))
    says = phrase(
        "{shape} cannot with the drains there: the falls are {found}, and the limits want {allowed}"
        if alone(trials)
        else "{shape} cannot with the drain there: the falls are {found}, and the limits want {allowed}",
        shape=_NAMES[shape],
        found=found,
        allowed=allowed,
    )
    return joined("; ", [says, *(no_place_for_falls(trials) if shape is BedShape.LEVEL_WALLS else ())])


def _can(trials: Trials, shape: BedShape, name: str, run: float, off: tuple[float, float]) -> str:
    units, step = trials.units, trials.step
    high, low = off
    parts = {"shape": name, "at": phrase("over its longest run of {run}", run=length_over(run, units))}
    if max(high, low) < step:
        planned = trials.plan.rulebook.least_fall.value
        steeper, flatter = (f"1:{1 / (planned + way * step / run):.1f}" for way in (1, -1))
        return phrase(
            "{shape} can, but leaves no tolerance: {at}, {step} too high is {steeper} and {step} too low is {flatter}",
            **parts,
            step=trials.text(step),
            steeper=steeper,
            flatter=flatter,
        )
    return phrase(
        "{shape} can: the walls may stand {high} too high or {low} too low before a limit breaks"
        if shape is BedShape.LEVEL_WALLS
        else "{shape} can: {at} the bed may be {high} too high or {low} too low before a limit breaks",
        **parts,
        high=trials.text(round_down(high, step)),
        low=trials.text(round_down(low, step)),
    )
