"""Small rooms with curved walls: pushed out no farther than the floor asks for, one wall or, where one cannot, two."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from engine.limits.findings import Level
from engine.plan import plan
from engine.remedies import changed, remedies
from engine.remedies.by_rule import _alone, _answer
from engine.remedies.pushed_walls import _entered, _idea, _pushed, _stays, push_wall
from engine.remedies.retold import Kept
from engine.remedies.trials import Trials

ROOMS = range(24)


@pytest.fixture(scope="module")
def make(make_plan):
    """A rectangle or a room of slanted walls, one or two of them curved, on every third diagonals taped."""

    def build(seed):
        rng = np.random.default_rng(seed)
        count = 4 if seed % 2 else int(rng.integers(5, 7))
        if seed % 2:
            sides = rng.integers(600, 1000, 2)
            corners = np.array([[0, 0], [sides[0], 0], sides, [0, sides[1]]])
        else:
            turn = np.linspace(0, 2 * np.pi, count, endpoint=False) + rng.uniform(-0.2, 0.2, count)
            corners = np.column_stack([np.cos(turn), np.sin(turn)]) * rng.uniform(400, 520, 2)
        ways = np.roll(corners, -1, axis=0) - corners
        lengths, headings = np.hypot(*ways.T).round(), np.degrees(np.arctan2(*ways.T[::-1]))
        turns = ((np.roll(headings, -1) - headings + 180) % 360 - 180).round(1)
        rises = np.zeros(count)
        for wall in rng.choice(count, rng.integers(1, 3), replace=False):
            rises[wall] = round(rng.uniform(-0.1, 0.3) * lengths[wall])
        rows = [
            f'{{ length = {length}, turn = "{turn} deg", rise = {rise} }}'
            for length, turn, rise in zip(lengths, turns, rises, strict=True)
        ]
        if seed % 3:
            rows[-1] = f"{{ rise = {rises[-1]} }}"
        outline = f"walls = [{', '.join(rows)}]"
        bare = make_plan(outline)
        if not seed % 3:
            at = bare.outline.corners
            pairs = [("A", "C", np.hypot(*(at[0] - at[2]))), ("B", "D", np.hypot(*(at[1] - at[3])))]
            tape = ", ".join(f'{{ from = "{a}", to = "{b}", length = {length:.0f} }}' for a, b, length in pairs)
            outline += f"\ntape = [{tape}]"
        middle = shapely.maximum_inscribed_circle(bare.outline.polygon).coords[0]
        return make_plan(outline, at=tuple(round(value) for value in middle), drop=500, shape="even-fall")

    return build


@pytest.mark.parametrize(
    ("outline", "words"),
    [
        ([(300, 0), (0, 300), (-300, 0), (277.16, -114.81)], {"at": (0, 0), "size": 50}),
        (
            [(0, 485), (0, 582), (1164, 1261), (582, 0)],
            {
                "at": (673.1, 721.6),
                "size": 120,
                "kind": "square",
                "islands": [[(392.36, 631.37), (392.36, 362.81), (624.94, 497.09)]],
            },
        ),
    ],
    ids=["a spike", "an island"],
)
def test_a_push_past_which_the_outline_crosses_itself_is_passed_over(make_plan, outline, words):
    planned = make_plan(outline, drop=430, shape="even-fall", **words)
    answers = remedies(planned)
    small = [answer for found, answer in zip(planned.findings, answers, strict=True) if found.rule == "floor-small"]
    assert small
    for remedy in (remedy for answer in small for remedy in answer.best):
        assert plan(changed(planned.job, remedy.change)).outline.polygon.is_valid


def _stops(planned):
    return [finding for finding in planned.findings if finding.rule == "floor-small" and finding.level is Level.STOP]


def _still(planned, push, finding):
    """The stops after a push that are about the same: about the circle they have a place, about the area none."""
    left = _stops(plan(changed(planned.job, push.change)))
    return [found for found in left if (found.x is None) is (finding.x is None)]


def _is_beside_a_curve(planned, says):
    floor = planned.outline
    wall = next(i for i, name in enumerate(floor.walls) if says.startswith(f"push {name} "))
    return any(floor.is_curved and floor.rises[i % len(floor.walls)] for i in (wall - 1, wall + 1))


def _does_stay(trials, floor, idea, wall):
    """Whether all corners come to where the push puts them: what lies on the floor is told from them."""
    return _stays(_entered(trials, idea.change), Kept(trials, floor, _pushed(floor, wall, idea.figure)))


def test_no_wall_could_be_pushed_a_step_less(make):
    beside, pushed = 0, 0
    for seed in ROOMS:
        planned = make(seed)
        for finding in _stops(planned)[:1]:
            trials, floor = Trials(planned), planned.outline
            push = next((idea for idea in push_wall(trials, finding) if trials.tried(finding, idea)), None)
            if push is None:
                continue
            pushed += 1
            beside += _is_beside_a_curve(planned, push.says)
            assert not _still(planned, push, finding), push.says
            for by in {push.figure - less for less in (1, 2, 3, 5, 9)} - {0.0}:
                for wall in range(len(floor.walls)) if by > 0 else ():
                    pushed_floor = _pushed(floor, wall, by)
                    if pushed_floor is not floor and pushed_floor.polygon.is_valid:
                        idea = _idea(trials, floor, wall, by)
                        less = trials.tried(finding, idea) if _does_stay(trials, floor, idea, wall) else None
                        assert less is None or less.brings, (seed, push.says, less.says)
    assert pushed >= 8
    assert beside >= 5


def test_every_small_floor_is_answered_by_one_push_or_two(make):
    pairs = 0
    for seed in ROOMS:
        planned = make(seed)
        for finding in _stops(planned):
            trials = Trials(planned)
            best = _answer(trials, finding, _alone(trials, finding, ())).best[0]
            pairs += "; and with it push " in best.says
            assert not _still(planned, best, finding), best.says
    assert pairs >= 2


def test_a_wall_is_not_pushed_to_where_its_neighbours_meet(make_plan):
    """Of 127 mm, between neighbours that each lean in by a half: 127 mm out it would be gone."""
    floor = make_plan([(0, 0), (627, 0), (377, 500), (250, 500)]).outline
    assert _pushed(floor, 2, 127) is floor
    assert _pushed(floor, 2, 120).spans[2] == pytest.approx(7)


def test_where_the_largest_circle_lies_says_nothing_of_a_push(make_plan):
    """The push that makes the area enough moves the circle far off, which has grown all the same."""
    walls = "walls = [{ length = 804, rise = -76 }, { length = 724 }, { length = 804 }, { length = 724 }]"
    planned = make_plan(walls, at=(402, 362), size=127, shape="even-fall")
    small = [(f, a) for f, a in zip(planned.findings, remedies(planned), strict=True) if f.rule == "floor-small"]
    assert [finding.x is None for finding, _ in small] == [True, False]
    assert small[0][1].best[0].says.startswith("push C-D out by 50 mm")


def test_a_rectangle_with_a_post_is_pushed_on_two_sides_where_one_will_not_do(make_plan):
    post = [(649, 76), (776, 76), (776, 178), (649, 178)]
    planned = make_plan(
        "rectangle = [878, 868]",
        at=(438, 435),
        size=127,
        drop=508,
        shape="even-fall",
        rulebook="us-accessible",
        readings=[('"A"', 546)],
        islands=[post],
        extra="[figures]\ncircle_least = 914\n",
    )
    found = next(a for f, a in zip(planned.findings, remedies(planned), strict=True) if f.rule == "floor-small")
    assert "; and with it push " in found.best[0].says
    assert "floor-small" not in {finding.rule for finding in plan(changed(planned.job, found.best[0].change)).findings}
