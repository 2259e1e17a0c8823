"""One of several drains changed: set higher or lower, or moved off what makes its part too steep."""

from bisect import bisect_left
from dataclasses import replace
from functools import partial, reduce
from itertools import islice
from operator import attrgetter

import numpy as np
import shapely

from ..bed.parted_walls import PartedWalls
from ..bed.parts import MOST_CUT
from ..bed.surfaces import NoBed
from ..job.defaults import mark_step
from ..job.model import BedShape
from ..limits.checks.case import is_above
from ..limits.checks.proud import proud_drains
from ..limits.findings import Finding
from ..limits.rulebook import Figure
from ..phrases import phrase
from ..survey.spot import Needs
from ..types import Array, Mask
from .any_parting import AnyParting
from .channels import channel_moves
from .drain_height import keeps_depth, up_for_curb, up_for_depth
from .level_bounds import Bounds
from .moved_words import TRIES, kept_clear, moves, mud_between, standing
from .parted_moves import Parting
from .places import NO_MOST, parting, parting_about, standings
from .regions import apart, clear_places
from .remedy import Idea, Ideas
from .set_drops import drops, one_moved, set_drop
from .told_moves import Held, told_moves, ways_told
from .trials import NOISE, TOO_LONG, Trials

_TRIES = 4  # planned of the changes of height that surely do
_SET = 2500.0  # [-] of effort for beds with one drain set for depth
_EFFORT = 1900.0  # [-] of all that may do, shared among the drains
_INSIDE = 0.5  # [mm] off the walls
_EVERY = phrase("there every part is gentle enough")


def level_out(trials: Trials, finding: Finding) -> Ideas:
    """A drain over the bed lowered until it is not, or that its water runs to raised."""
    bed = trials.plan.bed
    if isinstance(bed, NoBed):
        return
    for proud in proud_drains(bed):
        if finding.drains == (proud.drain,):
            yield from one_moved(trials, proud.drain, -proud.by)
            yield from one_moved(trials, proud.lower, proud.by)


def move_apart(trials: Trials, finding: Finding) -> Ideas:
    """One of two drains on one another moved as little as parts them, or to where every part is gentle."""
    floor, flanges, ideas = trials.plan.outline, trials.flanges, list[Idea]()
    if isinstance(floor, Needs) or isinstance(flanges, Needs):
        return
    for number in finding.drains:
        if flanges[number].is_channel:
            ideas += channel_moves(trials, finding, number)
        elif stands := standing(trials, number):
            clear = apart(flanges[number], kept_clear(trials, finding, number), mud_between(trials))
            why = phrase("there is mud between the flanges")
            ideas += moves(trials, stands, clear_places(floor, flanges[number]), clear).ideas(trials, why)
    yield from sorted(ideas, key=attrgetter("size"))
    every = parting(trials, mark_step(trials.job))
    if every is not None and trials.has_level_walls:
        yield from told_moves(trials, finding, standings(trials), Held(every), _EVERY)


def leave_out(trials: Trials, finding: Finding) -> Ideas:
    """One of several drains left out, those a finding is about first."""
    count = len(trials.job.drains)
    for number in sorted(range(count), key=lambda number: (number not in finding.drains, -number)) * (count > 1):
        yield Idea(phrase("leave drain {number} out", number=number + 1), ((f"drains[{number}]", ""),))


