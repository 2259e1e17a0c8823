"""Channels drawn in or out at their ends along their line, by as little as the bed's falls or depth ask."""

from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from itertools import islice
from operator import attrgetter

import numpy as np
import shapely

from ..bed.flange import Flange
from ..job.model import BedShape
from ..limits.findings import Finding
from ..phrases import phrase
from ..types import Array
from .channels import drawn
from .drain_height import keeps_depth
from .parted_moves import MOST_RUNS, Known, Parting
from .places import parting_about
from .regions import seeing_places
from .remedy import Idea, Ideas
from .shapes import to_wall
from .trials import Trials

_TRIES = 2  # cuts that are planned
_EFFORT = 400.0  # [-] for beds with an end drawn in or out
_INS = (1.0, -1.0)  # along the axis, from the start and from the end


def cut_for_falls(trials: Trials, finding: Finding) -> Ideas:
    """A channel of level walls cut at its ends by as little as makes the runs of a drain's part equal enough."""
    own, why = parting_about(trials, finding), phrase("so that the runs to the walls are equal enough")
    if own is None or not trials.has_level_walls:
        return
    ideas = list[Idea]()
    for number, flange in _channels(trials):
        for at, count in islice(_equal_cuts(trials, own, number), _TRIES):
            by = (at * trials.step, (at - count) * trials.step)
            ends = [end + way * flange.axis if way else None for end, way in zip(flange.ends, by, strict=True)]
            ideas.append(drawn(trials, number, count * trials.step, ends, why))
    yield from sorted(ideas, key=attrgetter("size"))


def draw_ends(trials: Trials, finding: Finding) -> Ideas:
    """A channel's end drawn in, so that the bed is less thin, or out, as little as keeps its depth."""
    aside, rule, ideas = trials.aside(_EFFORT), finding.rule, list[Idea]()
    way = -1 if rule == "bed-thick" else 1
    for number, flange in _channels(trials) if trials.job.bed.shape is not BedShape.PLANE else ():
        spares = [flange.length - flange.size] * 2 if way > 0 else _spares(trials, number, flange)
        for end, spare in enumerate(spares):
            counts = range(1, int(spare / trials.step) + 1)
            made = partial(_drawn, trials, (number, flange, end), way * trials.step)
            at = bisect_left(counts, True, key=lambda count: keeps_depth(aside, rule, aside.depth(made(count).change)))
            ideas += map(made, counts[at : at + 1])
    yield from sorted(ideas, key=attrgetter("size"))


def _spares(trials: Trials, number: int, flange: Flange) -> list[float]:
    """How far a channel's ends can be moved out [mm]."""
    floor = trials.plan.outline
    reaches = [floor and to_wall(floor, flange, -side, trials.others(number)) for side in _INS]
    return [min(reach) - flange.length / 2 if reach else 0.0 for reach in reaches]


def _drawn(trials: Trials, moved: tuple[int, Flange, int], step: float, count: int) -> Idea:
    """A channel with one of its ends moved by so many steps [mm], inward where they are positive."""
    (number, flange, end), by = moved, step * count
    places: list[Array | None] = [None, None]
    places[end] = flange.ends[end] + by * _INS[end] * flange.axis
    return drawn(trials, number, by, places, phrase("so that the bed keeps its depth"))


def _channels(trials: Trials) -> list[tuple[int, Flange]]:
    return [(i, flange) for i, flange in enumerate(trials.flanges or ()) if flange.is_channel]


def _equal_cuts(trials: Trials, own: Parting, number: int) -> Iterator[tuple[int, int]]:
    """How many steps off a channel's start, and off both ends, the least first, those at one end first.

    A step at an end changes a run by a step's diagonal at most: so many are passed over as keep the walls, if not
    rounded up to a mark, too high for sure.
    """
    flange, step = own.flanges[number], trials.step
    count, left = _least_cut(own, flange, step) if len(own.flanges) == 1 else 1, MOST_RUNS
    free = replace(own, height=np.array) if trials.job.bed.wall_height is None else own
    while count < int((flange.length - flange.size) / step):
        trials.go_on()
        flanges, off = list(own.flanges), np.arange(count + 1)
        flanges[number] = replace(flange, length=flange.length - count * step)
        if (left := left - own.takes(len(off))) < 0:
            trials.is_open = True
            return
        at = flange.centre + (off - count / 2)[:, None] * step * flange.axis
        free, own = (replace(each, flanges=tuple(flanges), known=Known()) for each in (free, own))
        least = float(free.excess(number, at)[0].min())
        if least <= 0:
            over = own.excess(number, at)[0]
            yield from ((each, count) for each in sorted(off[over <= 0].tolist(), key=lambda i: min(i, count - i)))
        passed = max(least, 0.0) / ((own.fall + max(own.most)) * np.sqrt(2) * step)
        count += max(1, int(passed)) if np.isfinite(passed) else 1


def _least_cut(own: Parting, flange: Flange, step: float) -> int:
    """How many steps a channel must lose for its middle to see the whole floor: all where it never does."""
    seen = seeing_places(own.floor, replace(flange, length=flange.size))
    along = shapely.intersection(shapely.linestrings(flange.ends), seen)
    away = shapely.distance(shapely.points(flange.centre), along)
    return max(1, int(2 * np.nan_to_num(away, nan=flange.length) / step))
