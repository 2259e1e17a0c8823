"""Rooms as job files, written from numbers, and random rooms with a drain that does not see the whole floor."""

from __future__ import annotations

import gc
import os
import sys
from functools import cache, lru_cache

import numpy as np
import pytest
import shapely
from hypothesis import settings

from engine.bed.falls import Terms
from engine.bed.flange import Flange
from engine.bed.hidden import hidden_part
from engine.bed.reach import Reach
from engine.bed.valley.plan import valley_walls
from engine.job.model import DrainKind, EdgeKind
from engine.job.toml_file import parse_job, read_job
from engine.plan import plan
from engine.survey.outline import FloorOutline, corner_names

_FALL = 1 / 48
_NARROWEST = 220.0  # [mm] between walls that do not meet
_SHORTEST = 60.0  # [mm] a wall
_CORNERS = 12
_DRAIN = 40.0  # [mm] radius

# What is compiled is kept, whatever the environment says: without it each of the many commands that tests start
# would compile the engine and the wizard again, and each run the tests.
sys.dont_write_bytecode = False
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)


settings.register_profile("long", max_examples=2_000)  # where no number is given, 100 are usual


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config, log):
    """Each process starts on a stretch of its own, so that what a file's tests share is made in one of them."""
    from xdist.scheduler import WorkStealingScheduling

    return WorkStealingScheduling(config, log) if config.getoption("dist") == "load" else None


def pytest_collection_finish():
    """What is imported and collected stays to the end: the collector of garbage need not look through it again."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(10_000, 20, 20)


def _number(value):
    """A number as a person could write it: no noise, for which the reader would refuse it."""
    return repr(round(float(value), 10) + 0.0)


def _pairs(points):
    return "[" + ", ".join(f"[{_number(x)}, {_number(y)}]" for x, y in points) + "]"


def _place(at):
    """A place from its TOML text, or from a pair of coordinates."""
    if isinstance(at, str):
        return at
    x, y = at
    return f"{{ x = {_number(x)}, y = {_number(y)} }}"


def _value(value):
    return f'"{value}"' if isinstance(value, str) else _number(value)


def _outline(outline, islands, extra):
    given = outline if isinstance(outline, str) else f"corners = {_pairs(outline)}"
    posts = ", ".join(f"{{ corners = {_pairs(island)} }}" for island in islands)
    return f"[outline]\n{given}\n{extra}\n" + (f"islands = [{posts}]\n" if posts else "")


def _drain(at, size, kind, drop):
    lines = [f'[[drains]]\nkind = "{kind}"\nsize = {_value(size)}\nat = {_place(at)}']
    return "\n".join(lines + ([] if drop is None else [f"drop = {_value(drop)}"])) + "\n"


def room_text(
    outline,
    *,
    at=None,
    size=100.0,
    kind="round",
    drop=None,
    shape="level-walls",
    fall="1:48",
    mark_step=1.0,
    bed="",
    readings=(),
    islands=(),
    units="mm",
    rulebook="us-model",
    outline_extra="",
    extra="",
):
    """The text of a job: `outline` as TOML or as corner pairs, places as TOML or as pairs, the rest as values."""
    parts = [
        f'format = 1\n[job]\nname = "a room"\nunits = "{units}"\nrulebook = "{rulebook}"\n',
        '[floor]\nkind = "concrete"\nbond_coat = true\n',
        _outline(outline, islands, outline_extra),
        "" if at is None else _drain(at, size, kind, drop),
        *(f"[[readings]]\nat = {_place(place)}\ndrop = {_value(down)}\n" for place, down in readings),
        "" if shape is None else f'[bed]\nshape = "{shape}"\nfall = "{fall}"\nmark_step = {_value(mark_step)}\n{bed}\n',
        extra,
    ]
    return "\n".join(parts)


@pytest.fixture(scope="session")
def make_job():
    """A job by `room_text`'s words, read by the reader."""

    def build(outline, **words):
        return parse_job(room_text(outline, **words))

    return build


@lru_cache(maxsize=64)
def _plan_of_text(text):
    return plan(parse_job(text))


@pytest.fixture(scope="session")
def make_plan():
    """The plan of a job by `room_text`'s words; of the same words again it is the same plan, which nothing changes."""

    def build(outline, **words):
        return _plan_of_text(room_text(outline, **words))

    return build


@lru_cache(maxsize=300)
def _plan_once(job):
    return plan(job)


@pytest.fixture(scope="session")
def plan_once():
    """The plan of a job, made once for all that plan the same one again and again: nothing changes a plan."""
    return _plan_once


@pytest.fixture
def moved_once(monkeypatch, plan_once):
    """Jobs with one entry moved are planned once for all figures that are asked what they rest on."""
    monkeypatch.setattr("engine.sheets.influence.plan_of", plan_once)


