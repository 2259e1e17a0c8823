"""Small floors made larger: drains, readings and islands stay where they are, whatever they are told from."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from engine.limits.findings import Level
from engine.plan import plan
from engine.quantities import INCH, Units
from engine.remedies import changed, remedies
from engine.remedies.builds import enlarge
from engine.remedies.pushed_walls import _as_entered, _least_push, push_wall
from engine.remedies.retold import told_places
from engine.remedies.trials import Trials
from engine.survey.outline import outline
from engine.survey.places import locate

HALF_STEP = {Units.MM: 0.5, Units.INCH: INCH / 32}  # [mm]
POST = [(300, 250), (340, 250), (340, 290), (300, 290)]
READ = [
    *(f'"{corner}"' for corner in "ABC"),
    '{ wall = "A-B", along = 210 }',
    '{ wall = "B-C", along = 190, off = 40 }',
    '{ wall = "C-A", along = 120 }',
    '{ "A-B" = 100, "B-C" = 90 }',
    "{ x = 200, y = 150 }",
]


def small(planned):
    return [found for found in planned.findings if found.rule == "floor-small" and found.level is Level.STOP]


def spots(job):
    """Where all that is told lies in the plan (n, 2): drains, readings, those of the finished bed, islands' corners."""
    floor = outline(job)
    return np.vstack([*(locate(place, floor, key) for key, place in told_places(job)), *floor.islands])


def room(seed):
    """A room of 3 to 6 slanted walls, or a rectangle, either way round: its corners (n, 2) [mm]."""
    rng = np.random.default_rng(seed)
    if seed % 3 == 0:
        corners = np.array([[0, 0], [1, 0], [1, 1], [0, 1]]) * rng.integers(500, 760, 2)
    else:
        count = int(rng.integers(3, 7))
        turn = np.linspace(0, 2 * np.pi, count, endpoint=False) + rng.uniform(-0.2, 0.2, count)
        corners = np.column_stack([np.cos(turn), np.sin(turn)]) * rng.uniform(380, 430)
    return (corners[::-1] if seed % 2 else corners).round()


def walked(corners, units, *, closes):
    """The room by its walls, and its corners in the walk's frame."""
    ways = np.roll(corners, -1, axis=0) - corners
    angles = np.arctan2(*ways.T[::-1])
    turns = np.degrees((np.roll(angles, -1) - angles + np.pi) % (2 * np.pi) - np.pi)
    told = "{:.0f} mm" if units == "mm" else "{:.0f}/16 in"
    lengths = [told.format(length if units == "mm" else length / INCH * 16) for length in np.hypot(*ways.T)]
    walls = [f'{{ length = "{length}", turn = {turn:.2f} }}' for length, turn in zip(lengths, turns, strict=True)]
    return f"walls = [{', '.join(walls[:-1])}, {'{ rise = 0 }' if closes else walls[-1]}]"


