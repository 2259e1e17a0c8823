"""Pulls: stretches of wall from which a straightedge is pulled along lines that all run to one thing.

A line's near length is from the strip's inner face to the flange's near edge, its far length to the far one. Along a
pull both only rise or only fall, so its ends tell what a straightedge serves.
"""

import math
from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import TypeAlias

from ..records import record

_SAME = 1e-7  # [mm]
_ROUNDS = 60  # halve any stretch down to float noise


@record
class Rays:
    """Lines to a point at square distance `square` from the wall, whose foot is at `foot` along it; all [mm].

    reached [-]: each line's part off the strip. rim: how far before and behind the point the flange's edges are on
    every line. before, behind: how far straight edges are, square to themselves; the line from x starts `lean` +
    `slope` (x - foot) off the point that way, of which the edge takes before / (lean + slope (x - foot)).
    """

    foot: float
    square: float
    reached: float
    rim: float = 0.0
    before: float = 0.0
    behind: float = 0.0
    lean: float = 1.0
    slope: float = 0.0

    @property
    def shift(self) -> float | None:
        """How much longer far is than near, if the same on every line [mm]."""
        return None if self.before or self.behind else 2 * self.rim

    def near(self, x: float) -> float:
        """The length to the near edge from a place along the wall [mm]."""
        return self._length(x, -self.before, -self.rim)

    def far(self, x: float) -> float:
        """The length to the far edge from a place along the wall [mm]."""
        return self._length(x, self.behind, self.rim)

    def _length(self, x: float, past: float, rim: float) -> float:
        s = x - self.foot
        return math.hypot(self.square, s) * (self.reached + past / (self.lean + self.slope * s)) + rim

    def where_near(self, length: float, start: float, end: float) -> float:
        """The place between two with a near length [mm] between theirs."""
        if self.slope:
            return crossing(self.near, length, start, end)
        return self._where(length + self.rim, -self.before, start, end)

    def where_far(self, length: float, start: float, end: float) -> float:
        """The place between two with a far length [mm] between theirs."""
        if self.slope:
            return crossing(self.far, length, start, end)
        return self._where(length - self.rim, self.behind, start, end)

    def _where(self, length: float, past: float, start: float, end: float) -> float:
        line = length / (self.reached + past / self.lean)
        off = math.sqrt(max(line * line - self.square * self.square, 0.0))
        return self.foot + (off if start + end > 2 * self.foot else -off)

    def turns(self, start: float, end: float) -> list[float]:
        """Places between start and end where near or far may turn from rising to falling.

        At s off the foot, w = lean + slope s: the slope of sqrt(p2 + s2) (q - k / w) has the sign of
        q s w2 - k (lean s - slope p2), a cubic in s.
        """
        found = [0.0]
        if self.slope:
            for k in {self.before, -self.behind} - {0.0}:
                found += self._roots(k, start - self.foot, end - self.foot)
        return [self.foot + s for s in found if start < self.foot + s < end]

    def _roots(self, k: float, low: float, high: float) -> list[float]:
        q, a, b, p = self.reached, self.lean, self.slope, self.square

        def rise(s: float) -> float:
            return q * s * (a + b * s) ** 2 - k * (a * s - b * p * p)

        # rise' = 3 q b2 s2 + 4 q a b s + q a2 - k a: between its roots the cubic crosses 0 at most once.
        ends = [low, *_quadratic_roots(3 * q * b * b, 4 * q * a * b, q * a * a - k * a, low, high), high]
        return [
            crossing(rise, 0.0, start, end) for start, end in pairwise(ends) if (rise(start) < 0) != (rise(end) < 0)
        ]


@record
class Squares:
    """Lines square off a straight edge: `start` long at the wall's first corner, `slope` longer for each mm along it.

    shift: from the near edge to the far one; start has the strip taken off already; all [mm].
    """

    start: float
    slope: float
    shift: float

    def near(self, x: float) -> float:
        """The length to the near edge from a place along the wall [mm]."""
        return self.start + self.slope * x

    def far(self, x: float) -> float:
        """The length to the far edge from a place along the wall [mm]."""
        return self.start + self.slope * x + self.shift

    def where_near(self, length: float, start: float, end: float) -> float:  # noqa: ARG002 - both are asked alike
        """The place with this near length [mm]; only where lines are not equally long."""
        return (length - self.start) / self.slope

    def where_far(self, length: float, start: float, end: float) -> float:
        """The place with this far length [mm]; only where lines are not equally long."""
        return self.where_near(length - self.shift, start, end)

    def turns(self, start: float, end: float) -> list[float]:  # noqa: ARG002 - both kinds of lines are asked alike
        """None: both only rise or only fall."""
        return []


