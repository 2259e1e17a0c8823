"""From a floor that the drain does not see whole to its bed with level walls, islands or not, or to none."""

from collections.abc import Iterator
from dataclasses import replace

from ...quantities import round_up
from ...records import record, result
from ..effort import MOST_ISLANDS
from ..hidden import Hidden
from ..reach import Reach
from .bed import ValleyWalls, Verdict
from .bounds import least_square, least_steepness
from .choice import Chosen, choose
from .cut import Cut, cuts
from .mesh import is_sound
from .room import Room

_MOST_TRIED = 6  # rooms cut open
_AIMS = (1.0, 0.0)  # of the most fall: marks may round a bed over it; 0: as gentle as can be
_SAME = 1.0 + 1e-9


@result
class Opened:
    """The valleys chosen, and the cuts that opened the room for them, in order."""

    chosen: Chosen
    cuts: tuple[Cut, ...] = ()


def _opened(room: Room, most: float | None, left: Iterator[int]) -> Iterator[Opened]:
    """Valleys in the room as it is, or opened along one cut after another; left: how many rooms may still be tried."""
    chosen = choose(room, most)
    if chosen is not None:
        yield Opened(chosen)
    if len(room.rings) == 1:
        return
    for cut in cuts(room):
        if next(left, None) is None:
            return
        for found in _opened(Room(cut.reach, room.fall), most, left):
            mesh = cut.closed(found.chosen.mesh, room)
            if is_sound(room, mesh):
                inner = tuple(other.drawn_to(cut) for other in found.cuts)
                yield Opened(replace(found.chosen, mesh=mesh), (cut, *inner))


@record
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

    Its walls' height is a whole number of marks, or the user's.
    """
    best = None
    for part in _AIMS if wanted.height is None else _AIMS[:1]:
        bed = lowest(reach, hidden, replace(wanted, most=None if wanted.most is None else part * wanted.most))
        if isinstance(bed, Hidden):
            return best or bed
        own = round_up(least_height(bed, wanted.fall), wanted.mark_step) if wanted.height is None else wanted.height
        bed = raised(bed, own, wanted.most)
        if best is None or bed.most_fall < best.most_fall:
            best = bed
        if bed.verdict is not Verdict.NOT_FOUND:
            break
    return best or hidden


def least_height(bed: ValleyWalls, fall: float) -> float:
    """How high the walls of a bed as found must stand at least for every facet to keep the fall [-], [mm]."""
    return bed.wall_height / min(1.0, float(bed.falls.least.min()) / fall)


def raised(bed: ValleyWalls, height: float, most: float | None) -> ValleyWalls:
    """A bed with its walls at a height [mm], all in proportion, and how it stands to the most fall then."""
    mesh, factor = bed.mesh.raised(bed.wall_height, height), height / bed.wall_height
    bed = replace(bed, wall_height=height, mesh=mesh, valley_fall=bed.valley_fall * factor)
    if most is None or bed.most_fall <= most * _SAME:
        return bed
    proven = bed.bound > most * _SAME
    return replace(bed, verdict=Verdict.IMPOSSIBLE if proven else Verdict.NOT_FOUND)


def lowest(reach: Reach, hidden: Hidden, wanted: Wanted) -> ValleyWalls | Hidden:
    """The bed as it is found, before its height is set; what is hidden, with its bound, where none is found."""
    room = Room(reach, wanted.fall)
    opened = _opened(room, wanted.most, iter(range(_MOST_TRIED)))
    found = next(opened, None) if len(room.rings) <= 1 + MOST_ISLANDS else None
    bound = (least_square if wanted.square else least_steepness)(room)
    if found is None:
        return replace(hidden, bound=bound)
    return ValleyWalls(
        reach=reach,
        wall_height=found.chosen.filling.height,
        mesh=found.chosen.mesh,
        net=found.chosen.filling.net,
        valley_fall=wanted.fall,
        cuts=tuple((cut.wall_end, cut.island_end) for cut in found.cuts),
        square=wanted.square,
        bound=bound,
        verdict=Verdict.FITS,
        hidden=hidden,
    )
