"""Random rooms: rectangles, rooms that their drain sees whole, and any simple room, with posts."""

from __future__ import annotations

from dataclasses import dataclass, field
from types import SimpleNamespace

import numpy as np
import pytest
import shapely
from hypothesis import assume
from hypothesis import strategies as st

CLEAR = 15.0  # [mm] kept between a flange and the walls
UNITS_APART = 97.0  # [mm] an odd grid for corners, so that few stand in one line


LEVEL_WALLS = st.just("level-walls")
EITHER_SHAPE = st.sampled_from(["level-walls", "even-fall"])


@dataclass
class Room:
    """A room as the tests' `make_plan` takes it: corners, and its words."""

    corners: np.ndarray
    words: dict
    islands: list = field(default_factory=list)

    @property
    def polygon(self):
        return shapely.Polygon(self.corners, self.islands)

    def planned(self, make_plan, **other):
        return make_plan(self.corners, islands=self.islands, **{**self.words, **other})

    def points(self, count, seed=0):
        """Random points on the floor, and points along every wall (k, 2)."""
        low, high = np.array(self.polygon.bounds).reshape(2, 2)
        points = np.random.default_rng(seed).uniform(low, high, (count, 2))
        along = np.linspace(0, 1, 2 + count // 40)[:, None, None]
        walls = [(ring + along * (np.roll(ring, -1, axis=0) - ring)).reshape(-1, 2) for ring in self.rings]
        return np.vstack([points[shapely.contains_xy(self.polygon, points)], *walls])

    @property
    def rings(self):
        return [np.asarray(ring, dtype=float) for ring in (self.corners, *self.islands)]


def _reach(size, kind):
    return size / 2 * (2**0.5 if kind == "square" else 1)


def _surveyed(draw, polygon, most):
    """Readings at random places on the floor, of a floor that leans and is uneven."""
    count, seed = draw(st.integers(0, most)), draw(st.integers(0, 2**16))
    rng = np.random.default_rng(seed)
    low, high = np.array(polygon.bounds).reshape(2, 2)
    places = np.round(rng.uniform(low, high, (6 * count, 2)), 1)
    places = places[shapely.contains_xy(polygon, places)][:count]
    drops = np.round(500 + places @ rng.uniform(-0.01, 0.01, 2) + rng.normal(0, 4, len(places)), 1)
    return list(zip(places.tolist(), drops.tolist(), strict=True))


def _words(draw, at, shape, polygon, most=9):
    kind = draw(st.sampled_from(["round", "square"]))
    size = draw(st.sampled_from([50.0, 80.0, 120.0]))
    away = shapely.distance(shapely.boundary(polygon), shapely.Point(at))
    assume(polygon.contains(shapely.Point(at)) and away > _reach(size, kind) + CLEAR)
    return {
        "at": tuple(at),
        "size": size,
        "kind": kind,
        "shape": shape,
        "drop": 430.0,
        "readings": _surveyed(draw, polygon, most),
    }


@st.composite
def rectangles(draw, shape=EITHER_SHAPE, most=2500):
    """A rectangle with its drain anywhere."""
    wide, deep = draw(st.integers(500, most)), draw(st.integers(500, most))
    part = st.floats(0.1, 0.9)
    corners = np.array([(0, 0), (wide, 0), (wide, deep), (0, deep)], dtype=float)
    at = round(wide * draw(part), 1), round(deep * draw(part), 1)
    return Room(corners, _words(draw, at, draw(shape), shapely.Polygon(corners)))


@st.composite
def stars(draw, most=1100, least=300, shape=LEVEL_WALLS):
    """A room seen whole from its drain at the origin: corners at any distance, in the order of their directions."""
    count = draw(st.integers(4, 9))
    turns = [draw(st.floats(0.0, 0.8)) for _ in range(count)]
    far = [draw(st.integers(least, most)) for _ in range(count)]
    angles = 2 * np.pi * (np.arange(count) + turns) / count
    corners = np.round(np.column_stack([np.cos(angles), np.sin(angles)]) * np.array(far)[:, None], 2)
    assume(np.diff(np.append(angles, angles[0] + 2 * np.pi)).max() < 0.95 * np.pi)
    return Room(corners, _words(draw, (0.0, 0.0), draw(shape), shapely.Polygon(corners)))


def _untangled(points):
    """The points in an order in which no two sides cross: crossing pairs are turned round until none is left."""
    ring, count = points.copy(), len(points)
    apart = np.triu(np.ones((count, count), dtype=bool), 2)
    apart[0, -1] = False  # the last side ends where the first begins
    for _ in range(200):
        sides = shapely.linestrings(np.stack([ring, np.roll(ring, -1, axis=0)], axis=1))
        crossing = np.argwhere(apart & shapely.intersects(sides[:, None], sides))
        if not len(crossing):
            return ring
        i, j = crossing[0]
        ring[i + 1 : j + 1] = ring[i + 1 : j + 1][::-1].copy()
    return None


def _post(draw, polygon):
    """A post well inside the floor: some corners on a circle round the place farthest from every wall."""
    widest = shapely.maximum_inscribed_circle(polygon, tolerance=5.0)
    centre, radius = shapely.get_coordinates(widest)[0], shapely.length(widest)
    sides, turn, part = draw(st.integers(3, 6)), draw(st.floats(0, 1)), draw(st.floats(0.2, 0.6))
    angles = 2 * np.pi * (np.arange(sides) + turn) / sides
    return np.round(centre + part * radius * np.column_stack([np.cos(angles), np.sin(angles)]), 2)


@st.composite
def simple(draw, most_posts=2):
    """Any room whose walls do not cross, with posts, the drain anywhere; even fall."""
    cell = st.tuples(st.integers(0, 25), st.integers(0, 25))
    cells = draw(st.lists(cell, min_size=4, max_size=10, unique=True))
    corners = _untangled(np.array(cells) * UNITS_APART)
    assume(corners is not None)
    polygon = shapely.Polygon(corners)
    assume(polygon.is_valid and polygon.area > 4e5)
    assume(shapely.length(shapely.maximum_inscribed_circle(polygon, tolerance=5.0)) > 120)
    islands = []
    for _ in range(draw(st.integers(0, most_posts))):
        islands.append(_post(draw, polygon))
        polygon = shapely.Polygon(corners, islands)
    widest = shapely.maximum_inscribed_circle(polygon, tolerance=5.0)
    at = np.round(shapely.get_coordinates(widest)[0], 1)
    return Room(corners, _words(draw, at.tolist(), "even-fall", polygon), islands)


@pytest.fixture(scope="session")
def rooms():
    """The strategies by name, for tests that draw."""
    return SimpleNamespace(rectangles=rectangles, stars=stars, simple=simple)
