"""Drains' places, and what level walls over a floor with its drains are held to."""

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from types import MappingProxyType

import numpy as np
import shapely

from ..bed.drains import heads
from ..bed.flange import Flange
from ..bed.kernel import kernel
from ..bed.surfaces import beds_of
from ..job.defaults import mark_step
from ..limits.checks.case import is_above, is_below, planned_fall
from ..limits.checks.falls import most_wanted
from ..limits.findings import Finding, Level
from ..limits.rulebook import Measured
from ..phrases import phrase
from ..survey.outline import FloorOutline
from ..survey.sides import CHORD_OFF
from ..types import Array
from .moved_words import Standing, standing
from .parted_moves import Known, Parting, walls_at, walls_on_step
from .regions import least_ratio, seeing_places
from .trials import Trials

NO_MOST = 1e9  # [-]


def no_place_in_sight(trials: Trials) -> str:
    """That no place sees the whole floor, if so; else ""."""
    stands = only_standing(trials)
    if stands is None or not shapely.is_empty(seeing_places(stands.floor, stands.flange)):
        return ""
    if len(kernel(stands.floor)):
        return phrase("the places that see the whole floor are too near the lines of its walls for this drain's flange")
    return phrase("there is no place from which one drain would see the whole floor")


def parting(
    trials: Trials, step: float, steep: Mapping[int, float] = MappingProxyType({}), flat: Sequence[int] = ()
) -> Parting | None:
    """A floor with its drains, what level walls on it are held to, marks on a step [mm]; None without a limit.

    steep: how steep parts may stay [-], by their drains; flat: whose parts must fall enough though they do not.
    """
    book, own, floor, flanges = trials.plan.rulebook, trials.job.bed.wall_height, trials.plan.outline, trials.flanges
    if not (book.most_fall or own or steep) or not floor or not flanges:
        return None
    most = book.most_fall.value if book.most_fall else NO_MOST
    bed, wanted = trials.plan.bed, most_wanted(trials.case)[1]
    least = wanted.value if wanted.level is Level.STOP else 0.0
    beds = beds_of(bed) if bed else [None] * len(flanges)
    return Parting(
        floor=floor,
        flanges=flanges,
        heads=heads(trials.job),
        fall=planned_fall(trials.case),
        most=tuple(steep.get(i, most) for i in range(len(flanges))),
        height=walls_on_step(step) if own is None else walls_at(own.value),
        square=book.measured is Measured.SQUARE,
        least=tuple(
            0.0 if each and is_below(each.least_fall, least) and i not in flat else least for i, each in enumerate(beds)
        ),
        known=trials.known if len(flanges) > 1 else Known(),
    )


def parting_about(trials: Trials, finding: Finding) -> Parting | None:
    """What level walls are held to so that the part a finding of falls is about keeps its limit.

    No other may then become too steep, or steeper, but where the least fall asks for it.
    """
    about, steep, step = finding.drains or (0,), spared(trials), mark_step(trials.job)
    if finding.rule == "fall-low":
        return parting(trials, step, steep, about)
    parts = beds_of(trials.plan.bed) if trials.plan.bed and trials.plan.rulebook.most_fall else ()
    return parting(trials, step, {i: part.most_fall for i, part in enumerate(parts) if i in steep and i not in about})


def spared(trials: Trials) -> dict[int, float]:
    """That parts of level walls already too steep may stay so steep [-], by their drains."""
    bed, most, count = trials.plan.bed, trials.plan.rulebook.most_fall, len(trials.job.drains)
    parts = beds_of(bed) if bed else ()
    steep = [i for i, part in enumerate(parts) if most and is_above(part.most_fall, most.value)]
    return dict.fromkeys(steep if most else range(count), NO_MOST)


def best_place(trials: Trials) -> tuple[float, Array] | None:
    """The least that the longest run can be of the shortest [-], and where the only drain then is (2,) [mm].

    Of all places that see the whole floor. Along curved walls runs are as alike as their chords may hide.
    """
    stands = only_standing(trials)
    if stands is None or stands.place is None:
        return None
    return _best_place(stands.floor, stands.flange, square=trials.plan.rulebook.measured is Measured.SQUARE)


@lru_cache(maxsize=4)
def _best_place(floor: FloorOutline, flange: Flange, *, square: bool) -> tuple[float, Array] | None:
    own = Parting(floor, (flange,), (0.0,), 1.0, (NO_MOST,), walls_on_step(1.0), square)
    off = CHORD_OFF * floor.is_curved

    def runs(at: Array) -> tuple[Array, Array]:
        far, near = own.parts(0, at, np.zeros(len(at)))[0][:2]
        return np.maximum(far - off, near + off), near + off

    return least_ratio(seeing_places(floor, flange), runs, flange.centre)


def no_place_for_falls(trials: Trials) -> Iterator[str]:
    """That no place of the only drain has runs equal enough for level walls, if so."""
    book, best = trials.plan.rulebook, best_place(trials)
    if best is None or book.most_fall is None:
        return
    ratio, allowed = best[0], book.most_fall.value / book.least_fall.value
    if ratio > allowed * (1 + 1e-6):
        digits = next(digits for digits in (2, 4, 8) if f"{ratio:.{digits}f}" != f"{allowed:.{digits}f}")
        yield phrase(
            "no place of this one drain makes the runs equal enough for level walls: at best the longest is {times} "
            "times the shortest, and {allowed} times is allowed",
            times=f"{ratio:.{digits}f}",
            allowed=f"{allowed:.{digits}f}",
        )


def standings(trials: Trials) -> Iterator[Standing]:
    """The drains as they stand."""
    return filter(None, (standing(trials, i) for i in range(len(trials.job.drains))))


def only_standing(trials: Trials) -> Standing | None:
    """The drain, where there is but one."""
    return standing(trials, 0) if len(trials.job.drains) == 1 else None
