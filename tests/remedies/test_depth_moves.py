"""A drain moved for its bed's depth: to the nearest place there is, and how little a bed changes with its drain."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from engine.bed.depth import Depth
from engine.job.toml_file import parse_job
from engine.plan import bed_of
from engine.plan import plan as planned
from engine.remedies import changed, remedies
from engine.remedies.by_rule import _first_that_clears
from engine.remedies.drain_moves import move_for_depth
from engine.remedies.remedy import Idea
from engine.remedies.trials import Trials

ROOM = [(0, 0), (1500, 0), (1500, 1000), (0, 1000)]
ELL = [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)]
SECOND = '[[drains]]\nkind = "round"\nsize = 100\nat = { x = 1200, y = 500 }\ndrop = 470\n'
SQUARE = [(0, 0), (1000, 0), (1000, 1000), (0, 1000)]
WORDS = {"drop": 470, "fall": "2.5 %"}
LOW = 530
# A high spot over which the bed is a little lower than the floor: a drain farther off lifts it there.
CASES = {
    "level walls": (SQUARE, (500, 500), {"fall": "2.1 %"}, ((750, 500), 463)),
    "even fall": (
        ROOM,
        (700, 500),
        {"shape": "even-fall"},
        ((1500, 500), 450),
    ),  # 18.75 over it
    "round a corner": (ELL, (1300, 450), {"shape": "even-fall"}, ((450, 1800), 430)),
    "two drains": (ROOM, (300, 500), {"shape": "even-fall", "extra": SECOND}, ((600, 500), 462)),
}


def depth_stop(plan):
    return next(found for found in plan.findings if found.rule == "bed-below-floor")


@pytest.mark.parametrize("case", CASES)
def test_of_places_all_over_the_floor_none_nearer_keeps_its_depth(make_plan, case):
    room, at, words, high = CASES[case]
    plan = make_plan(room, at=at, readings=[*((corner, LOW) for corner in room), high], **{**WORDS, **words})
    trials, finding = Trials(plan), depth_stop(plan)
    remedy = _first_that_clears(trials, finding, move_for_depth(trials, finding))
    assert remedy is not None
    assert not remedy.brings
    assert not trials.untried
    assert "none nearer" not in remedy.says
    assert not any(found.rule == finding.rule for found in planned(changed(plan.job, remedy.change)).findings)
    aside = trials.aside(1e6)
    for number, drain in enumerate(plan.drains):
        home = drain.flange.centre
        for spot in np.random.default_rng(number).uniform(-1, 1, (60, 2)) * (remedy.figure - 1.5):
            x, y = (home + spot).round()
            deep = aside.depth(((f"drains[{number}].at", f"x {x:.0f}, y {y:.0f}"),))
            if isinstance(deep, Depth) and np.hypot(*spot) < remedy.figure - 1.5:
                assert deep.least.value < 0


NEAR = {  # where the drain is over the wall A-B: a room, and what a nearer place would bring
    # Drain 2 stands 20 over drain 1: no water runs into it where the bed falls past it.
    "a drain that stands over the bed": (
        ROOM,
        {"shape": "even-fall", "extra": SECOND.replace("470", "450"), "rulebook": "de-din18040"},
    ),
    "walls too steep": (SQUARE, {"mark_step": 1}),
    "walls of one's own too low": (ROOM, {"bed": "wall_height = 19"}),
}


@pytest.mark.parametrize("case", NEAR)
def test_no_nearer_place_clears_a_wall_and_brings_no_stop(make_plan, case):
    """Of places all over the floor, by planning each."""
    room, words = NEAR[case]
    readings = [((0, 0), 530), *((corner, 505) for corner in room[1:])]
    plan = make_plan(room, at=(700, 20), readings=readings, **{**WORDS, **words})
    (finding,) = (found for found in plan.findings if found.rule == "flange-over-wall")
    answer = remedies(plan)[plan.findings.index(finding)]
    alone = [remedy for remedy in answer.remedies if len(remedy.change) == 1 and not remedy.brings]
    far = min((remedy.figure for remedy in alone), default=1e9)
    assert not answer.is_open
    trials, home, step = Trials(plan, left=1e9), np.array([700, 20]), 55
    for x in range(60, room[2][0], step):
        for y in range(60, room[2][1], step):
            if np.hypot(*(home - [x, y])) < far - 1.5:
                remedy = trials.tried(finding, Idea("", (("drains[0].at", f"x {x}, y {y}"),)))
                assert remedy is None or remedy.brings


@pytest.mark.parametrize("shape", ["even-fall", "level-walls"])
def test_a_high_spot_under_a_flange_is_left_by_that_drain_alone(make_plan, shape):
    """A hump of 2 over the second drain's flange, 450 wide: wherever the first one stands the bed is thin there."""
    top, brim = (1200, 500), [(1200 + x, 500 + y) for x, y in ((-225, 0), (225, 0), (0, -225), (0, 225))]
    readings = [*((place, LOW) for place in (*ROOM, *brim)), (top, 468)]
    words = {**WORDS, "shape": shape, "rulebook": "de-din18040", "mark_step": 1}
    plan = make_plan(ROOM, at=(300, 500), readings=readings, extra=SECOND, **words)
    trials, finding = Trials(plan), depth_stop(plan)
    (idea,) = move_for_depth(trials, finding)
    assert [key for key, _ in idea.change] == ["drains[1].at"]
    remedy = trials.tried(finding, idea)
    assert remedy is not None
    assert not remedy.brings
    assert not trials.is_open


