"""Moving a drain: the nearest place that will do."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from math import dist

import numpy as np
import shapely

from engine.bed.drains import heads
from engine.bed.hidden import Hidden
from engine.bed.kernel import kernel
from engine.bed.parted_walls import PartedWalls
from engine.job.defaults import mark_step
from engine.job.model import BedShape
from engine.limits.checks.case import is_above, is_below, planned_fall
from engine.limits.checks.falls import FINER_MARKS, most_wanted
from engine.limits.findings import Finding
from engine.limits.rulebook import Measured
from engine.phrases import phrase
from engine.quantities import format_length
from engine.remedies.any_parting import AnyParting
from engine.remedies.moved_words import Moves, Standing, moves, shown_clear, standing
from engine.remedies.nearest import anywhere
from engine.remedies.parted_moves import Parting, walls_at, walls_on_step
from engine.remedies.regions import clear_places, least_ratio, seeing_places
from engine.remedies.remedy import Idea
from engine.remedies.trials import Trials
from engine.survey.spot import Needs
from engine.types import Array

_GUESSES = 3  # places planned that only may do
_MUCH = 0.9  # of a move: one that is hardly shorter is not looked for
_APART = 50.0  # [mm] between guesses


def move_clear(trials: Trials, finding: Finding) -> Iterator[Idea]:
    """A drain moved to where its flange stands clear on the floor, or farther, to where level walls suit it."""
    stands = standing(trials, (finding.drains or (0,))[0])
    if stands is not None:
        region = clear_places(stands.floor, stands.flange, trials.others(stands.number))
        why = phrase("there its flange stands clear on the floor")
        yield from moves(trials, stands, region, anywhere).ideas(trials, why)
        yield from move_for_falls(trials, finding)


def least_moves(trials: Trials, finding: Finding, parting: Parting, why: str) -> Iterator[Idea]:
    """The shortest moves of any of the drains that make level walls gentle enough; and why they serve."""
    found: list[Moves] = []
    within = np.inf
    for stands in (standing(trials, i) for i in range(len(trials.job.drains))):
        if stands is not None:
            region = clear_places(stands.floor, stands.flange)
            found.append(moves(trials, stands, region, AnyParting(parting, stands.number).judged, within))
            within = min([within, *found[-1].found.far[:1].tolist()])
    clear = min((each.clear for each in found), default=np.inf)
    if clear < within:
        yield from _guessed(trials, (finding, parting), found, (within, clear, why))
    ideas = [idea for each in found for idea in each.ideas(trials, shown_clear(trials, within, clear, why))]
    yield from sorted(ideas, key=lambda idea: idea.figure or 0.0)


def _guessed(
    trials: Trials, asked: tuple[Finding, Parting], found: list[Moves], known: tuple[float, float, str]
) -> Iterator[Idea]:
    """The shortest move that clears a finding of a few that may, tried here, the most hopeful first.

    known: how far to go for what surely does, and how near nothing does [mm], and why a move serves.
    """
    (finding, parting), (limit, clear, why), best = asked, known, None
    guesses = ((i, guess) for i, each in enumerate(found) for guess in each.found.guesses.tolist())
    options = sorted((hope, far, i, *pair) for i, (hope, far, *pair) in guesses)
    for _ in range(_GUESSES):
        options = [option for option in options if option[1] < _MUCH * limit]
        if options:
            _, far, i, *pair = options[0]
            options = [option for option in options if option[2] != i or dist(option[3:], pair) * trials.step > _APART]
            idea = found[i].idea(trials, np.array(pair), far, shown_clear(trials, far, clear, why))
            remedy = trials.tried(finding, idea)
            if remedy is not None and not remedy.brings and _is_gentle(trials, parting, idea):
                best, limit = idea, far
    if best is not None:
        yield best


def _is_gentle(trials: Trials, parting: Parting, idea: Idea) -> bool:
    """Whether the parts that have to be are gentle enough after a change: another's may be cleared in their place."""
    after = trials.planned(idea.change)
    bed = None if after is None else after.bed
    if bed is None or isinstance(bed, Needs | Hidden):
        return False
    beds = bed.beds if isinstance(bed, PartedWalls) else (bed,)
    return not any(is_above(beds[i].most_fall, parting.most) for i in parting.held)


