"""Two drains on one another: one moved as little as leaves mud between, or left out."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from engine.limits.findings import Level
from engine.plan import plan
from engine.remedies import changed, remedies
from engine.remedies.several import move_apart
from engine.remedies.trials import Trials

ROOM = [(0, 0), (2000, 0), (2000, 1000), (0, 1000)]
MUD = 1.0  # [mm] a step


def _cures(planned, rule="flanges-overlap"):
    return [answer for finding, answer in zip(planned.findings, remedies(planned), strict=True) if finding.rule == rule]


def _stops(planned):
    return [finding.rule for finding in planned.findings if finding.level is Level.STOP]


def _flanges(planned):
    return [drain.flange for drain in planned.drains]


@pytest.fixture
def make(make_plan):
    """A floor of round or square drains (x, y) and channels (from x, y, to x, y), all 500 under the line."""

    def build(*drains, kind="round", shape="even-fall"):
        words = [
            f'kind = "{kind}"\nsize = 100\nat = {{ x = {drain[0]}, y = {drain[1]} }}'
            if len(drain) == 2
            else 'kind = "channel"\nsize = 65\nfrom = {{ x = {}, y = {} }}\nto = {{ x = {}, y = {} }}'.format(*drain)
            for drain in drains
        ]
        extra = "".join(f"[[drains]]\n{each}\ndrop = 500\n" for each in words)
        return make_plan(ROOM, shape=shape, readings=[(corner, 560) for corner in ROOM], extra=extra)

    return build


@pytest.mark.parametrize(
    ("kind", "drains"),
    [
        ("round", [(900, 500), (960, 500)]),
        ("round", [(900, 500), (937, 571)]),
        ("square", [(900, 500), (960, 520)]),
        ("square", [(51, 500), (90, 480)]),
        ("round", [(900, 500), (960, 520), (1010, 560)]),
    ],
)
def test_no_shorter_move_of_either_leaves_mud_between(make, kind, drains):
    """Of all places on the step nearer than that the flange lies on another, or hardly off it, or over a wall."""
    planned = make(*drains, kind=kind)
    floor = shapely.Polygon(ROOM)
    for finding, answer in zip(planned.findings, remedies(planned), strict=True):
        if finding.rule != "flanges-overlap":
            continue
        move = answer.best[0]
        after = plan(changed(planned.job, move.change))
        moved = [flange.polygon for flange in _flanges(after)]
        assert shapely.distance(*(moved[i] for i in finding.drains)) >= 0.95 * MUD
        assert "there is mud between the flanges" in move.says
        reach = np.arange(-np.ceil(move.figure), np.ceil(move.figure) + 1)
        by = np.stack(np.meshgrid(reach, reach), axis=-1).reshape(-1, 2)
        by = by[np.hypot(*by.T) < move.figure - 1e-6]
        for number in finding.drains:
            own, *others = (_flanges(planned)[i].polygon for i in (number, *set(range(len(drains))) - {number}))
            ring = shapely.get_coordinates(own)
            there = shapely.polygons(ring + by[:, None])
            apart = np.min([shapely.distance(there, other) for other in others], axis=0)
            assert not (shapely.contains_properly(floor, there) & (apart > MUD + 0.03)).any()


@pytest.mark.parametrize("seed", range(16))
def test_no_place_on_the_step_is_nearer_that_leaves_as_much_mud(make_plan, seed):
    """Worked from the discs themselves, their edges as they are: of whole millimetres along x and y."""
    rng = np.random.default_rng(seed)
    centres, sizes = rng.uniform(400, 600, 2) + rng.integers(-80, 80, (3, 2)), rng.choice([100, 150, 231, 300], 3)
    words = zip(sizes.tolist(), np.round(centres, 1).tolist(), strict=True)
    extra = "".join(
        f'[[drains]]\nkind = "round"\nsize = {size}\nat = {{ x = {x:.1f}, y = {y:.1f} }}\ndrop = 500\n'
        for size, (x, y) in words
    )
    planned = make_plan(ROOM, shape="even-fall", readings=[(corner, 560) for corner in ROOM], extra=extra)
    for finding in (found for found in planned.findings if found.rule == "flanges-overlap"):
        move = next(move_apart(Trials(planned), finding))
        for number in finding.drains:
            own, *others = (_flanges(planned)[i] for i in (number, *{0, 1, 2} - {number}))
            whole = np.arange(-330, 331) + np.round(own.centre)[:, None]
            spots = np.stack(np.meshgrid(*whole), axis=-1).reshape(-1, 2)
            spots = spots[np.hypot(*(spots - own.centre).T) < move.figure - 1e-6]
            is_on = ((spots > own.half) & (spots < np.array([2000, 1000]) - own.half)).all(axis=1)
            gaps = np.min([np.hypot(*(spots - each.centre).T) - each.half for each in others], axis=0) - own.half
            assert not (is_on & (gaps >= 0.95 * MUD)).any()


def test_with_level_walls_it_goes_on_to_where_every_part_is_gentle(make):
    planned = make((500, 500), (560, 500), shape="level-walls")
    move = _cures(planned)[0].best[0]
    assert "there every part is gentle enough" in move.says
    after = plan(changed(planned.job, move.change))
    assert not _stops(after)
    assert all(bed.most_fall <= 1 / 24 for bed in after.bed.beds)


def test_one_left_out_is_planned_without_it(make):
    planned = make((900, 500), (960, 500))
    last = _cures(planned)[0].best[-1]
    assert (last.says, last.change) == ("leave drain 2 out", (("drains[1]", ""),))
    after = plan(changed(planned.job, last.change))
    assert len(after.drains) == 1
    assert not _stops(after)


def test_where_the_second_is_needed_the_first_is_left_out(make):
    """Walls 15 mm high are too high for the one whose rim is 358 mm off a wall: 15 x 24 = 360."""
    planned = make((500, 500), (1592, 500), (1500, 500), shape="level-walls")
    ways = [cure.says for cure in _cures(planned)[0].best if cure.says.startswith("leave")]
    assert ways == ["leave drain 2 out"]


class TestChannels:
    def test_one_goes_as_it_lies(self, make):
        planned = make((200, 500, 1100, 500), (1050, 500, 1800, 500))
        move = _cures(planned)[0].best[0]
        assert move.figure == 51
        one, other = _flanges(plan(changed(planned.job, move.change)))
        assert (one.length, other.length) == (900, 750)
        assert shapely.distance(one.polygon, other.polygon) == pytest.approx(MUD)

    def test_along_a_wall_it_stays_at_the_wall(self, make):
        """A plane's channels may run along walls, each 32.5 off in its middle."""
        planned = make((0, 32.5, 1100, 32.5), (1050, 32.5, 1900, 32.5), shape="plane")
        move = _cures(planned)[0].best[0]
        assert dict(move.change)["drains[1].from"] == "x 1101 mm, y 32.5 mm"


