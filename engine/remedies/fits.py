"""Which shapes of bed can meet both the least and the most fall in this room, and how true they must be built."""

from collections.abc import Iterator

from ..bed.surfaces import Bed, NoBed, beds_of
from ..job.model import BedShape
from ..limits.checks.case import is_above, is_below
from ..limits.rulebook import Limit
from ..limits.words import fall_over, fall_under, length_over, limit_fall
from ..phrases import phrase
from ..plan import Plan
from ..quantities import round_down
from ..records import record
from ..survey.spot import Needs
from .remedy import Change
from .shapes import NAMES, channel_ideas
from .trials import Trials

_NAMES = NAMES | {BedShape.PLANE: phrase("one plane to a channel")}
_HINDERS = ("plane-blocked", "channel-short", "flange-over-wall", "drain-outside")


@record
class Fit:
    """How a shape of bed fares in this room at the least fall.

    says: how true it must be built to meet both limits, or why it cannot; run: its longest [mm]; least_fall, most_fall
    [-]; too_high, too_low: how far its walls, or else the far end of its longest run, may be off before a limit breaks
    [mm], None where one does as planned. Of a shape that no bed was found of all figures are None.
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
    """Each shape planned in this room: with the drain where it is, and with a channel in its stead.

    Empty before the room and the drain are known, and where the rulebook leaves room enough.
    """
    most = plan.rulebook.most_fall
    if most is None or not plan.rulebook.is_tight or isinstance(plan.outline, Needs) or isinstance(plan.bed, Needs):
        return ()
    return tuple(_fits(Trials(plan), (plan.rulebook.least_fall, most)))


def _fits(trials: Trials, limits: tuple[Limit, Limit]) -> Iterator[Fit]:
    for shape in (BedShape.LEVEL_WALLS, BedShape.EVEN_FALL, BedShape.PLANE):
        for change in _changes(trials, shape, limits[0]):
            found = trials.planned(change)
            if found is None or isinstance(found.bed, NoBed):
                continue
            if not any(finding.rule in _HINDERS for finding in found.findings):
                yield _fit(trials, shape, found.bed, limits)
                break
        else:
            none = phrase("{shape}: none was found for this room, though one may exist", shape=_NAMES[shape])
            yield Fit(shape, meets=False, says=none)


def _changes(trials: Trials, shape: BedShape, least: Limit) -> Iterator[Change]:
    fall = (("bed.fall", least.text), *trials.no_own_height)
    yield (("bed.shape", shape.value), *fall)
    if shape is BedShape.PLANE:
        yield from ((*idea.change, *fall) for idea in channel_ideas(trials))


def _fit(trials: Trials, shape: BedShape, bed: Bed, limits: tuple[Limit, Limit]) -> Fit:
    least, most = limits
    meets = not is_below(bed.least_fall, least.value) and not is_above(bed.most_fall, most.value)
    off = _off(bed, least.value, most.value)
    says = _can(trials, shape, bed.longest_run, off) if meets else _cannot(trials, shape, bed, limits)
    return Fit(shape, meets, says, bed.longest_run, bed.least_fall, bed.most_fall, *(off if meets else ()))


def _off(bed: Bed, least: float, most: float) -> tuple[float, float]:
    if bed.shape is BedShape.LEVEL_WALLS:  # in all lines the fall goes with the walls' height
        high = min(part.wall_height * (most / part.most_fall - 1) for part in beds_of(bed))
        low = min(part.wall_height * (1 - least / part.least_fall) for part in beds_of(bed))
    else:
        high, low = (fall * bed.longest_run for fall in (most - bed.most_fall, bed.least_fall - least))
    return max(0.0, high), max(0.0, low)


def _cannot(trials: Trials, shape: BedShape, bed: Bed, limits: tuple[Limit, Limit]) -> str:
    (least, most), units = limits, trials.units
    found = phrase(
        "from {least} to {most}", least=fall_under(bed.least_fall, units), most=fall_over(bed.most_fall, units)
    )
    if is_above(most.value, least.value):
        allowed = phrase("between {least} and {most}", least=limit_fall(least, units), most=limit_fall(most, units))
    else:
        allowed = phrase("{fall} everywhere, at once the least and the most", fall=limit_fall(most, units))
    return phrase(
        "{shape} cannot with the drain there: the falls are {found}, and the limits want {allowed}",
        shape=_NAMES[shape],
        found=found,
        allowed=allowed,
    )


def _can(trials: Trials, shape: BedShape, run: float, off: tuple[float, float]) -> str:
    units, step = trials.units, trials.step
    high, low = off
    parts = {"shape": _NAMES[shape], "at": phrase("over its longest run of {run}", run=length_over(run, units))}
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