Lines: TypeAlias = Rays | Squares


@record
class Pull:
    """The lines from one stretch of a wall, from place to place along it from its first corner; all [mm].

    near, far: the lines' lengths at both places; chord: how far along a curved wall its chord starts, and the wall's
    length for each mm of it.
    """

    wall: str
    start: float
    end: float
    lines: Lines
    near: tuple[float, float]
    far: tuple[float, float]
    chord: tuple[float, float] = (0.0, 1.0)

    def on_wall(self, along: float) -> float:
        """How far along its wall a place is from the first corner [mm]."""
        return self.chord[0] + along * self.chord[1]

    def least_far(self, length: float) -> float:
        """The shortest far length of lines whose near length is over `length` [mm]; inf for none."""
        low, high = sorted(self.near)
        if high <= length:
            return math.inf
        if low > length:
            return min(self.far)
        if self.lines.shift is not None:
            return length + self.lines.shift
        reach = self.lines.far(self.lines.where_near(length, self.start, self.end))
        return min(reach, self.far[self.near.index(high)])

    def most_near(self, length: float) -> float:
        """The longest near length of lines whose far length is under `length` [mm]; -inf for none."""
        low, high = sorted(self.far)
        if low >= length:
            return -math.inf
        if high < length:
            return max(self.near)
        if self.lines.shift is not None:
            return length - self.lines.shift
        reach = self.lines.near(self.lines.where_far(length, self.start, self.end))
        return max(reach, self.near[self.far.index(low)])

    def off_strip(self) -> tuple[float, float] | None:
        """The stretch whose lines have any length off the strip."""
        low, high = sorted(self.near)
        if high <= 0:
            return None
        if low >= 0:
            return self.start, self.end
        place = self.lines.where_near(0.0, self.start, self.end)
        return (place, self.end) if self.near[1] == high else (self.start, place)

    def served(self, length: float) -> tuple[float, float] | None:
        """The stretch that a straightedge serves: it reaches the near edge, not the far one [mm]."""
        start, end = self.start, self.end
        low, high = sorted(self.near)
        if low > length or max(self.far) < length:
            return None
        if high > length:
            place = self.lines.where_near(length, self.start, self.end)
            start, end = (start, place) if self.near[0] == low else (place, end)
        low, high = sorted(self.far)
        if low < length:
            place = self.lines.where_far(length, self.start, self.end)
            start, end = (start, min(end, place)) if self.far[0] == high else (max(start, place), end)
        return (start, end) if end > start else None


def pulls(wall: str, start: float, end: float, lines: Lines, chord: tuple[float, float] = (0.0, 1.0)) -> Iterator[Pull]:
    """The lines of a stretch of wall as pulls; chord as in `Pull`."""
    places = sorted([start, *lines.turns(start, end), end])
    for low, high in pairwise(places):
        if high - low > _SAME:
            near, far = (lines.near(low), lines.near(high)), (lines.far(low), lines.far(high))
            yield Pull(wall, low, high, lines, near, far, chord)


def crossing(function: Callable[[float], float], value: float, low: float, high: float) -> float:
    """Where a function monotone between low and high takes a value between those there (Illinois method)."""
    a, b = function(low) - value, function(high) - value
    side = 0
    for _ in range(_ROUNDS):
        if a == b:
            break
        x = low + (high - low) * a / (a - b)
        c = function(x) - value
        if abs(c) < _SAME:
            return x
        if (c < 0) == (b < 0):
            high, b = x, c
            a = a / 2 if side == 1 else a
            side = 1
        else:
            low, a = x, c
            b = b / 2 if side == -1 else b
            side = -1
    return low if abs(a) < abs(b) else high


def _quadratic_roots(a: float, b: float, c: float, low: float, high: float) -> list[float]:
    inner = b * b - 4 * a * c
    if inner <= 0:
        return []
    root = math.sqrt(inner)
    return [x for x in ((-b - root) / (2 * a), (-b + root) / (2 * a)) if low < x < high]
