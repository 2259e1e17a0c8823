"""The choice of valleys among several trials of fences."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from engine.bed.valley.bounds import least_height, least_steepness
from engine.bed.valley.fences import Trial, fences
from engine.bed.valley.filling import Filling, filled, gentler
from engine.bed.valley.loop import looped
from engine.bed.valley.mesh import Mesh
from engine.bed.valley.net import Net
from engine.bed.valley.sound import is_sound
from engine.bed.valley.stations import Surveyor
from engine.bed.valley.tree import grow
from engine.records import result

if TYPE_CHECKING:
    from engine.bed.valley.room import Room

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
_GOOD = 1.05  # times both bounds is good enough to look no further
_REFINED = 2  # fillings tried with higher walls
_SAME = 1.0 + 1e-9


@result
class Chosen:
    """The valleys chosen and their facets, before marks are rounded; bound: what some place must reach [-]."""

    filling: Filling
    mesh: Mesh
    bound: float


def choose(room: Room, most: float | None) -> Chosen | None:
    """The lowest bed within the most fall [-], or else the gentlest found; None where none was found."""
    if len(room.rings) > 2:
        return None  # there is one loop at most
    bound = least_steepness(room)
    aim = bound if most is None else max(most, bound)
    limited = most is not None and bound <= most
    trials = _trials(aim, limited=limited)
    for surveyor in (Surveyor(room), Surveyor(room, _CLOSER_STATIONS)):
        found = _all(surveyor, trials, aim, whole=limited)
        for filling in _in_order(surveyor, _refined(found, aim), most):
            mesh = filling.mesh(most or _LOOSE * bound)
            if mesh is not None and is_sound(room, mesh):
                return Chosen(filling, mesh, bound)
    return None


def _trials(aim: float, *, limited: bool) -> list[Trial]:
    return [Trial(part * aim, climb, balanced) for part, climb, balanced in (_WITH_LIMIT if limited else _WITHOUT)]


def _all(surveyor: Surveyor, trials: list[Trial], aim: float, *, whole: bool) -> list[Filling]:
    """What the trials come to, each set of valleys once; unless the whole is wanted, up to one that is good enough."""
    seen: set[bytes] = set()
    found = []
    for net in _nets(surveyor.room, trials):
        mark = net.places.tobytes()
        if mark in seen:
            continue
        seen.add(mark)
        filling = filled(surveyor, net)
        if filling is None:
            continue
        found.append(filling)
        if not whole and filling.steepest <= _GOOD * aim and filling.height <= _GOOD * least_height(surveyor.room):
            break
    return found


def _refined(found: list[Filling], aim: float) -> list[Filling]:
    order = sorted(found, key=lambda filling: filling.steepest)
    return [gentler(filling, aim) for filling in order[:_REFINED]] + order[_REFINED:]


def _nets(room: Room, trials: list[Trial]) -> Iterator[Net]:
    for trial in trials:
        tree = grow(room, *fences(room, trial))
        if tree is None:
            continue
        net = tree.net(set())[0] if len(room.rings) == 1 else looped(tree, room.rings[1])
        if net is not None:
            yield net


def _in_order(surveyor: Surveyor, found: list[Filling], most: float | None) -> Iterator[Filling]:
    """The fillings, best first: the lowest of those within the limit, which is loose where none is met."""
    if not found:
        return
    gentlest = min(filling.steepest for filling in found)
    limit = most if most is not None and gentlest <= most else _LOOSE * gentlest
    within = [filling for filling in found if filling.steepest <= limit * _SAME]
    rest = [filling for filling in found if filling.steepest > limit * _SAME]
    for filling in (*sorted(within, key=lambda one: one.height), *sorted(rest, key=lambda one: one.steepest)):
        yield _fewer(surveyor, filling)
        yield filling


def _fewer(surveyor: Surveyor, filling: Filling) -> Filling:
    """The filling less every leaf relay without which it is neither higher nor steeper."""
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