def test_that_a_channel_has_no_place_is_said_of_those_as_it_lies(make_plan):
    """It is given by its ends, which may lie otherwise."""
    channel = (
        '[[drains]]\nkind = "channel"\nsize = 60\nfrom = { x = 100, y = 500 }\nto = { x = 900, y = 500 }\ndrop = 470\n'
    )
    readings = [*((corner, LOW) for corner in ROOM), ((1400, 900), 440)]
    plan = make_plan(ROOM, readings=readings, shape="even-fall", fall="2.5 %", extra=channel)
    trials = Trials(plan)
    assert not list(move_for_depth(trials, depth_stop(plan)))
    says = "another place of a drain alone, channels as they lie: there is none that clears this and brings no stop"
    assert trials.untried == {"at": says}


def test_where_no_place_will_do_none_is_told_and_nothing_is_left_untried(make_plan):
    high = ((1500, 500), 425)  # 45 over the drain: 1800 mm away
    readings = [*((corner, LOW) for corner in ROOM), high]
    plan = make_plan(ROOM, at=(700, 500), readings=readings, shape="even-fall", **WORDS)
    trials = Trials(plan)
    assert not list(move_for_depth(trials, depth_stop(plan)))
    assert [*trials.untried.values()] == [
        "another place of a drain alone: there is none that clears this and brings no stop"
    ]
    assert not trials.is_spent


def test_an_even_fall_changes_with_its_drain_by_the_fall_times_the_move_at_most():
    """In random convex rooms, exactly."""
    rng, seen, most = np.random.default_rng(7), 0, 0.0
    while seen < 60:
        ring = 900 + 800 * rng.uniform(-1, 1, (int(rng.integers(3, 9)), 2))
        ring = shapely.get_coordinates(shapely.convex_hull(shapely.multipoints(ring)))[:-1].round()[::-1]
        one = np.array(shapely.polygons(ring).centroid.coords)[0] + rng.normal(0, 150, 2)
        other = one + rng.normal(0, 1, 2) * rng.choice([0.5, 2, 10, 50, 100])
        one, other = one.round(2), other.round(2)
        size, kind = int(rng.integers(60, 250)), rng.choice(["round", "square"])
        room = shapely.buffer(shapely.polygons(ring), -0.8 * size)
        if not shapely.contains(room, shapely.points([one, other])).all():
            continue
        beds = [bed_of(parse_job(_job(ring, place, (kind, size)))) for place in (one, other)]
        allowed = 0.025 * np.hypot(*(one - other)) * (1 + 1e-9)
        places = rng.dirichlet(np.ones(len(ring)), 500) @ ring
        moved = np.abs(beds[0].height(places) - beds[1].height(places)).max()
        assert moved <= allowed
        most, seen = max(most, moved / allowed), seen + 1
    assert most > 0.5  # the bound is not idle


def _job(ring, place, flange):
    corners = ", ".join(f"[{x:.0f}, {y:.0f}]" for x, y in ring)
    return (
        'format = 1\n[job]\nname = "a"\nunits = "mm"\nrulebook = "us-model"\n[floor]\nkind = "concrete"\n'
        f"bond_coat = true\n[outline]\ncorners = [{corners}]\n"
        f'[[drains]]\nkind = "{flange[0]}"\nsize = {flange[1]}\nat = {{ x = {place[0]:.2f}, y = {place[1]:.2f} }}\n'
        'drop = 500\n[bed]\nshape = "even-fall"\nfall = "2.5 %"\nmark_step = 0.01\n'
    )


class TestClearOfTheWalls:
    """A drain over the wall A-B, where the high spot keeps it from coming off it just as far as it must."""

    def moved(self, make_plan, high, **words):
        readings = [*((corner, LOW) for corner in ROOM), high]
        plan = make_plan(ROOM, at=(700, 20), readings=readings, shape="even-fall", **{**WORDS, **words})
        at = next(i for i, found in enumerate(plan.findings) if found.rule == "flange-over-wall")
        return plan, remedies(plan)[at]

    def test_it_is_moved_on_to_where_the_bed_lies_over_the_floor(self, make_plan):
        """The spot is 18 over the flange: 720 and the 50 of its rim from the drain, not the 30 that clear the wall."""
        plan, answer = self.moved(make_plan, ((1400, 50), 452))
        (move,) = (remedy for remedy in answer.best if remedy.says.startswith("move"))
        (drain,) = planned(changed(plan.job, move.change)).drains
        assert 770 <= np.hypot(*(drain.flange.centre - [1400, 50])) < 772
        assert not planned(changed(plan.job, move.change)).has_stop

    @pytest.mark.parametrize(
        "words",
        [{"high": ((1400, 50), 425)}, {"high": ((1400, 50), 470), "fall": "1.5 %"}],  # 1800 off; too flat anywhere
    )
    def test_where_no_place_suits_the_bed_that_is_told(self, make_plan, words):
        _, answer = self.moved(make_plan, **words)
        none = "another place of a drain alone: there is none that clears this and brings no stop"
        assert none in answer.ruled_out