@cache
def _plan_of(path):
    return plan(read_job(path))


@pytest.fixture(scope="session")
def plan_of():
    """The plan of a job's file, made once: nothing changes a plan, and what it reckons when asked is kept in it."""
    return _plan_of


def _star(seed):
    """A room of up to 12 corners whose walls go once round a middle: some are seen whole from somewhere."""
    rng = np.random.default_rng(seed)
    count = int(rng.integers(4, 13))
    angles = np.sort(rng.uniform(0, 2 * np.pi, count))
    far = rng.uniform(500, 1500, count)
    ring = far[:, None] * np.column_stack([np.cos(angles), np.sin(angles)])
    return ring if rng.random() < 0.5 else ring[::-1]


@pytest.fixture(scope="session")
def star():
    return _star


def floor_of(corners, islands=()):
    rings = tuple(np.array(ring, dtype=float) for ring in islands)
    walls = (EdgeKind.WALL,) * len(corners)
    return FloorOutline(np.array(corners, dtype=float), corner_names(len(corners)), walls, rings)


def reach_of(corners, at, *, radius=_DRAIN, islands=(), kind=DrainKind.ROUND, axis=(1.0, 0.0), length=0.0):
    flange = Flange(kind, np.array(at, dtype=float), 2 * radius, np.array(axis), length)
    return Reach(floor_of(corners, islands), flange)


def bed_of(reach, *, fall=_FALL, most=None, mark_step=1e-3, height=None, square=False):
    return valley_walls(height, reach, hidden_part(reach), Terms(fall, mark_step, square, most_fall=most))


def _rectangles(rng):
    """Two to four rectangles run together, a room of legs and bays, some of them askew."""
    parts = []
    for _ in range(int(rng.integers(2, 5))):
        half = rng.uniform(200, 900, 2)
        ring = rng.uniform(-700, 700, 2) + half * [[-1, -1], [1, -1], [1, 1], [-1, 1]]
        turn = rng.choice([0.0, 0.0, rng.uniform(0, 90)])
        parts.append(shapely.transform(shapely.Polygon(ring), _turned(np.radians(turn))))
    return shapely.union_all(parts)


def _turned(turn):
    matrix = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    return lambda points: points @ matrix


def _walled_round(rng):
    """Walls once round a middle, near and far."""
    angles = np.sort(rng.uniform(0, 2 * np.pi, int(rng.integers(5, _CORNERS + 1))))
    far = rng.uniform(350, 1500, len(angles))
    return shapely.Polygon(far[:, None] * np.column_stack([np.cos(angles), np.sin(angles)]))


def _is_room(polygon):
    if polygon.geom_type != "Polygon" or len(polygon.interiors) or not polygon.is_valid:
        return False
    ring = shapely.get_coordinates(polygon.exterior)[:-1]
    count = len(ring)
    sides = shapely.linestrings(np.stack([ring, np.roll(ring, -1, axis=0)], axis=1))
    apart = shapely.distance(sides[:, None], sides)
    gap = (np.arange(count)[:, None] - np.arange(count)) % count
    far = apart[(gap > 1) & (gap < count - 1)]
    return count <= _CORNERS and far.min(initial=np.inf) > _NARROWEST and shapely.length(sides).min() > _SHORTEST


def hidden_room(seed):
    """Corners (n, 2) of a room of up to twelve, and a drain's place (2,) from which a part of it is hidden [mm]."""
    rng = np.random.default_rng(seed)
    while True:
        polygon = (_rectangles if rng.random() < 0.6 else _walled_round)(rng).simplify(0.5)
        inner = polygon.buffer(-_DRAIN - 60) if _is_room(polygon) else polygon
        if inner is polygon or inner.is_empty:
            continue
        low, high = np.array(inner.bounds).reshape(2, 2)
        ring = np.round(shapely.get_coordinates(polygon.exterior)[:-1], 1)
        for at in np.round(rng.uniform(low, high, (20, 2)), 1):
            if inner.contains(shapely.Point(at)) and hidden_part(reach_of(ring, at)) is not None:
                return ring, at


@cache
def hidden_bed(seed):
    """The bed of that room, every other one looked for within 1/2 in per ft."""
    return bed_of(reach_of(*hidden_room(seed)), most=1 / 24 if seed % 2 else None)


@pytest.fixture(scope="session")
def make_reach():
    return reach_of


@pytest.fixture(scope="session")
def make_valleys():
    return bed_of


@pytest.fixture(scope="session")
def make_hidden_room():
    return hidden_room


@pytest.fixture(scope="session")
def make_hidden_bed():
    return hidden_bed
