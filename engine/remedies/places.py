"""Moving a drain: the nearest place that will do."""

from collections.abc import Iterator, Mapping
from types import MappingProxyType

import numpy as np
import shapely

from ..bed.drains import heads
from ..bed.kernel import kernel
from ..bed.surfaces import NoBed
from ..job.defaults import mark_step
from ..job.model import BedShape
from ..limits.checks.case import is_below, planned_fall
from ..limits.checks.falls import FINER_MARKS, most_wanted
from ..limits.findings import Finding, Level
from ..limits.rulebook import Measured
from ..phrases import phrase
from ..survey.spot import Needs
from ..types import Array, Shape
from .any_parting import AnyParting
from .moved_words import Moves, Standing, moves, standing
from .nearest import anywhere, unknown
from .parted_moves import Known, Parting, walls_at, walls_on_step
from .regions import clear_places, least_ratio, seeing_places
from .remedy import Change, Ideas
from .sought import clean_moves
from .trials import Trials

NO_MOST = 1e9  # [-]


def least_moves(trials: Trials, finding: Finding, parting: Parting, why: str, marks: Change = ()) -> Ideas:
    """The shortest moves of any of the drains that make level walls gentle enough, with marks; and why they serve."""
    yield from clean_moves(trials, finding, gentle_moves(trials, finding, parting), why, marks)


def gentle_moves(trials: Trials, finding: Finding, parting: Parting) -> list[Moves]:
    """Each drain's shortest moves that do, as far as a formula tells; the nearest drain's first."""
    found: list[Moves] = []
    within, known = np.inf, parting.known
    home, kept = parting.flanges[(finding.drains or (0,))[0]].centre, known.left / 2
    known.left -= kept
    for stands in sorted(standings(trials), key=lambda stands: float(np.hypot(*(stands.flange.centre - home)))):
        judge = AnyParting(parting, stands.number).judged
        found.append(moves(trials, stands, clear_of_others(trials, stands), judge, (within, 0.5 ** (2 + len(found)))))
        within = min([within, *found[-1].found.far[:1].tolist()])
    known.left = max(known.left, 0.0) + kept
    return found


def move_into_sight(trials: Trials, finding: Finding) -> Ideas:
    """The only drain moved to where it sees the whole floor: where the falls allow that, else wherever it does."""
    stands = _only(trials)
    if stands is None:
        return
    region = seeing_places(stands.floor, stands.flange)
    words = phrase("from there one drain sees the whole floor, no wall edge-on")
    own = parting(trials, mark_step(trials.job))
    if own is None:
        yield from clean_moves(trials, finding, [moves(trials, stands, region, anywhere)], words)
        return

    def judge(centres: Array, slack: Array) -> tuple[Array, Array]:
        return own.excess(0, centres, slack)[0], np.full(len(centres), np.inf)

    yield from clean_moves(trials, finding, [moves(trials, stands, region, judge)], words)
    yield from moves(trials, stands, region, anywhere).ideas(trials, words)


def move_to_a_bed(trials: Trials, finding: Finding) -> Ideas:
    """Any of the drains moved to where a bed with level walls is found, be it one with valleys."""
    if finding.level is not Level.STOP:
        return  # there is one
    own = parting(trials, mark_step(trials.job))
    found = untold_moves(trials) if own is None else gentle_moves(trials, finding, own)
    yield from clean_moves(trials, finding, found, phrase("there a bed with level walls is found"))


def untold_moves(trials: Trials) -> list[Moves]:
    """Each drain's clear places, of which no formula tells whether they do."""
    return [moves(trials, stands, clear_of_others(trials, stands), unknown) for stands in standings(trials)]


def no_place_in_sight(trials: Trials) -> str:
    """That no place sees the whole floor, where that is so; "" where one does."""
    stands = _only(trials)
    if stands is None or not shapely.is_empty(seeing_places(stands.floor, stands.flange)):
        return ""
    if len(kernel(stands.floor)):
        return phrase("the places that see the whole floor are too near the lines of its walls for this drain's flange")
    return phrase("there is no place from which one drain would see the whole floor")


def move_for_falls(trials: Trials, finding: Finding) -> Ideas:
    """The only drain of level walls moved to where the shortest run is long enough for the longest one's height.

    With the marks as they are, else with finer ones.
    """
    bed = trials.job.bed
    if _only(trials) is None or bed.shape is not BedShape.LEVEL_WALLS or bed.wall_height is not None:
        return
    why = phrase("there the runs to the walls are equal enough")
    coarse, finer = mark_step(trials.job), FINER_MARKS[trials.units]
    if own := parting(trials, coarse):
        yield from least_moves(trials, finding, own, why)
    if finer < coarse and (own := parting(trials, finer)):
        marks = trials.text(finer)
        why = phrase("{why}, with the marks to {marks}", why=why, marks=marks)
        yield from least_moves(trials, finding, own, why, (("bed.mark_step", marks),))


def parting(trials: Trials, step: float, steep: Mapping[int, float] = MappingProxyType({})) -> Parting | None:
    """A floor with its drains, what level walls on it are held to, with marks on a step [mm]; None with no limit.

    steep: how steep parts may be that need not become gentle enough [-], by their drains.
    """
    book, own, floor, flanges = trials.plan.rulebook, trials.job.bed.wall_height, trials.plan.outline, trials.flanges
    if (book.most_fall is None and own is None) or isinstance(floor, Needs) or isinstance(flanges, Needs):
        return None
    most = book.most_fall.value if book.most_fall else NO_MOST
    bed, least = trials.plan.bed, most_wanted(trials.case)[1].value
    is_low = not isinstance(bed, NoBed) and is_below(bed.least_fall, least)
    return Parting(
        floor=floor,
        flanges=flanges,
        heads=heads(trials.job),
        fall=planned_fall(trials.case),
        most=tuple(steep.get(i, most) for i in range(len(flanges))),
        height=walls_on_step(step) if own is None else walls_at(own.value),
        square=book.measured is Measured.SQUARE,
        least=0.0 if own is None or is_low else least,
        known=trials.known if len(flanges) > 1 else Known(),
    )


def best_ratio(trials: Trials) -> float | None:
    """The least that the longest run can be of the shortest, over all places that see the whole floor [-]."""
    stands, own = _only(trials), parting(trials, mark_step(trials.job))
    if stands is None or own is None:
        return None
    region = seeing_places(stands.floor, stands.flange)
    return least_ratio(region, lambda at: own.parts(0, at, np.zeros(len(at)))[0][:2], stands.flange.centre)


def standings(trials: Trials) -> Iterator[Standing]:
    """The drains that are given by their places."""
    return filter(None, (standing(trials, i) for i in range(len(trials.job.drains))))


def clear_of_others(trials: Trials, stands: Standing) -> Shape:
    """The places at which a drain's flange stands clear of walls and the other drains'."""
    return clear_places(stands.floor, stands.flange, trials.others(stands.number))


def _only(trials: Trials) -> Standing | None:
    return standing(trials, 0) if len(trials.job.drains) == 1 else None
