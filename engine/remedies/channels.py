"""Channels in the way of a wall: moved as they lie, or cut to what fits between the walls."""

from collections.abc import Iterable, Sequence

import numpy as np
import shapely

from ..bed.flange import Flange
from ..bed.parts import CLEAR
from ..job.model import BedShape
from ..limits.findings import Finding
from ..phrases import phrase
from ..quantities import Dimension, parse, round_up
from ..survey.outline import FloorOutline
from ..types import Array, Shape
from .nearest import BESIDE, Lattice, Look, nearest
from .regions import MARGIN, apart, clear_places
from .remedy import Change, Idea, Ideas
from .shapes import lengthen_channel, rounded_to
from .trials import NOISE, Trials

_TRIES = 2  # places that are planned
_MUD = 0.95  # of a step at least: nearly one of mud is one


def move_channel(trials: Trials, finding: Finding) -> Ideas:
    """A channel moved, as long as it is and as it lies, to the nearest place where it stands clear on the floor."""
    yield from channel_moves(trials, finding, (finding.drains or (0,))[0])


def channel_moves(trials: Trials, finding: Finding, number: int) -> Ideas:
    """A channel's shortest moves to where it stands clear on the floor, as it lies, then with its ends moved out."""
    found = _channel(trials, number)
    if found is None:
        return
    floor, flange = found
    lattice = Lattice(flange.centre, np.eye(2), trials.step)
    margin = MARGIN if trials.job.bed.shape is BedShape.LEVEL_WALLS else -BESIDE  # else it may touch walls
    clear = apart(flange, _others(trials, finding, number), mud_between(trials))
    region = clear_places(floor, flange, margin=margin)
    pairs = nearest(lattice, region, clear, Look(flange.centre, np.inf, _TRIES, 0)).pairs
    yield from _and_longer(trials, number, [_moved(trials, number, flange, by) for by in pairs * trials.step])


def mud_between(trials: Trials) -> float:
    """How much mud is left between two flanges at least [mm]: nearly a step, and room for a ridge."""
    return max(_MUD * trials.step, 2 * CLEAR * (trials.job.bed.shape is BedShape.LEVEL_WALLS))


def _others(trials: Trials, finding: Finding, number: int) -> list[Flange]:
    """The flanges that a drain stays clear of: those that a finding is about, and those that it is clear of now."""
    own = _flanges(trials)[number].polygon
    return [
        other
        for i, other in enumerate(_flanges(trials))
        if i != number and (i in finding.drains or not shapely.intersection(own, other.polygon).area > NOISE)
    ]


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
            own = _ends(trials, number, _flanges(trials)[number].ends)
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
    number = (finding.drains or (0,))[0]
    for floor, flange in filter(None, [_channel(trials, number)]):
        yield from _cuts(trials, number, flange, floor.polygon, phrase("as long as there is floor on its line"))


def cut_apart(trials: Trials, finding: Finding) -> Ideas:
    """A channel that lies on another drain cut to the longest piece that stands clear of it on the floor."""
    why, ideas = phrase("until there is mud between the flanges"), list[Idea]()
    for number in finding.drains:
        for floor, flange in filter(None, [_channel(trials, number)]):
            near = [other.polygon for i, other in enumerate(_flanges(trials)) if i in finding.drains and i != number]
            free = shapely.difference(floor.polygon, shapely.buffer(near[0], mud_between(trials)))
            ideas += _cuts(trials, number, flange, free, why)
    yield from sorted(ideas, key=lambda idea: idea.figure or 0.0)


def _cuts(trials: Trials, number: int, flange: Flange, free: Shape, why: str) -> Ideas:
    """A channel cut to the longest piece of its line that lies on what is free; and why there."""
    low, high = _clear_stretch(flange, free)
    step = trials.step
    ideas = []
    for spare in (0.0, step, 2 * step):  # ends at a slanted wall need some, for their places are whole steps
        places: list[Array | None] = [None, None]  # an end that is clear stays
        for i, (way, end) in enumerate(((1.0, low), (-1.0, high))):
            if flange.length / 2 + way * end > NOISE:
                at = flange.centre + (end + way * spare) * flange.axis
                places[i] = rounded_to(at, way * flange.axis, step)
        long = float(np.hypot(*np.subtract(*(flange.ends[i] if at is None else at for i, at in enumerate(places)))))
        ideas += [_cut(trials, number, flange.length - long, places, why)] * (flange.size < long < flange.length)
    yield from _and_longer(trials, number, ideas, flange.length - (high - low))


def _cut(trials: Trials, number: int, by: float, places: "Sequence[Array | None]", why: str) -> Idea:
    return Idea(
        phrase(
            "make {channel} {by} shorter, {why}",
            channel=_name(trials, number),
            by=trials.text(round_up(by, trials.step)),
            why=why,
        ),
        _ends(trials, number, places),
        by,
    )


def _ends(trials: Trials, number: int, places: "Iterable[Array | None]") -> Change:
    ends = zip(("from", "to"), places, strict=True)
    return tuple((f"drains[{number}].{end}", _point(trials, place)) for end, place in ends if place is not None)


def _clear_stretch(flange: Flange, free: Shape) -> tuple[float, float]:
    """From where to where the longest piece of a channel reaches that lies on what is free, from its middle [mm]."""
    half = flange.half - BESIDE  # it may touch walls
    band = shapely.buffer(shapely.linestrings(flange.ends), half, cap_style="flat")
    parts = shapely.get_parts(shapely.difference(band, free))
    spans = [(shapely.get_coordinates(part) - flange.centre) @ flange.axis for part in parts if part.area > NOISE]
    end = flange.length / 2
    taken = np.array([(-end, -end), *sorted((span.min(), span.max()) for span in spans), (end, end)])
    lows, highs = np.maximum.accumulate(taken[:-1, 1]), taken[1:, 0]
    longest = int(np.argmax(np.round(highs - lows, 6)))
    return float(lows[longest]), float(highs[longest])


def _channel(trials: Trials, number: int) -> tuple[FloorOutline, Flange] | None:
    floor, flange = trials.plan.outline, dict(enumerate(_flanges(trials))).get(number)
    return None if not floor or flange is None or not flange.is_channel else (floor, flange)


def _flanges(trials: Trials) -> tuple[Flange, ...]:
    return trials.flanges or ()


def _name(trials: Trials, number: int) -> str:
    return phrase("the channel") if len(trials.job.drains) == 1 else phrase("drain {number}", number=number + 1)


def _point(trials: Trials, place: Array) -> str:
    return "x {}, y {}".format(*(_told(trials, value) for value in place.tolist()))


def _told(trials: Trials, value: float) -> str:
    """A length [mm] as it is where the job file's words tell it so, else on the step."""
    text = trials.text(value)
    is_told = abs(parse(text, Dimension.LENGTH, trials.units) - value) < NOISE
    return text if is_told else trials.nearest(value)
