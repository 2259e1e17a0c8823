"""The net of valleys, each at its height."""

import math
from functools import cached_property

from ...records import result
from ...types import Array


@result
class Net:
    """Valleys on a floor: places (n, 2), the drain's centre first; ways (n,) [mm] along them to the flange.

    edges: pairs of place numbers, the lower one first. At a summit two valleys begin, back to back.
    """

    places: Array
    ways: Array
    edges: tuple[tuple[int, int], ...]

    @cached_property
    def around(self) -> tuple[tuple[int, ...], ...]:
        """For each place its neighbours, counter-clockwise."""
        found: list[list[int]] = [[] for _ in self.ways]
        for low, high in self.edges:
            found[low].append(high)
            found[high].append(low)
        return tuple(tuple(sorted(others, key=lambda k: self.heading(i, k))) for i, others in enumerate(found))

    @cached_property
    def _listed(self) -> list[list[float]]:
        listed: list[list[float]] = self.places.tolist()
        return listed

    def heading(self, start: int, end: int) -> float:
        """The direction from one place to another [rad]."""
        return self._heading_to(start, self._listed[end])

    def _heading_to(self, start: int, place: list[float]) -> float:
        x, y = self._listed[start]
        return math.atan2(place[1] - y, place[0] - x)

    def next_round(self, at: int, heading: float) -> int:
        """The neighbour met first turning left from a heading [rad], one on that heading last."""
        return min(self.around[at], key=lambda other: (self.heading(at, other) - heading) % math.tau or math.tau)

    def tour(self, start: int, toward: Array) -> list[int]:
        """The walk from `start` back to it, floor on the right, round the side that faces the place `toward` (2,).

        It turns into the first valley counter-clockwise from the last. Alone, the start is all.
        """
        if not self.around[start]:
            return [start]
        first = self.next_round(start, self._heading_to(start, toward.tolist()))
        walk, at = [start, first], first
        while True:
            others = self.around[at]  # in turn, so that the walk closes even with two valleys on one line
            onward = others[(others.index(walk[-2]) + 1) % len(others)]
            if at == start and onward == first:
                return walk
            walk.append(onward)
            at = onward

    @property
    def leaves(self) -> tuple[int, ...]:
        """The relays at the valleys' far ends, highest first."""
        ends = [i for i in range(1, len(self.ways)) if len(self.around[i]) == 1]
        return tuple(sorted(ends, key=lambda i: -self.ways[i]))

    def without(self, leaf: int) -> "Net":
        """The net less one leaf."""
        return self.only([i for i in range(len(self.ways)) if i != leaf])

    def only(self, kept: list[int]) -> "Net":
        """The net of some of its places, in their order."""
        number = {old: new for new, old in enumerate(kept)}
        edges = tuple((number[a], number[b]) for a, b in self.edges if a in number and b in number)
        return Net(self.places[kept], self.ways[kept], edges)
