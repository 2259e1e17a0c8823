"""A drain moved to the nearest place that will do: clear on the floor, for falls, for depth, into sight."""

import numpy as np

from ..job.defaults import mark_step
from ..job.model import BedShape
from ..limits.findings import Finding, Level
from ..phrases import phrase
from ..quantities import Dimension, parse
from ..types import Array
from .falls import with_finer_marks
from .moved_words import kept_clear, moves, standing
from .nearest import anywhere
from .places import only_standing, parting, parting_about, spared, standings
from .regions import clear_places, seeing_places
from .remedy import Ideas
from .sought import clean_moves
from .told_moves import Held, told_moves
from .trials import Trials

_EQUAL = phrase("there the runs to the walls are equal enough")
_TOLD = (BedShape.EVEN_FALL, BedShape.LEVEL_WALLS)


def move_clear(trials: Trials, finding: Finding) -> Ideas:
    """A drain moved to where its flange is clear on the floor, or farther, to where it suits the bed."""
    stands = standing(trials, (finding.drains or (0,))[0])
    if stands is None or stands.place is None:
        return  # channels are moved clear otherwise
    apart = tuple(other.polygon for other in kept_clear(trials, finding, stands.number))
    why = phrase("there its flange stands clear on the floor")
    found = moves(trials, stands, clear_places(stands.floor, stands.flange, apart), anywhere)
    yield from found.ideas(trials, why)
    why = phrase("there its flange stands clear on the floor, and the bed keeps its limits")
    if trials.job.bed.shape in _TOLD:
        yield from told_moves(trials, finding, [stands], _held(trials), why)
    else:
        yield from clean_moves(trials, finding, [found], why)
    yield from _with_finer_marks(trials, finding)


def move_for_depth(trials: Trials, finding: Finding) -> Ideas:
    """A drain moved to where the bed keeps its depth."""
    why = phrase("there the bed keeps its depth")
    yield from told_moves(trials, finding, standings(trials), _held(trials), why)


def _held(trials: Trials) -> Held:
    """What level walls are held to so that no part becomes too steep; None of another bed."""
    return Held(parting(trials, mark_step(trials.job), spared(trials)) if trials.has_level_walls else None)


def move_for_falls(trials: Trials, finding: Finding) -> Ideas:
    """The only drain of level walls moved to where its shortest run suits their height, with finer marks if need be."""
    if _is_alone(trials) and (own := parting(trials, mark_step(trials.job))):
        yield from told_moves(trials, finding, standings(trials), Held(own), _EQUAL)
    yield from _with_finer_marks(trials, finding)


def move_for_fall(trials: Trials, finding: Finding) -> Ideas:
    """A drain of level walls moved to where they fall enough at their given height."""
    if trials.has_level_walls and (own := parting_about(trials, finding)):
        yield from told_moves(trials, finding, standings(trials), Held(own), phrase("there the bed falls enough"))


def _with_finer_marks(trials: Trials, finding: Finding) -> Ideas:
    """A move that needs finer marks too, as coarse as does; none where those alone do."""
    finest = [*with_finer_marks(trials, finding)]
    if not finest or not _is_alone(trials):
        return
    own = parting(trials, parse(finest[-1].change[0][1], Dimension.LENGTH, trials.units))
    if own is None or any(trials.clears(finding, idea) for idea in finest):
        return
    for idea in told_moves(trials, finding, standings(trials), Held(own, finest[-1].change), _EQUAL):
        for marks in (each.change for each in finest):
            says = phrase("{move}, with the marks to {marks}", move=idea.says, marks=marks[0][1])
            yield idea._replace(says=says, change=(*idea.change[:-1], *marks))


def _is_alone(trials: Trials) -> bool:
    return only_standing(trials) is not None and trials.has_level_walls


def move_into_sight(trials: Trials, finding: Finding) -> Ideas:
    """The only drain moved to where it sees the whole floor, with falls allowed, else anyhow."""
    stands = only_standing(trials)
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
    """Any drain moved to where a bed with level walls, maybe valleys, is found."""
    if finding.level is not Level.STOP:
        return  # there is one
    yield from told_moves(
        trials, finding, standings(trials), _held(trials), phrase("there a bed with level walls is found")
    )