def test_a_drain_off_the_floor_is_not_moved_onto_another(make):
    """The nearest clear place is where the second stands."""
    planned = make((1000, 1040), (1000, 920))
    move = _cures(planned, "drain-outside")[0].best[0]
    one, other = (flange.polygon for flange in _flanges(plan(changed(planned.job, move.change))))
    assert shapely.distance(one, other) > 0


def test_channels_that_lie_on_one_another_are_moved_apart_with_level_walls_too(make):
    """There is no point drain then, whose place could be sought."""
    crossing = make((300, 500, 900, 500), (600, 200, 600, 800), shape="level-walls")
    (finding,) = (found for found in crossing.findings if found.rule == "flanges-overlap")
    ideas = [*move_apart(Trials(crossing), finding)]
    assert ideas
    assert all(idea.says.startswith("move drain ") for idea in ideas)


@pytest.mark.parametrize("shape", ["even-fall", "level-walls"])
def test_one_that_is_over_a_wall_as_well_is_moved_off_that_by_no_more_than_it_takes(make, shape):
    """30 off the wall with a rim of 50: 20 and a step, wherever the other one is, 80 off; that is told by itself."""
    planned = make((30, 500), (110, 500), shape=shape)
    (answer,) = _cures(planned, "flange-over-wall")
    move = answer.best[0]
    assert move.change == (("drains[0].at", "x 51 mm, y 500 mm"),)
    assert _stops(plan(changed(planned.job, move.change))) == ["flanges-overlap"]


def test_of_three_drains_one_is_moved_off_the_one_that_is_asked_about(make):
    """To the left by 41, which leaves 98.9 to the third: off that too it would be farther."""
    planned = make((500, 500), (560, 500), (500, 590))
    move = _cures(planned)[0].best[0]
    assert move.change == (("drains[0].at", "x 459 mm, y 500 mm"),)
    left = plan(changed(planned.job, move.change)).findings
    assert [found.drains for found in left if found.rule == "flanges-overlap"] == [(0, 2)]
