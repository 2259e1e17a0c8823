"""From a floor that the drain does not see whole to its bed with level walls, or to none."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from engine.bed.valley.bed import ValleyWalls, Verdict
from engine.bed.valley.bounds import least_steepness
from engine.bed.valley.choice import Chosen, choose
from engine.bed.valley.cut import Cut, cuts
from engine.bed.valley.room import Room
from engine.bed.valley.sound import is_sound
from engine.quantities import round_up
from engine.records import dataclass

if TYPE_CHECKING:
    from engine.bed.hidden import Hidden
    from engine.bed.reach import Reach

_SAME = 1.0 + 1e-9


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a bed with valleys is held to: the least fall [-]; the most [-], if any; marks' step [mm].

    height: the walls' height [mm] where the user sets it; square: fall is measured square to walls.
    """

    fall: float
    most: float | None
    mark_step: float
    height: float | None
    square: bool


def valley_walls(reach: Reach, hidden: Hidden, wanted: Wanted) -> ValleyWalls | Hidden:
    """The bed with level walls and valleys; what is hidden, with its bound, where no facets keep the fall.

    All heights are scaled so that the walls' height is a whole number of marks, or the user's: every fall then is
    as many times higher or lower as the walls are.
    """
    room = Room(reach, wanted.fall)
    chosen = choose(room, wanted.most)
    if chosen is not None:
        return _finished(_bed(reach, hidden, wanted, chosen), wanted)
    for cut in cuts(room) if len(room.rings) == 2 else ():
        opened = choose(Room(cut.reach, wanted.fall), wanted.most)
        if opened is None:
            continue
        mesh = cut.closed(opened.mesh, room)
        if is_sound(room, mesh):
            chosen = replace(opened, mesh=mesh, bound=least_steepness(room))
            return _finished(_bed(reach, hidden, wanted, chosen, cut), wanted)
    return replace(hidden, bound=least_steepness(room))


def _finished(whole: ValleyWalls, wanted: Wanted) -> ValleyWalls:
    gentle = min(1.0, float(whole.falls.least.min()) / wanted.fall)
    height = (
        round_up(whole.wall_height / gentle, wanted.mark_step) if wanted.height is None else wanted.height
    )
    return _judged(whole.raised_to(height), wanted)


def _bed(reach: Reach, hidden: Hidden, wanted: Wanted, chosen: Chosen, cut: Cut | None = None) -> ValleyWalls:
    return ValleyWalls(
        reach=reach,
        wall_height=chosen.filling.height,
        mesh=chosen.mesh,
        net=chosen.filling.net,
        valley_fall=wanted.fall,
        ridge=None if cut is None else (cut.wall_end, cut.island_end),
        square=wanted.square,
        bound=chosen.bound,
        verdict=Verdict.FITS,
        hidden=hidden,
    )


def _judged(bed: ValleyWalls, wanted: Wanted) -> ValleyWalls:
    if wanted.most is None or bed.most_fall <= wanted.most * _SAME:
        return bed
    proven = bed.bound > wanted.most * _SAME
    return replace(bed, verdict=Verdict.IMPOSSIBLE if proven else Verdict.NOT_FOUND)
