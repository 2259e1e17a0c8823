"""What is told of level walls with a drain elsewhere, against beds that are laid there."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest
import shapely

from engine.bed.level_walls import LevelWalls
from engine.bed.parted_walls import PartedWalls
from engine.bed.valley.bed import ValleyWalls
from engine.errors import JobError
from engine.job.toml_file import parse_job
from engine.plan import bed_of
from engine.plan import plan as planned
from engine.remedies.any_parting import AnyParting
from engine.remedies.level_bounds import Bounds
from engine.remedies.places import NO_MOST, parting
from engine.remedies.trials import Trials

ROOM = {
    "oblong": [(0, 0), (1700, 0), (1700, 1200), (0, 1200)],
    "leaning": [(0, 60), (1500, 0), (1720, 1300), (90, 1180)],
    "seven": [(300, 0), (1200, 0), (1800, 500), (1850, 1000), (1300, 1600), (500, 1650), (0, 800)],
    "bent": [(0, 0), (1800, 0), (1800, 1500), (900, 1380), (0, 1500)],
}
HIDING = {
    "L": [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)],
    "U": [(0, 0), (2100, 0), (2100, 1600), (1500, 1600), (1500, 600), (700, 600), (700, 1600), (0, 1600)],
}
CASES = [
    (room, kind, heads, book)
    for room in ROOM
    for kind, heads, book in (
        ("round", (0,), "us-model"),
        ("square", (0,), "au-ncc"),
        ("round", (0, 0), "us-model"),
        ("square", (0, 6), "us-model"),
        ("round", (0, -9, 0), "uk-bs5385"),
    )
]
NOISE = 1e-6


def job(ring, drains, kind, book, wall_height=None):
    corners = ", ".join(f"[{x:.0f}, {y:.0f}]" for x, y in ring)
    head = f'format = 1\n[job]\nname = "a"\nunits = "mm"\nrulebook = "{book}"\n'
    head += '[floor]\nkind = "concrete"\nbond_coat = true\n'
    told = "".join(
        f'[[drains]]\nkind = "{kind}"\nsize = 110\nat = {{ x = {x:.3f}, y = {y:.3f} }}\ndrop = {500 - up}\n'
        for x, y, up in drains
    )
    own = f"wall_height = {wall_height}\n" if wall_height else ""
    bed = f'[bed]\nshape = "level-walls"\nfall = "2.1 %"\nmark_step = 1\n{own}'
    return parse_job(f"{head}[outline]\ncorners = [{corners}]\n{told}{bed}")


def places_in(ring, count, rng, room=90.0):
    inside = shapely.buffer(shapely.polygons(ring), -room)
    low, high = np.min(ring, axis=0), np.max(ring, axis=0)
    places = rng.uniform(low, high, (60 * count, 2))
    return places[shapely.contains_xy(inside, *places.T)][:count].round(3)


def held(ring, drains, kind, book, wall_height=None):
    trials = Trials(planned(job(ring, drains, kind, book, wall_height)))
    own = parting(trials, 1.0, dict.fromkeys(range(len(drains)), NO_MOST))
    assert own is not None
    return own


def bounds_at(own, place, slack, points):
    """The least and the most that the bed can be at points (k, 2), with the first drain so near a place; else None."""
    at, near = place[None], np.array([slack])
    found = []
    if not own.excess(0, at, near)[1][0]:
        return None
    layouts = [own.levels] + [0 * own.levels] * bool(own.known_runs(0, at, near, own.levels)[-1][0])
    for heads in layouts:
        far, _, is_blind, *_ = own.known_runs(0, at, near, heads)
        if not is_blind[0]:
            ways = [Bounds(own, 0, at, near, heads, own.levels, far, way) for way in (-1, 1)]
            found.append([[each.heights(point)[0] for point in points] for each in ways])
    return (np.min([low for low, _ in found], axis=0), np.max([high for _, high in found], axis=0)) if found else None


@pytest.mark.parametrize(("room", "kind", "heads", "book"), CASES)
def test_the_bed_is_as_high_as_is_told(room, kind, heads, book):
    """Without slack exactly, but where two layouts of ridges may be; with some between the bounds."""
    rng, ring, seen = np.random.default_rng(len(room) + len(heads)), ROOM[room], 0
    points = np.vstack([np.array(ring, dtype=float), places_in(ring, 20, rng, 1.0)])
    for slack in (0.0, 2.0, 40.0, 0.0):
        at = places_in(ring, len(heads), rng)
        drains = [(*place, head) for place, head in zip(at, heads, strict=True)]
        try:
            own = held(ring, drains, kind, book, 60 if slack else None)
        except JobError:
            continue
        told = bounds_at(own, at[0] + rng.uniform(-0.7, 0.7, 2) * slack, slack, points)
        bed = bed_of(job(ring, drains, kind, book, 60 if slack else None))
        if told is None or not isinstance(bed, LevelWalls | PartedWalls):
            continue
        height, seen = bed.height(points), seen + 1
        assert (told[0] - NOISE <= height).all()
        assert (height <= told[1] + NOISE).all()
        if not slack and not any(heads):
            assert told[1] - told[0] == pytest.approx(0.0, abs=NOISE)
    assert seen > 1


@pytest.mark.parametrize("room", HIDING)
def test_a_bed_with_valleys_falls_all_the_way_and_stands_no_higher_than_is_told(room):
    """From walls that lie off a place it falls there too; round what hides it as long a way as by trial at most."""
    rng, ring, seen = np.random.default_rng(3), HIDING[room], 0
    points = np.vstack([np.array(ring, dtype=float), places_in(ring, 40, rng, 1.0)])
    off = shapely.distance(shapely.boundary(shapely.polygons(ring)), shapely.points(points))
    for place in places_in(ring, 14, rng):
        bed = bed_of(job(ring, [(*place, 0)], "round", "us-model"))
        if isinstance(bed, ValleyWalls):
            own = held(ring, [(*place, 0)], "round", "us-model")
            (most,) = AnyParting(own, 0).highest(place[None], np.zeros(1))
            height, seen = bed.height(points), seen + 1
            assert bed.wall_height <= most
            assert (height <= bed.wall_height - own.fall * off + NOISE).all()
            assert (height >= own.fall * bed.reach.way(points) - NOISE).all()
    assert seen > 4


@pytest.mark.parametrize("room", HIDING)
def test_walls_with_valleys_stand_not_much_higher_for_a_drain_near_by(room):
    """By 11 in 100, twice the fall over the way between the two, and a mark's step."""
    rng, ring, fall = np.random.default_rng(8), HIDING[room], 0.021
    ways = np.arange(8) * np.pi / 4
    around = np.column_stack([np.cos(ways), np.sin(ways)]) * np.array([3, 10, 30, 100, 3, 10, 30, 100])[:, None]
    walls = dict[tuple[float, float], float]()
    for at in places_in(ring, 3, rng, 200.0):
        for place in [at, *(at + around).round(3)]:
            bed = bed_of(job(ring, [(*place, 0)], "round", "us-model"))
            if isinstance(bed, ValleyWalls):
                walls[(float(place[0]), float(place[1]))] = bed.wall_height
    assert len(walls) > 8
    for (one, height), (other, other_height) in permutations(walls.items(), 2):
        assert height <= 1.11 * other_height + 2 * fall * np.hypot(*np.subtract(one, other)) + 1
