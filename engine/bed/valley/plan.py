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
from .room import Room
from .sound import is_sound

_MOST_TRIED = 6  # rooms cut open
_SAME = 1.0 + 1e-9


@result
class Opened:
    """The valleys chosen, and the cuts that opened the room for them, in order."""

    chosen: Chosen
    cuts: tuple[Cut, ...] = ()


def choose_round_islands(room: Room, most: float | None) -> Opened | None:
    """The valleys of a room, with the fewest level ridges, if any; most: the most fall [-]."""
    if len(room.rings) > 1 + MOST_ISLANDS:
        return None
    found = next(_opened(room, most, iter(range(_MOST_TRIED))), None)
    if found is None or not found.cuts:
        return found
    return replace(found, chosen=replace(found.chosen, bound=least_steepness(room)))


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
    bed = lowest(reach, hidden, wanted)
    if isinstance(bed, Hidden):
        return bed
    own = wanted.height
    return raised(bed, round_up(least_height(bed, wanted.fall), wanted.mark_step) if own is None else own, wanted.most)


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
    found = choose_round_islands(room, wanted.most)
    if found is None:
        return replace(hidden, bound=least_square(room) if wanted.square else least_steepness(room))
    return ValleyWalls(
        reach=reach,
        wall_height=found.chosen.filling.height,
        mesh=found.chosen.mesh,
        net=found.chosen.filling.net,
        valley_fall=wanted.fall,
        cuts=tuple((cut.wall_end, cut.island_end) for cut in found.cuts),
        square=wanted.square,
        bound=least_square(room) if wanted.square else found.chosen.bound,
        verdict=Verdict.FITS,
        hidden=hidden,
    )
