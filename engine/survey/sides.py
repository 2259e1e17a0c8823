"""Sides: the straight pieces of a floor's edge."""

import math
from collections.abc import Sequence
from functools import cached_property

import numpy as np
import shapely

from ..arrays import following
from ..records import result
from ..types import Array, Index, Shape

CHORD_OFF = 0.1  # [mm] no chord lies farther than this from its arc
_ON_SIDE = 1e-6  # [mm]
FLAT = 1e-6  # [mm] a wall that bows by less is straight


@result
class Arc:
    """A curved wall: the arc of a circle from corner to corner, all in [mm].

    start, end: its corners (2,); inward: the unit normal (2,) of their line, into the floor; rise: how far its middle
    bows out over that line, negative into the floor.

    Over a chord c with rise h the radius is (c2 / 4 + h2) / (2 h) and half the arc's angle 2 atan(2 h / c): the
    circular segment, as in any table of plane figures. Any rise serves, also past a half circle.
    """

    start: Array
    end: Array
    inward: Array
    rise: float

    @cached_property
    def chord(self) -> float:
        """The straight distance between its ends."""
        return float(np.hypot(*(self.end - self.start)))

    @cached_property
    def radius(self) -> float:
        """The circle's radius, negative where the wall bows into the floor."""
        return (self.chord**2 / 4 + self.rise**2) / (2 * self.rise)

    @cached_property
    def half(self) -> float:
        """Half the arc's angle, signed as the rise [rad]."""
        return 2 * math.atan(2 * self.rise / self.chord)

    @cached_property
    def length(self) -> float:
        """The wall's length along the arc."""
        return 2 * self.half * self.radius

    @cached_property
    def count(self) -> int:
        """How many equal chords keep within CHORD_OFF of the arc; even, so that the middle ends one."""
        radius = abs(self.radius)
        most = math.acos(max(1 - CHORD_OFF / radius, -1.0))  # half the angle of the longest chord
        return 2 * math.ceil(abs(self.half) / (2 * most) - FLAT)

    def points(self, parts: Array) -> Array:
        """Points (k, 2) on the arc at parts of its length from the start (k,) [-]."""
        turn = (2 * parts - 1) * self.half
        along = self.radius * np.sin(turn)
        out = 2 * self.radius * np.sin((self.half + turn) / 2) * np.sin((self.half - turn) / 2)
        direction = (self.end - self.start) / self.chord
        return (self.start + self.end) / 2 + along[:, None] * direction - out[:, None] * self.inward

    def normals(self, parts: Array) -> Array:
        """Unit vectors (k, 2) square to the arc at such parts, into the floor."""
        turn = ((2 * parts - 1) * self.half)[:, None]
        direction = (self.end - self.start) / self.chord
        return np.cos(turn) * self.inward - np.sin(turn) * direction


@result
class Sides:
    """The straight sides of a floor's outline, in the order of its corners, all in [mm].

    starts: where each starts (m, 2); walls: its wall's number (m,); before: how far along that it starts; stretch: the
    wall's length for each mm of side, 1 where straight; first: each wall's first side's number (n,); is_left: the floor
    is on their left.
    """

    starts: Array
    walls: Index
    before: Array
    stretch: Array
    first: Index
    is_left: bool

    @cached_property
    def ends(self) -> Array:
        """Where each side ends (m, 2)."""
        return following(self.starts)

    @cached_property
    def lengths(self) -> Array:
        """The sides' lengths (m,)."""
        return np.asarray(np.hypot(*(self.ends - self.starts).T))

    @cached_property
    def directions(self) -> Array:
        """Unit vectors along the sides (m, 2)."""
        return (self.ends - self.starts) / self.lengths[:, None]

    @cached_property
    def inward(self) -> Array:
        """Unit vectors square to the sides, into the floor (m, 2)."""
        left = np.array([-self.directions[:, 1], self.directions[:, 0]]).T
        return left if self.is_left else -left

    @cached_property
    def lines(self) -> Shape:
        """The sides as shapely lines (m,)."""
        return shapely.linestrings(np.stack([self.starts, self.ends], axis=1))

    def at(self, points: Array) -> Index:
        """The number of the side that each point (k, 2) lies on, -1 for none (k,)."""
        offset = points[:, None] - self.starts
        along = (offset * self.directions).sum(axis=2)
        beyond = np.maximum(np.maximum(-along, along - self.lengths), 0.0)
        off = np.maximum(np.abs((offset * self.inward).sum(axis=2)), beyond)
        nearest = off.argmin(axis=1)
        return np.where(off[np.arange(len(points)), nearest] <= _ON_SIDE, nearest, -1)

    def most(self, values: Array) -> Array:
        """The most of a figure of the sides (m,) for each wall (n,)."""
        return np.maximum.reduceat(values, self.first)

    def least(self, values: Array) -> Array:
        """The least of a figure of the sides (m,) for each wall (n,)."""
        return np.minimum.reduceat(values, self.first)


def straight(corners: Array, *, left: bool) -> Sides:
    """The sides of a ring of straight walls (n, 2) [mm]; left: whether the floor is on their left."""
    walls = np.arange(len(corners))
    return Sides(corners, walls, np.zeros(len(corners)), np.ones(len(corners)), walls, left)


def chained(corners: Array, arcs: Sequence[Arc | None], *, left: bool) -> Sides:
    """The sides of a ring of walls (n, 2) [mm], some of them arcs; None is a straight wall."""
    counts = np.array([1 if arc is None else arc.count for arc in arcs])
    first = np.cumsum(counts) - counts
    walls = np.repeat(np.arange(len(arcs)), counts)
    parts = (np.arange(len(walls)) - first[walls]) / counts[walls]
    points = corners[walls]
    for wall, arc in enumerate(arcs):
        if arc:
            points[walls == wall] = arc.points(parts[walls == wall])
    points[first] = corners  # to the last digit
    lengths = np.array([math.nan if arc is None else arc.length for arc in arcs])[walls]
    chords = np.hypot(*(following(points) - points).T)
    stretch = np.where(np.isnan(lengths), 1.0, lengths / counts[walls] / chords)
    return Sides(points, walls, np.nan_to_num(parts * lengths), stretch, first, left)
