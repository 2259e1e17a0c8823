"""Channels in the way of a wall: moved as they lie, or cut to what fits between the walls."""

from collections.abc import Iterable, Sequence

import numpy as np
import shapely

from ..bed.flange import Flange
from ..job.model import BedShape
from ..limits.findings import Finding
from ..phrases import phrase
from ..quantities import Dimension, parse, round_up
from ..survey.outline import FloorOutline
from ..survey.spot import Needs
from ..types import Array
from .nearest import BESIDE, Lattice, Look, nearest
from .regions import MARGIN, apart, clear_places
from .remedy import Change, Idea, Ideas
from .shapes import lengthen_channel, rounded_to
from .trials import NOISE, Trials

_TRIES = 2  # places that are planned


def move_channel(trials: Trials, finding: Finding) -> Ideas:
    """A channel moved, as long as it is and as it lies, to the nearest place where it stands clear on the floor."""
    found = _channel(trials, finding)
    if found is not None:
        yield from channel_moves(trials, *found)


def channel_moves(trials: Trials, number: int, floor: FloorOutline, flange: Flange) -> Ideas:
    """A channel's shortest moves to where it stands clear on the floor, as it lies, then with its ends moved out."""
    lattice = Lattice(flange.centre, np.eye(2), trials.step)
    margin = MARGIN if trials.job.bed.shape is BedShape.LEVEL_WALLS else -BESIDE  # else it may touch walls
    others = () if isinstance(trials.flanges, Needs) else trials.flanges
    clear = apart(flange, (*others[:number], *others[number + 1 :]), trials.step)
    region = clear_places(floor, flange, margin=margin)
    pairs = nearest(lattice, region, clear, Look(flange.centre, np.inf, _TRIES, 0)).pairs
    yield from _and_longer(trials, number, [_moved(trials, number, flange, by) for by in pairs * trials.step])


def _and_longer(trials: Trials, number: int, ideas: Sequence[Idea], most: float = np.inf) -> Ideas:
    """Each, and then those that leave a flat at the channel's ends with these moved out, by less than that [mm]."""
    yield from ideas
    for idea in ideas:
        after = trials.after(idea.change)
        found = after.plan.findings if after else ()
        shorts = [short for short in found if short.rule == "channel-short" and number in (short.drains or (0,))]
        for longer in lengthen_channel(after, shorts[0]) if after and shorts else ():
            if (longer.figure or 0.0) >= most:
                continue
            flanges = trials.flanges
            own = () if isinstance(flanges, Needs) else _ends(trials, number, flanges[number].ends)
            ends = dict((*own, *idea.change, *longer.change))
            says = phrase(
                "lay {channel} from {start} to {end}: there it stands clear on the floor, and no flat is left at its "
                "ends",
                channel=_name(trials, number),
                **dict(zip(("start", "end"), ends.values(), strict=True)),
            )
            yield Idea(says, tuple(ends.items()), idea.figure)


def _moved(trials: Trials, number: int, flange: Flange, by: Array) -> Idea:
    far = float(np.hypot(*by))
    return Idea(
        phrase(
            "move {channel} by {far}, as it lies: there it stands clear on the floor",
            channel=_name(trials, number),
            far=trials.text(round_up(far, trials.step)),
        ),
        _ends(trials, number, list(flange.ends + by)),
        far,
    )


def cut_channel(trials: Trials, finding: Finding) -> Ideas:
    """A channel cut to the longest piece of its own line on which it stands clear on the floor."""
    found = _channel(trials, finding)
    if found is None:
        return
    number, floor, flange = found
    ends = _clear_stretch(floor, flange)
    if ends is None:
        return
    step = trials.step
    ideas = []
    for spare in (0.0, step, 2 * step):  # ends at a slanted wall need some, for their places are whole steps
        places: list[Array | None] = [None, None]  # an end that is clear stays
        for i, way in enumerate((1.0, -1.0)):
            if flange.length / 2 + way * ends[i] > NOISE:
                at = flange.centre + (ends[i] + way * spare) * flange.axis
                places[i] = rounded_to(at, way * flange.axis, step)
        long = float(np.hypot(*np.subtract(*(flange.ends[i] if at is None else at for i, at in enumerate(places)))))
        ideas += [_cut(trials, number, flange.length - long, places)] if flange.size < long < flange.length else []
    yield from _and_longer(trials, number, ideas, flange.length - (ends[1] - ends[0]))


def _cut(trials: Trials, number: int, by: float, places: "Sequence[Array | None]") -> Idea:
    return Idea(
        phrase(
            "make {channel} {by} shorter, as long as there is floor on its line",
            channel=_name(trials, number),
            by=trials.text(round_up(by, trials.step)),
        ),
        _ends(trials, number, places),
        by,
    )


def _ends(trials: Trials, number: int, places: "Iterable[Array | None]") -> Change:
    ends = zip(("from", "to"), places, strict=True)
    return tuple((f"drains[{number}].{end}", _point(trials, place)) for end, place in ends if place is not None)


def _clear_stretch(floor: FloorOutline, flange: Flange) -> tuple[float, float] | None:
    free = [(-flange.length / 2, flange.length / 2)]
    for side in (-1.0, 0.0, 1.0):
        across = flange.centre + side * flange.half * flange.frame[1]
        line = shapely.linestrings([across + along * flange.axis for along in free[0][:1] + free[-1][1:]])
        parts = shapely.get_parts(shapely.intersection(line, floor.polygon))
        spans = [
            np.sort((shapely.get_coordinates(part) - flange.centre) @ flange.axis)
            for part in parts[~shapely.is_empty(parts)]
        ]
        free = [
            (low, high)
            for first, last in free
            for span in spans
            if (low := max(first, float(span[0]))) < (high := min(last, float(span[-1])))
        ]
        if not free:
            return None
    return max(free, key=lambda stretch: round(stretch[1] - stretch[0], 6))


def _channel(trials: Trials, finding: Finding) -> tuple[int, FloorOutline, Flange] | None:
    floor, flanges = trials.plan.outline, trials.flanges
    number = (finding.drains or (0,))[0]
    if isinstance(floor, Needs) or isinstance(flanges, Needs) or number >= len(flanges):
        return None
    return (number, floor, flanges[number]) if flanges[number].is_channel else None


def _name(trials: Trials, number: int) -> str:
    return phrase("the channel") if len(trials.job.drains) == 1 else phrase("drain {number}", number=number + 1)


def _point(trials: Trials, place: Array) -> str:
    return "x {}, y {}".format(*(_told(trials, value) for value in place.tolist()))


def _told(trials: Trials, value: float) -> str:
    """A length [mm] as it is where the job file's words tell it so, else on the step."""
    text = trials.text(value)
    is_told = abs(parse(text, Dimension.LENGTH, trials.units) - value) < NOISE
    return text if is_told else trials.nearest(value)
