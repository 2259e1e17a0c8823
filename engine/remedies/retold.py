"""Places told anew where the outline changes, so that what is there stays where it is."""

import math
from collections.abc import Callable, Iterator
from functools import cached_property

import numpy as np

from ..job.lettering import corner_index
from ..job.model import AtCorner, AtOffsets, AtPoint, AtWall, Job, Place, Typed
from ..job.place_text import place_text
from ..phrases import phrase
from ..records import result
from ..survey.outline import FloorOutline
from ..survey.places import locate
from ..types import Array
from .remedy import Change
from .trials import NOISE, Trials

_NONE = Typed("", math.nan)  # no length is the same


def told_places(job: Job) -> Iterator[tuple[str, Place]]:
    """The places of drains and of all readings, by their keys."""
    for i, drain in enumerate(job.drains):
        by_key = {"at": drain.at, "from": drain.start, "to": drain.end}
        yield from ((f"drains[{i}].{key}", place) for key, place in by_key.items() if place is not None)
    for section, readings in (("readings", job.readings), ("as_built", job.as_built)):
        yield from ((f"{section}[{i}].at", reading.at) for i, reading in enumerate(readings))


def retold(job: Job, anew: Callable[[Place, str], str]) -> Change:
    """Entries for the places told otherwise than before; anew: a place's text, by place and key."""
    told = ((key, anew(place, key), place) for key, place in told_places(job))
    return tuple((key, text) for key, text, place in told if text != place_text(place))


@result
class Kept:
    """A floor before and after walls are pushed out, corner for corner, where they really are."""

    trials: Trials
    before: FloorOutline
    after: FloorOutline

    @cached_property
    def shift(self) -> Array:
        """How far all that stays moves in the plan (2,) [mm]: only corners are not told from corner A."""
        moved = np.asarray(self.before.corners[0] - self.after.corners[0])
        return np.zeros(2) if self.trials.job.outline.corners else moved

    @cached_property
    def change(self) -> Change:
        """Entries that keep islands, drains and readings where they are."""
        return (*self.islands(), *retold(self.trials.job, self._anew))

    def islands(self) -> Iterator[tuple[str, str]]:
        """Entries that keep the islands."""
        for i, island in enumerate(self.trials.job.outline.islands):
            for k, corner in enumerate(island.corners):
                for axis, by in enumerate(self.shift.tolist()):
                    if abs(by) > NOISE:
                        text = self.trials.text(corner[axis].value + by)
                        yield f"outline.islands[{i}].corners[{k}][{axis}]", text

    def said(self, says: str, wall: str, by: float) -> str:
        """A push in words, and that what is measured from the wall, if anything, is more by that [mm]."""
        corners = {key for key, place in told_places(self.trials.job) if type(place) is AtCorner}
        if all(key in corners for key, _ in self.change):
            return says
        by_text = self.trials.text(by)
        return phrase("{says}; what is measured from {wall} is then {by} more", says=says, wall=wall, by=by_text)

    @cached_property
    def _stays(self) -> list[bool]:
        return [*map(bool, np.abs(self.after.corners - self.before.corners).max(axis=1) < NOISE)]

    def _anew(self, place: Place, key: str) -> str:
        spot = locate(place, self.before, key, self.trials.units)
        return place_text(self._alike(place, spot) or self._point(spot))

    def _alike(self, place: Place, spot: Array) -> Place | None:
        match place:
            case AtCorner(corner):
                return place if self._stays[corner_index(corner)] else self._beside(corner_index(corner), spot)
            case AtWall():
                return self._along(place, spot)
            case AtOffsets(one, first, other, second):
                return AtOffsets(one, self._off(one, first, spot), other, self._off(other, second, spot))
            case AtPoint(x, y):
                return self._point(spot, x, y)

    def _point(self, spot: Array, *typed: Typed) -> AtPoint:
        return AtPoint(*map(self._typed, typed or (_NONE, _NONE), (spot + self.shift).tolist()))

    def _beside(self, corner: int, spot: Array) -> AtWall | None:
        """Where a corner was, on one of the walls that met there."""
        walls = (self.after.walls[i] for i in (corner - 1, corner))
        ways = (self._along(AtWall(wall, _NONE), spot) for wall in walls)
        return next((way for way in ways if way and way.off is None), None)

    def _along(self, place: AtWall, spot: Array) -> AtWall | None:
        i, after = self.after.walls.index(place.wall), self.after
        if self._stays[i] and self._stays[(i + 1) % len(self._stays)]:
            return place
        offset = spot - after.corners[i]
        along, off = float(offset @ after.directions[i]), float(offset @ after.inward[i])
        if after.arcs[i] or not -NOISE < along < after.length(i) - self.trials.step or off < -NOISE:
            return None
        away = self._typed(place.off or _NONE, off) if place.off or off > NOISE else None
        return AtWall(place.wall, self._typed(place.along, along), away)

    def _off(self, wall: str, typed: Typed, spot: Array) -> Typed:
        i = self.after.walls.index(wall)
        return self._typed(typed, float((spot - self.after.corners[i]) @ self.after.inward[i]))

    def _typed(self, typed: Typed, value: float) -> Typed:
        return typed if abs(typed.value - value) < NOISE else Typed(self.trials.text(value), value)
