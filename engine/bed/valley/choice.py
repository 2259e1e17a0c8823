"""The choice of valleys among several trials of fences."""

import math
from collections.abc import Iterator
from itertools import chain

from ...records import result
from .bounds import least_height, least_steepness
from .fences import Trial, fences
from .filling import Filling, Surveyor, filled, gentler
from .mesh import Mesh, is_sound
from .net import Net
from .room import Room
from .tree import grow, looped

# Fences' steepness over the one aimed at, how much of the way's height counts, whether balanced.
_WITH_LIMIT = (
    (0.8, 0.6, True),
    (0.9, 1.0, True),
    (1.0, 1.0, True),
    (1.0, 1.0, False),
    (1.0, 0.6, False),
    (1.15, 1.0, False),
)
_WITHOUT = (
    (1.0, 1.0, True),
    (1.0, 1.0, False),
    (1.2, 0.6, False),
    (1.4, 1.0, True),
    (2.0, 1.0, False),
    (3.0, 1.0, False),
)
_CLOSER_STATIONS = 100.0  # [mm] where none of the trials fits
_LOOSE = 1.25  # times the gentlest found, where no limit holds
_GOOD = 1.05  # times both bounds is good enough
_PAST = 1.6  # times the gentlest found: trials that aim steeper come out no gentler, unless the whole is wanted
_REFINED = 2  # fillings tried with higher walls
_SAME = 1.0 + 1e-9


@result
class Chosen:
    """The valleys chosen and their facets, before marks are rounded."""

    filling: Filling
    mesh: Mesh


def choose(room: Room, most: float | None) -> Chosen | None:
    """The lowest bed within the most fall [-], else the gentlest; None where none was found."""
    if len(room.rings) > 2:
        return None  # there is one loop at most
    bound = least_steepness(room)
    aim = bound if most is None else max(most, bound)
    limited = most is not None and bound <= most
    trials = [Trial(part * aim, climb, balanced) for part, climb, balanced in (_WITH_LIMIT if limited else _WITHOUT)]
    for surveyor in (Surveyor(room), Surveyor(room, _CLOSER_STATIONS)):
        found = _all(surveyor, trials, aim, whole=limited)
        for filling in chain(_lowest(found, most) if limited else (), _in_order(found, aim, most)):
            for fewer in (_fewer(surveyor, filling), filling):
                mesh = fewer.mesh(most or _LOOSE * bound)
                if mesh is not None and is_sound(room, mesh):
                    return Chosen(fewer, mesh)
    return None


def _all(surveyor: Surveyor, trials: list[Trial], aim: float, *, whole: bool) -> list[Filling]:
    seen: set[bytes] = set()
    found: list[Filling] = []
    gentlest = math.inf
    for trial in trials:
        if trial.steepness > _PAST * gentlest:
            break
        net = _net(surveyor.room, trial)
        if net is None or (mark := net.places.tobytes()) in seen:
            continue
        seen.add(mark)
        filling = filled(surveyor, net)
        if filling is None:
            continue
        found.append(filling)
        if whole:
            continue
        gentlest = min(gentlest, filling.steepest)
        if filling.height <= _GOOD * least_height(surveyor.room) and filling.steepest <= _GOOD * aim:
            break
    return found


def _net(room: Room, trial: Trial) -> Net | None:
    tree = grow(room, *fences(room, trial))
    if tree is None:
        return None
    return tree.net(set())[0] if len(room.rings) == 1 else looped(tree, room.rings[1])


def _lowest(found: list[Filling], most: float | None) -> Iterator[Filling]:
    height = min((filling.height for filling in found), default=0.0)
    as_low = (filling for filling in found if filling.height == height)
    best = min(as_low, key=lambda filling: filling.steepest, default=None)
    if best is not None and most is not None and best.steepest <= most * _SAME:
        yield best


def _in_order(all_found: list[Filling], aim: float, most: float | None) -> Iterator[Filling]:
    fit = (filling for filling in all_found if math.isfinite(filling.steepest))
    order = sorted(fit, key=lambda filling: filling.steepest)
    found = [gentler(filling, aim) for filling in order[:_REFINED]] + order[_REFINED:]
    if not found:
        return
    gentlest = min(filling.steepest for filling in found)
    limit = most if most is not None and gentlest <= most else _LOOSE * gentlest
    within = [filling for filling in found if filling.steepest <= limit * _SAME]
    rest = [filling for filling in found if filling.steepest > limit * _SAME]
    yield from sorted(within, key=lambda one: one.height)
    yield from sorted(rest, key=lambda one: one.steepest)


def _fewer(surveyor: Surveyor, filling: Filling) -> Filling:
    best = filling
    for leaf in filling.net.leaves:
        place = filling.net.places[leaf]
        here = next((i for i in best.net.leaves if (best.net.places[i] == place).all()), None)
        if here is None:
            continue
        fewer = filled(surveyor, best.net.without(here), best.height * _SAME)
        if fewer and fewer.steepest <= best.steepest * _SAME:
            best = fewer
    return best