def move_into_sight(trials: Trials, _: Finding) -> Iterator[Idea]:
    """The only drain moved to where it sees the whole floor: where the falls allow that, else wherever it does."""
    stands = _only(trials)
    if stands is None:
        return
    region, words = seeing_places(stands.floor, stands.flange), phrase("from there one drain sees the whole floor")
    own = parting(trials, (0,), mark_step(trials.job))
    if own is not None:
        yield from moves(trials, stands, region, partial(_whole, own)).ideas(trials, words)
    yield from moves(trials, stands, region, anywhere).ideas(trials, words)


def _whole(own: Parting, centres: Array, slack: Array) -> tuple[Array, Array]:
    return own.excess(0, centres, slack)[0], np.full(len(centres), np.inf)


def no_place_in_sight(trials: Trials) -> str:
    """That no place sees the whole floor, where that is so; "" where one does."""
    stands = _only(trials)
    if stands is None or not shapely.is_empty(seeing_places(stands.floor, stands.flange)):
        return ""
    if len(kernel(stands.floor)):
        return phrase("the places that see the whole floor are too near the walls for this drain's flange")
    return phrase("there is no place from which one drain would see the whole floor")


def move_for_falls(trials: Trials, finding: Finding) -> Iterator[Idea]:
    """The only drain of level walls moved to where the shortest run is long enough for the longest one's height.

    With the marks as they are, else with finer ones, which round the walls' height up by less.
    """
    if _only(trials) is None or trials.job.bed.shape is not BedShape.LEVEL_WALLS:
        return
    if trials.job.bed.wall_height is not None:
        return
    why = phrase("there the runs to the walls are equal enough")
    coarse, finer = mark_step(trials.job), FINER_MARKS[trials.units]
    if own := parting(trials, (0,), coarse):
        yield from least_moves(trials, finding, own, why)
    if finer < coarse and (own := parting(trials, (0,), finer)):
        marks = format_length(finer, trials.units)
        for idea in least_moves(trials, finding, own, phrase("{why}, with the marks to {marks}", why=why, marks=marks)):
            yield idea._replace(change=(*idea.change, ("bed.mark_step", marks)))


def parting(trials: Trials, held: tuple[int, ...], step: float) -> Parting | None:
    """The floor with its drains and what level walls on it are held to, with marks on a step [mm]; None with no limit.

    held: the drains whose parts have to be gentle enough.
    """
    book, own, floor, flanges = trials.plan.rulebook, trials.job.bed.wall_height, trials.plan.outline, trials.flanges
    if book.most_fall is None or isinstance(floor, Needs) or isinstance(flanges, Needs):
        return None
    bed, least = trials.plan.bed, most_wanted(trials.case)[1].value
    is_low = isinstance(bed, Needs | Hidden) or is_below(bed.least_fall, least)
    return Parting(
        floor=floor,
        flanges=flanges,
        heads=heads(trials.job),
        fall=planned_fall(trials.case),
        most=book.most_fall.value,
        height=walls_on_step(step) if own is None else walls_at(own.value),
        held=held,
        square=book.measured is Measured.SQUARE,
        least=0.0 if own is None or is_low else least,
    )


def best_ratio(trials: Trials) -> float | None:
    """The least that the longest run can be of the shortest, over all places that see the whole floor [-]."""
    stands, own = _only(trials), parting(trials, (0,), mark_step(trials.job))
    if stands is None or own is None:
        return None
    return least_ratio(seeing_places(stands.floor, stands.flange), partial(own.runs, 0), stands.flange.centre)


def _only(trials: Trials) -> Standing | None:
    return standing(trials, 0) if len(trials.job.drains) == 1 else None
