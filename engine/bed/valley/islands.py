"""Islands: valleys in a room with any number of them."""

from collections.abc import Iterator
from dataclasses import replace

from engine.records import result

from ..effort import MOST_ISLANDS
from .bounds import least_steepness
from .choice import Chosen, choose
from .cut import Cut, cuts
from .room import Room
from .sound import is_sound

_MOST_TRIED = 6  # rooms cut open


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
