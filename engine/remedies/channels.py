"""Channels in the way of a wall: moved as they lie, or cut to what fits between the walls."""

from collections.abc import Sequence
from operator import attrgetter

import numpy as np
import shapely

from ..bed.flange import Flange
from ..limits.findings import Finding
from ..phrases import phrase
from ..quantities import round_up
from ..survey.outline import FloorOutline
from ..types import Array, Shape
from .moved_words import as_ends, clear_on_floor, drain_name, kept_clear, moves, mud_between, standing
from .nearest import BESIDE
from .regions import apart
from .remedy import Idea, Ideas
from .shapes import lengthen_channel, rounded_to
from .trials import NOISE, Trials


def move_channel(trials: Trials, finding: Finding) -> Ideas:
    """A channel moved as it is to the nearest place clear on the floor."""
    yield from channel_moves(trials, finding, (finding.drains or (0,))[0])


def channel_moves(trials: Trials, finding: Finding, number: int) -> Ideas:
    """A channel's shortest moves to where it is clear on the floor, as it is, then with its ends moved out."""
    stands = standing(trials, number)
    if stands is not None and stands.flange.is_channel:
        clear = apart(stands.flange, kept_clear(trials, finding, number), mud_between(trials))
        region, why = clear_on_floor(trials, stands), phrase("there it stands clear on the floor")
        yield from _and_longer(trials, number, list(moves(trials, stands, region, clear).ideas(trials, why)))


def _and_longer(trials: Trials, number: int, ideas: Sequence[Idea], most: float = np.inf) -> Ideas:
    """Each, then those that leave a flat at the channel's ends with these moved out, by less than `most` [mm]."""
    yield from ideas
    for idea in ideas:
        after = trials.after(idea.change)
        found = after.plan.findings if after else ()
        shorts = [short for short in found if short.rule == "channel-short" and number in (short.drains or (0,))]
        for longer in lengthen_channel(after, shorts[0]) if after and shorts else ():
            if (longer.figure or 0.0) >= most:
                continue
            own = as_ends(trials, number, _flanges(trials)[number].ends)
            ends = dict((*own, *idea.change, *longer.change))
            says = phrase(
                "lay {channel} from {start} to {end}: there it stands clear on the floor, and no flat is left at its "
                "ends",
                channel=drain_name(trials, number),
                **dict(zip(("start", "end"), ends.values(), strict=True)),
            )
            yield Idea(says, tuple(ends.items()), idea.figure)


def cut_channel(trials: Trials, finding: Finding) -> Ideas:
    """A channel cut to the longest piece of its line that is clear on the floor."""
    number = (finding.drains or (0,))[0]
    for floor, flange in filter(None, [_channel(trials, number)]):
        yield from _cuts(trials, number, flange, floor.polygon, phrase("as long as there is floor on its line"))


def cut_apart(trials: Trials, finding: Finding) -> Ideas:
    """A channel on another drain cut to the longest piece clear of it, or of walls too."""
    why, ideas = phrase("until there is mud between the flanges"), list[Idea]()
    for number in finding.drains:
        for floor, flange in filter(None, [_channel(trials, number)]):
            near = [other.polygon for i, other in enumerate(_flanges(trials)) if i in finding.drains and i != number]
            is_on = shapely.intersects_xy(floor.polygon, *flange.centre)  # what is left may be over a wall as before
            for whole in (flange.polygon, floor.polygon)[not is_on :]:
                free = shapely.difference(whole, shapely.buffer(near[0], mud_between(trials)))
                ideas += _cuts(trials, number, flange, free, why)
    yield from sorted(ideas, key=attrgetter("size"))


def _cuts(trials: Trials, number: int, flange: Flange, free: Shape, why: str) -> Ideas:
    """A channel cut to the longest piece of its line on what is free; and why there."""
    low, high = _clear_stretch(flange, free)
    step = trials.step
    ideas = []
    for spare in (0.0, step, 2 * step):  # ends at a slanted wall need some: places are whole steps
        places: list[Array | None] = [None, None]  # an end that is clear stays
        for i, (way, end) in enumerate(((1.0, low), (-1.0, high))):
            if flange.length / 2 + way * end > NOISE:
                at = flange.centre + (end + way * spare) * flange.axis
                places[i] = rounded_to(at, way * flange.axis, step)
        long = float(np.hypot(*np.subtract(*(flange.ends[i] if at is None else at for i, at in enumerate(places)))))
        ideas += [drawn(trials, number, flange.length - long, places, why)] * (flange.size < long < flange.length)
    yield from _and_longer(trials, number, ideas, flange.length - (high - low))


def drawn(trials: Trials, number: int, by: float, places: "Sequence[Array | None]", why: str) -> Idea:
    """A channel so much shorter, or longer if negative, by ends that move [mm]; and why."""
    return Idea(
        phrase(
            "make {channel} {by} shorter, {why}" if by > 0 else "make {channel} {by} longer, {why}",
            channel=drain_name(trials, number),
            by=trials.text(round_up(abs(by), trials.step)),
            why=why,
        ),
        as_ends(trials, number, places),
        abs(by),
    )


def _clear_stretch(flange: Flange, free: Shape) -> tuple[float, float]:
    """From where to where a channel's longest piece on what is free goes, off its middle [mm]."""
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