@pytest.fixture(scope="module")
def make(make_plan):
    """The plan of a small room with a drain in its middle, told in one of three ways, and readings told in all."""

    def build(seed):
        corners, form, units = room(seed), ("corners", "walls", "walled")[seed // 2 % 3], ("mm", "in")[seed // 6 % 2]
        given = corners if form == "corners" else walked(corners, units, closes=form == "walled")
        floor = make_plan(given, units=units).outline
        middle = np.round(floor.corners.mean(axis=0))
        last, along = floor.walls[-1], (middle - floor.corners) * floor.directions
        offs = ((middle - floor.corners) * floor.inward).sum(axis=1).round(1).tolist()
        at = (
            f'{{ x = "{middle[0]} mm", y = "{middle[1]} mm" }}',
            f'{{ "A-B" = "{offs[0]} mm", "B-C" = "{offs[1]} mm" }}',
            f'{{ wall = "{last}", along = "{along[-1].sum():.1f} mm", off = "{offs[-1]} mm" }}',
        )[seed % 3]
        read = [(place.replace("C-A", last), 540) for place in READ] if units == "mm" else [('"A"', 22), ('"C"', 22)]
        built = f'[[as_built]]\nat = "B"\ndrop = {"20" if units == "in" else "500"}'
        words = {"at": at, "size": "80 mm", "drop": "500 mm", "readings": read, "extra": built}
        return make_plan(given, units=units, shape="even-fall", **words)

    return build


def moves(planned, change):
    """How far what is told, and the corners, move in the plan with a change (n, 2), (m, 2) [mm]."""
    after = changed(planned.job, change)
    return spots(after) - spots(planned.job), outline(after).corners - planned.outline.corners


@pytest.mark.parametrize("seed", range(36))
def test_every_wall_is_pushed_with_all_that_is_told_where_it_is(make, seed):
    planned = make(seed)
    trials, floor = Trials(planned), planned.outline
    for finding, wall in itertools.product(small(planned), range(len(floor.walls))):
        least = _least_push(trials, finding, floor, (wall,))
        push = next(_as_entered(trials, finding, floor, wall), None)
        assert (push is None) is (least is None)
        if push is not None:
            assert abs(push.figure - least) <= 3 * trials.step
            told, corners = moves(planned, push.change)
            stay = np.delete(corners, [wall, (wall + 1) % len(corners)], axis=0).mean(axis=0)
            assert np.abs(told - stay).max() <= HALF_STEP[planned.job.units]


@pytest.mark.parametrize("seed", range(0, 36, 5))
def test_the_least_push_of_all_walls_is_told_first(make, seed):
    planned = make(seed)
    trials, floor = Trials(planned), planned.outline
    for finding in small(planned):
        pushes = [push.figure for wall in range(len(floor.walls)) for push in _as_entered(trials, finding, floor, wall)]
        assert [push.figure for push in push_wall(trials, finding)] == sorted(pushes)


WALLS = "walls = [{ length = 1500 }, { length = 640 }, { length = 1500 }, { length = 640 }]"
PUSHED = (("outline.walls[1].length", "762 mm"), ("outline.walls[3].length", "762 mm"))
A_B = "push A-B out by 122 mm, its neighbours longer for it"
C_D = A_B.replace("A-B", "C-D")
MORE = "; what is measured from {} is then 122 mm more"
TWO = '{ "C-D" = 300, "D-A" = 750 }'


def circle(planned):
    """The answer to the circle that finds no room."""
    found = zip(planned.findings, remedies(planned), strict=True)
    return next(answer for finding, answer in found if finding.rule == "floor-small" and finding.x is not None)


@pytest.mark.parametrize(
    ("at", "readings", "says", "entries"),
    [
        ((700, 200), ['"A"'], C_D, ()),
        ((700, 200), ['"D"'], A_B + MORE.format("A-B"), (("drains[0].at", "x 700.0, y 322 mm"),)),
        (TWO, ['"D"'], A_B, ()),
        (TWO, ['"A"', '"D"'], A_B, (("readings[0].at", "D-A 640 mm"),)),
    ],
)
def test_a_wall_that_all_else_is_told_from_is_pushed_where_least_is_told_anew(make_plan, at, readings, says, entries):
    planned = make_plan(WALLS, at=at, drop=500, readings=[(place, 540) for place in readings])
    best = circle(planned).best[0]
    assert (best.says, best.change) == (says, PUSHED + entries)


def test_a_side_is_made_longer_at_the_end_from_which_less_is_measured(make_plan):
    planned = make_plan("rectangle = [1500, 640]", at='{ "B-C" = 500, "C-D" = 300 }', drop=500, readings=[('"D"', 540)])
    best = circle(planned).best[0]
    assert (best.says, best.change) == ("make B-C 122 mm longer: 762 mm", (("outline.rectangle[1]", "762 mm"),))
    more = next(idea for idea in enlarge(Trials(planned), small(planned)[-1]) if "C-D" in idea.says)
    assert more.says == best.says + MORE.format("C-D")
    assert more.change[1:] == (("drains[0].at", "B-C 500, C-D 422 mm"), ("readings[0].at", "D-A 122 mm"))


@pytest.mark.parametrize("outline", ["rectangle = [900, 640]", WALLS.replace("1500", "900")])
def test_posts_channels_and_finished_beds_stay_where_they_are(make_plan, outline):
    """With a post in it a floor is pushed by any wall: of those told from corner A all else gets other places."""
    extra = (
        '[[drains]]\nkind = "channel"\nsize = 60\nfrom = { wall = "A-B", along = 200, off = 40 }\n'
        'to = { "B-C" = 200, "A-B" = 40 }\ndrop = 500\n[[as_built]]\nat = { x = 600, y = 600 }\ndrop = 480\n'
    )
    planned = make_plan(outline, islands=[POST], readings=[('"A"', 540), ('"C"', 540)], extra=extra)
    trials, pushed = Trials(planned), 0
    for finding, wall in itertools.product(small(planned), range(4)):
        for push in _as_entered(trials, finding, planned.outline, wall):
            told, corners = moves(planned, push.change)
            assert told == pytest.approx(np.tile(corners[(wall + 2) % 4], (len(told), 1)), abs=1e-6)
            left = small(plan(changed(planned.job, push.change)))
            assert (finding.x is None) not in [other.x is None for other in left]
            pushed += 1
    assert pushed >= 4


def test_what_was_read_on_a_curve_that_is_another_then_is_told_by_coordinates(make_plan):
    walls = "walls = [{ length = 1500, rise = 60 }, { length = 500 }, { length = 1500 }, { length = 500 }]"
    readings = [('{ wall = "A-B", along = 700 }', 540), ('{ wall = "A-B", along = 700, off = 20 }', 540), ('"C"', 540)]
    planned = make_plan(walls, at=(700, 200), drop=500, readings=readings)
    (push,) = _as_entered(Trials(planned), small(planned)[-1], planned.outline, 0)
    assert dict(push.change)["readings[0].at"].startswith("x ")
    assert "readings[2].at" not in dict(push.change)
    told, corners = moves(planned, push.change)
    assert np.abs(told - corners[2]).max() < HALF_STEP[Units.MM]
