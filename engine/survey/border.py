"""Borders: the rings of walls the bed ends at, the outline's and every island's."""

from functools import cached_property

import numpy as np

from ..arrays import following, signed_area
from ..job.model import EdgeKind
from ..phrases import phrase
from ..records import result
from ..types import Array, Index
from .sides import FLAT, Arc, Sides, chained, straight


class Border:
    """A ring of walls in the floor's coordinates, all in [mm].

    corners: (n, 2) in the order given, either way round; names: one a corner; kinds: what stands at the edge from
    corner i to i + 1; rises: how far each wall's middle bows out of the floor, () where all are straight; ring_name:
    tells its corners from other rings', "" for the outline; first_edge: its first edge's number among all rings', the
    outline's first.
    """

    corners: Array
    names: tuple[str, ...]
    kinds: tuple[EdgeKind, ...]
    rises: tuple[float, ...]
    ring_name: str = ""
    first_edge: int = 0

    @cached_property
    def is_counter_clockwise(self) -> bool:
        """Whether the corners enclose what is on their left."""
        return signed_area(self.corners) > 0

    @property
    def is_left(self) -> bool:
        """Whether the corners are walked with the floor on the left."""
        return self.is_counter_clockwise

    @cached_property
    def arcs(self) -> tuple[Arc | None, ...]:
        """The walls as arcs; None for a straight one."""
        return tuple(
            Arc(self.corners[i], self.ends[i], self.inward[i], rise) if abs(rise) > FLAT else None
            for i, rise in enumerate(self.rises or (0.0,) * len(self.names))
        )

    @cached_property
    def is_curved(self) -> bool:
        """Whether any wall is curved."""
        return any(abs(rise) > FLAT for rise in self.rises)

    @cached_property
    def sides(self) -> Sides:
        """The ring's straight sides: its walls, the curved ones as chords."""
        return (
            chained(self.corners, self.arcs, left=self.is_left)
            if self.is_curved
            else straight(self.corners, left=self.is_left)
        )

    @property
    def ring(self) -> Array:
        """The ring's points, the chords' ends among them (m, 2)."""
        return self.sides.starts

    @cached_property
    def ends(self) -> Array:
        """Where each wall ends: the next corner, (n, 2)."""
        return following(self.corners)

    @cached_property
    def spans(self) -> Array:
        """The straight distances from corner to corner, (n,)."""
        return np.asarray(np.hypot(*(self.ends - self.corners).T))

    @cached_property
    def lengths(self) -> Array:
        """The walls' lengths, along the arc where curved, (n,)."""
        spans = self.spans.tolist()
        return np.array([arc.length if arc else span for arc, span in zip(self.arcs, spans, strict=True)])

    @cached_property
    def directions(self) -> Array:
        """Unit vectors from corner to corner, (n, 2)."""
        return (self.ends - self.corners) / self.spans[:, None]

    @cached_property
    def inward(self) -> Array:
        """Unit vectors square to `directions`, into the floor, (n, 2)."""
        left = np.column_stack([-self.directions[:, 1], self.directions[:, 0]])
        return left if self.is_left else -left

    def on_walls(self, walls: Index, alongs: Array) -> Array:
        """Points of the ring `alongs` (k,) walls (k,) from their first corners, (k, 2)."""
        sides = self.sides
        counts = np.diff(np.append(sides.first, len(sides.walls)))[walls]
        nth = np.clip(np.floor(alongs / self.lengths[walls] * counts).astype(np.intp), 0, counts - 1)
        at = sides.first[walls] + nth
        local = (alongs - sides.before[at]) / sides.stretch[at]
        return np.asarray(sides.starts[at] + local[:, None] * sides.directions[at])

    def on_wall(self, wall: int, alongs: Array) -> Array:
        """Points of the ring `alongs` (k,) one wall from its first corner, (k, 2)."""
        return self.on_walls(np.full(len(alongs), wall), alongs)

    def middle(self, wall: int) -> Array:
        """The middle of a wall (2,)."""
        return np.asarray(self.on_wall(wall, np.array([self.length(wall) / 2]))[0])

    def square_to(self, wall: int, along: float) -> Array:
        """The unit vector square to a wall at a place along it, into the floor (2,)."""
        arc = self.arcs[wall]
        return np.asarray(self.inward[wall] if arc is None else arc.normals(np.array([along / arc.length]))[0])

    @cached_property
    def edge_sides(self) -> Index:
        """The number of each edge's side, the ring walked with the floor on the left (m,)."""
        numbers = np.arange(len(self.ring))
        # Walked the other way round the edges go from the last corner.
        return numbers if self.is_left else (len(numbers) - 2 - numbers) % len(numbers)

    @cached_property
    def walls(self) -> tuple[str, ...]:
        """The walls' names in order: "A-B", "B-C" ... back to the first corner."""
        following = self.names[1:] + self.names[:1]
        return tuple(f"{a}-{b}" for a, b in zip(self.names, following, strict=True))

    def ends_of(self, index: int) -> tuple[str, str]:
        """The names of a wall's two corners."""
        return self.names[index], self.names[(index + 1) % len(self.names)]

    def length(self, index: int) -> float:
        """The length of the wall from corner number `index`."""
        return float(self.lengths[index])


def corner_words(name: str) -> str:
    """A corner by its name: "corner A", "island 1 corner 2"."""
    return name if " " in name else phrase("corner {corner}", corner=name)


def first_corner(wall: str) -> str:
    """The corner that places along a wall count from: A of "A-B", corner 2 of "island 1 side 2-3"."""
    ring, _, ends = wall.rpartition(" ")
    first = ends.split("-")[0]
    return phrase("corner {corner}", corner=first) if ring else first


@result
class IslandBorder(Border):
    """The ring of an island: the floor lies outside it, and bed and strips stand round it.

    Its corners are numbered in the order given: "island 1 corner 2"; its sides by their corners: "island 1 side 2-3".
    """

    corners: Array
    ring_name: str
    first_edge: int
    rises: tuple[float, ...] = ()

    @property
    def is_left(self) -> bool:
        """Whether the corners are walked clockwise: the floor on the left."""
        return not self.is_counter_clockwise

    @cached_property
    def names(self) -> tuple[str, ...]:  # type: ignore[override]  # reckoned from the ring's own name
        """The corners' names."""
        return tuple(
            phrase("{island} corner {corner}", island=self.ring_name, corner=i + 1) for i in range(len(self.corners))
        )

    @cached_property
    def kinds(self) -> tuple[EdgeKind, ...]:  # type: ignore[override]  # all alike
        """Every side stands up as a wall does."""
        return (EdgeKind.WALL,) * len(self.corners)

    @cached_property
    def walls(self) -> tuple[str, ...]:
        """The sides' names."""
        count = len(self.corners)
        return tuple(
            phrase("{island} side {first}-{last}", island=self.ring_name, first=i + 1, last=(i + 1) % count + 1)
            for i in range(count)
        )

    def ends_of(self, index: int) -> tuple[str, str]:
        """The names of a side's two corners, without the island's own."""
        numbers = (index + 1, (index + 1) % len(self.corners) + 1)
        first, last = (phrase("corner {corner}", corner=number) for number in numbers)
        return first, last
