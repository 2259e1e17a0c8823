"""Channels in the way of a wall: moved as they lie, or cut to what fits between the walls."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import islice

import numpy as np
import shapely

from ..bed.flange import Flange
from ..job.defaults import mark_step
from ..job.model import BedShape
from ..limits.findings import Finding
from ..phrases import phrase
from ..quantities import round_up
from ..survey.outline import FloorOutline
from ..types import Array, Shape
from .moved_words import as_ends, clear_on_floor, drain_name, moves, mud_between, standing
from .nearest import BESIDE
from .parted_moves import Known, Parting
from .places import parting
from .regions import apart, seeing_places
from .remedy import Idea, Ideas
from .shapes import lengthen_channel, rounded_to
from .trials import NOISE, Trials

_TRIES = 2  # cuts that are planned


def move_channel(trials: Trials, finding: Finding) -> Ideas:
    """A channel moved as it is to the nearest place where it stands clear on the floor."""
    yield from channel_moves(trials, finding, (finding.drains or (0,))[0])


def channel_moves(trials: Trials, finding: Finding, number: int) -> Ideas:
    """A channel's shortest moves to where it stands clear on the floor, as it is, then with its ends moved out."""
    stands = standing(trials, number)
    if stands is not None and stands.flange.is_channel:
        clear = apart(stands.flange, _others(trials, finding, number), mud_between(trials))
        region, why = clear_on_floor(trials, stands), phrase("there it stands clear on the floor")
        yield from _and_longer(trials, number, list(moves(trials, stands, region, clear).ideas(trials, why)))


def _others(trials: Trials, finding: Finding, number: int) -> list[Flange]:
    """The flanges a drain stays clear of: those a finding is about, and those it is clear of now."""
    own = _flanges(trials)[number].polygon
    return [
        other
        for i, other in enumerate(_flanges(trials))
        if i != number and (i in finding.drains or not shapely.intersection(own, other.polygon).area > NOISE)
    ]


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
    """A channel cut to the longest piece of its line that stands clear on the floor."""
    number = (finding.drains or (0,))[0]
    for floor, flange in filter(None, [_channel(trials, number)]):
        yield from _cuts(trials, number, flange, floor.polygon, phrase("as long as there is floor on its line"))


def cut_apart(trials: Trials, finding: Finding) -> Ideas:
    """A channel on another drain cut to the longest piece that stands clear of it, or of walls too."""
    why, ideas = phrase("until there is mud between the flanges"), list[Idea]()
    for number in finding.drains:
        for floor, flange in filter(None, [_channel(trials, number)]):
            near = [other.polygon for i, other in enumerate(_flanges(trials)) if i in finding.drains and i != number]
            is_on = shapely.intersects_xy(floor.polygon, *flange.centre)  # what is left may be over a wall as before
            for whole in (flange.polygon, floor.polygon)[not is_on :]:
                free = shapely.difference(whole, shapely.buffer(near[0], mud_between(trials)))
                ideas += _cuts(trials, number, flange, free, why)
    yield from sorted(ideas, key=lambda idea: idea.figure or 0.0)


def cut_for_falls(trials: Trials, _: Finding) -> Ideas:
    """The only channel of level walls cut at its ends by as little as makes runs equal enough."""
    own, found = parting(trials, mark_step(trials.job)), _channel(trials, 0)
    is_level = trials.job.bed.shape is BedShape.LEVEL_WALLS
    if own is None or found is None or not is_level or len(own.flanges) > 1:
        return
    flange, why = found[1], phrase("so that the runs to the walls are equal enough")
    for at, count in islice(_equal_cuts(trials, own, flange), _TRIES):
        by = (at * trials.step, (at - count) * trials.step)
        ends = [end + way * flange.axis if way else None for end, way in zip(flange.ends, by, strict=True)]
        yield _cut(trials, 0, count * trials.step, ends, why)


def _equal_cuts(trials: Trials, own: Parting, flange: Flange) -> Iterator[tuple[int, int]]:
    """How many steps off a channel's start, and off both ends, the least first, those at one end first.

    By a step at an end a run changes by no more than a step's diagonal: so many are passed over as keep the walls, if
    not rounded up to a mark, too high for sure.
    """
    step, count = trials.step, _least_cut(own, flange, trials.step)
    free = replace(own, height=np.array) if trials.job.bed.wall_height is None else own
    while count < int((flange.length - flange.size) / step):
        trials.go_on()
        cut, off = (replace(flange, length=flange.length - count * step),), np.arange(count + 1)
        at = flange.centre + (off - count / 2)[:, None] * step * flange.axis
        least = float(replace(free, flanges=cut, known=Known()).excess(0, at)[0].min())
        if least <= 0:
            over = replace(own, flanges=cut, known=Known()).excess(0, at)[0]
            yield from ((each, count) for each in sorted(off[over <= 0].tolist(), key=lambda i: min(i, count - i)))
        passed = max(least, 0.0) / ((own.fall + own.most[0]) * np.sqrt(2) * step)
        count += max(1, int(passed)) if np.isfinite(passed) else 1


def _least_cut(own: Parting, flange: Flange, step: float) -> int:
    """How many steps must be off a channel for its middle to see the whole floor: all where it never does."""
    seen = seeing_places(own.floor, replace(flange, length=flange.size))
    along = shapely.intersection(shapely.linestrings(flange.ends), seen)
    away = shapely.distance(shapely.points(flange.centre), along)
    return max(1, int(2 * np.nan_to_num(away, nan=flange.length) / step))


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
        ideas += [_cut(trials, number, flange.length - long, places, why)] * (flange.size < long < flange.length)
    yield from _and_longer(trials, number, ideas, flange.length - (high - low))


def _cut(trials: Trials, number: int, by: float, places: "Sequence[Array | None]", why: str) -> Idea:
    return Idea(
        phrase(
            "make {channel} {by} shorter, {why}",
            channel=drain_name(trials, number),
            by=trials.text(round_up(by, trials.step)),
            why=why,
        ),
        as_ends(trials, number, places),
        by,
    )


def _clear_stretch(flange: Flange, free: Shape) -> tuple[float, float]:
    """From where to where a channel's longest piece on what is free reaches, from its middle [mm]."""
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