def set_one(trials: Trials, finding: Finding, *, is_just: bool = False) -> Ideas:
    """One of several drains set by as few steps as keep the bed within the limit of its depth, the least first.

    The bed moves nowhere by more than the drain, but for its walls' rounding to a mark: with the drain as high as level
    walls are now, all of its part goes along.
    """
    aside, drains, rule = trials.aside(_SET), range(len(trials.job.drains)), finding.rule
    up = up_for_depth(trials, rule, trials.plan.depth, is_just=is_just)
    least, way, bed = max(abs(up) - mark_step(trials.job), NOISE), np.sign(up), trials.plan.bed
    most = abs(up) + max(abs(up), bed.wall_height - min(bed.heads) if isinstance(bed, PartedWalls) else 0.0)
    steps = np.arange(least, most + trials.step, trials.step).tolist() if len(drains) > 1 else []

    def keeps(by: float, i: int) -> bool:
        found = one_moved(trials, i, way * by)
        return any(keeps_depth(trials, rule, aside.depth(idea.change), is_just=is_just) for idea in found)

    if trials.job.bed.shape is BedShape.EVEN_FALL:  # the higher a drain the higher the bed, everywhere
        firsts = ((i, bisect_left(steps, True, key=partial(keeps, i=i))) for i in drains)
        does = iter(sorted((by, i) for i, first in firsts for by in steps[first : first + _TRIES]))
    else:
        may = _may_keep(trials, rule, way * np.array(steps), up)
        does = ((by, i) for at, by in enumerate(steps) for i in drains if may[i][at] and keeps(by, i))
    yield from (idea for by, i in islice(does, _TRIES) for idea in one_moved(trials, i, way * by))
    if aside.is_spent:
        trials.leave("drop", TOO_LONG)


def set_one_for_curb(trials: Trials, finding: Finding) -> Ideas:
    """One of several drains set as all are for the curb, or as level walls' whole marks ask at one."""
    up, drains = up_for_curb(trials, finding), range(len(trials.job.drains))
    is_beside = isinstance(trials.plan.bed, PartedWalls) and trials.case.book.find(Figure.THRESHOLD_MOST)
    marks = int(mark_step(trials.job) / trials.step + NOISE) if is_beside else 0
    ups = [up + trials.step * by for by in range(-marks, marks + 1)] if len(drains) > 1 else []
    yield from (idea for by in ups if by * up > 0 for number in drains for idea in one_moved(trials, number, by))


def _may_keep(trials: Trials, rule: str, asked: Array, up: float) -> list[Mask]:
    """Whether the bed may keep the limit of its depth where it breaks it most, with a drain set higher (k,) [mm].

    For each drain, of level walls that straight ridges surely part; else it may.
    """
    bed, deep, held = trials.plan.bed, trials.plan.depth, dict.fromkeys(range(len(trials.job.drains)), NO_MOST)
    own, told = parting(trials, mark_step(trials.job), held), [np.ones(len(asked), dtype=bool) for _ in held]
    is_open = any(drain.drop is None for drain in trials.job.drains)  # then others are rounded too
    if own is None or is_open or not deep or not isinstance(bed, PartedWalls):
        return told
    way, worst = (-1, deep.most) if rule == "bed-thick" else (1, deep.least)
    at = np.array([worst.x, worst.y])
    to = float(bed.height(at[None])[0]) + up
    lines = drops(trials)
    for i, may in enumerate(told):
        ups = lines[i] - np.array([set_drop(trials, lines[i], up) for up in asked.tolist()])
        number, centres, still, heads = own.with_raised(i, ups)
        overs = list[Array]()
        for ridges in (0 * heads, heads):
            far, _, is_blind, _, may_crowd = own.known_runs(number, centres, still, ridges)
            found = Bounds(own, number, centres, still, ridges, heads, far, way).heights(at)
            overs.append(np.where(is_blind, np.inf, way * (to - ups * (i == 0) - found)))
        midway, over = overs  # the first where a ridge would meet a flange
        out = np.where(may_crowd, np.minimum(midway, over), over)
        may[:] = (out <= NOISE) | ~own.raised(i, ups)[1]
    return told


def level_with_others(trials: Trials, finding: Finding) -> Ideas:
    """With level walls, one drain set as little higher or lower as makes the too steep part gentle enough.

    Of all heights on the step up to the walls': if straight ridges square across part the floor a formula tells which
    do; else those no bound rules out are planned.
    """
    own, bed = _parting(trials, finding), trials.plan.bed
    if own is None or not isinstance(bed, PartedWalls):
        return
    sure, likely, unlikely = _heights(trials, own, bed)
    may = [idea for idea in (*likely, *unlikely) if not sure or idea.size < sure[0].size]
    best, spoiled, is_least = _least(trials, finding, may)
    if not best and not is_least:
        trials.leave("drop", TOO_LONG)
    trials.is_open |= not is_least
    for idea in best or [*sure[:_TRIES], *spoiled]:
        says = idea.says if is_least else phrase("{change}; a smaller change may do", change=idea.says)
        yield idea._replace(says=says)


def _heights(trials: Trials, own: Parting, bed: PartedWalls) -> list[list[Idea]]:
    """The changes of one drain's height that surely do, may and hardly may, each least first."""
    step, lines = trials.step, drops(trials)
    found: list[list[Idea]] = [[], [], []]
    places = shapely.get_coordinates(shapely.buffer(own.floor.polygon, -_INSIDE, join_style="mitre"))
    ways = np.array([reach.way(places) for reach in bed.reach.reaches])
    count = int((bed.wall_height + max(map(abs, own.heads))) / step)
    for number, drop in lines.items():
        to = step * (round(drop / step) + np.arange(-count, count + 1))
        ups = (drop - to)[(to > 0) & (np.abs(to - drop) > NOISE)]
        over, is_parted = own.raised(number, ups)
        kinds, rest = np.zeros(len(ups), dtype=int), np.flatnonzero(~is_parted)
        over[rest], likely = _least_over(own, ways, number, ups[rest])
        kinds[rest] = np.where(likely <= NOISE, 1, 2)
        for at in np.flatnonzero(over <= NOISE).tolist():
            found[kinds[at]] += one_moved(trials, number, float(ups[at]))
    return [sorted(ideas, key=attrgetter("size")) for ideas in found]


def _least_over(own: Parting, ways: Array, number: int, ups: Array) -> tuple[Array, Array]:
    """How much too high the walls stand at least for the most fall with a drain so much higher (k,) [mm].

    However the floor is parted: water falls all its way from each corner to a drain (d, c), and as much from the
    nearest wall or a ridge. And with ridges square across.
    """
    if not len(ups):
        return ups, ups
    _, centres, still, heads = asked = own.with_raised(number, ups)
    bound = AnyParting(replace(own, heads=tuple(heads)), 0)
    walls = own.height((heads[:, None] + own.fall * ways[..., None]).min(axis=0).max(axis=0))
    surely = (own.height(bound.needed_square(centres, still)) if own.square else walls) - bound.room(centres, still)
    near = own.known_runs(*asked)[1]
    return surely, reduce(np.maximum, (walls - heads[i] - own.most[i] * near[i] for i in range(len(near))))


def _least(trials: Trials, finding: Finding, may: list[Idea]) -> tuple[list[Idea], list[Idea], bool]:
    """The least change that clears a finding with no stop, one with, and whether all smaller were tried."""
    aside, most = trials.aside(_EFFORT / len(trials.job.drains)), trials.plan.rulebook.most_fall
    best, spoiled = list[Idea](), list[Idea]()
    for idea in may:
        if best and idea.size >= best[0].size:
            continue
        is_steep = most is not None and is_above(aside.steepest(finding, idea.change), most.value)
        remedy = None if is_steep else aside.tried(finding, idea)
        if aside.is_spent:
            return best, spoiled, False
        if remedy is not None and not remedy.brings:
            best = [idea]
        elif remedy is not None:
            spoiled = sorted([*spoiled, idea], key=attrgetter("size"))[:1]
    return best, spoiled, True


def _parting(trials: Trials, finding: Finding) -> Parting | None:
    is_parted = isinstance(trials.plan.bed, PartedWalls) and trials.plan.rulebook.most_fall
    return parting_about(trials, finding) if is_parted else None


def move_one(trials: Trials, finding: Finding) -> Ideas:
    """With level walls, one drain moved as little as makes its too steep part, or every part, gentle."""
    own, is_found, why = _parting(trials, finding), False, phrase("there its part is gentle enough")
    if own is None:
        return
    for idea in told_moves(trials, finding, standings(trials), Held(own), why):
        is_found = True
        yield idea
    most = min(own.most)
    if is_found and max(own.most) > most:
        every = replace(own, most=(most,) * len(own.most))
        yield from told_moves(trials, finding, standings(trials), Held(every), _EVERY)
    elif max(own.most) > most and len(own.most) <= MOST_CUT:  # of more it takes too long
        free = replace(own, most=tuple(most if each == most else NO_MOST for each in own.most))
        ideas = (idea for each in ways_told(trials, finding, free) for idea in each.ideas(trials, why))
        yield from sorted(ideas, key=attrgetter("size"))[:TRIES]
