"""Every remedy clears its finding and leaves the plan as far as it was; the first brings no stop; none is larger than
it must be."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest

from engine.limits.findings import Level
from engine.plan import plan
from engine.quantities import Dimension, Units, format_fall, format_length, parse
from engine.remedies import changed, remedies
from engine.remedies.trials import FALL_STEP, LENGTH_STEP

MM = 'name = "x"\nunits = "mm"'
CURBED = 'rectangle = ["48 in", "48 in"]\nedges = { "D-A" = "curb" }'
EVEN = 'shape = "even-fall"'
ELL = 'corners = [["0","0"], ["72","0"], ["72","36"], ["36","36"], ["36","72"], ["0","72"]]'


def drain(x, y, size="6 in", kind="round", drop="20 in"):
    return f'kind = "{kind}"\nsize = "{size}"\nat = {{ x = "{x}", y = "{y}" }}\ndrop = "{drop}"'


def level(drop):
    return [(corner, drop) for corner in "ABCD"]


# name: the finding, how its remedies begin (best first), and the job
JOBS = {
    "thin": ("bed-thin", ["raise the drain", "grind"], {"readings": level("20.5 in"), "bed": EVEN}),
    "thin in mm": (
        "bed-thin",
        ["raise the drain", "grind"],
        {"readings": level("20.51 in"), "bed": EVEN, "job": MM},
    ),
    "thin over a hump": (
        "bed-thin",
        ["raise the drain", "grind", "raise the fall"],
        {"readings": [*level("22 in"), (("42 in", "24 in"), "20 1/8 in")]},
    ),
    "thin on wood": (
        "bed-thin",
        ["raise the drain"],
        {
            "readings": level("21 1/8 in"),
            "bed": EVEN,
            "floor": 'kind = "wood"\nmoisture_barrier = "felt"\nlath = true',
        },
    ),
    "below the floor": (
        "bed-below-floor",
        ["raise the drain", "grind"],
        {"readings": [*level("22 in"), (("36 in", "24 in"), "19 1/2 in")]},
    ),
    "thick": (
        "bed-thick",
        ["lower the drain", "fill", "allow"],
        {
            "readings": level("22.3 in"),
            "bed": EVEN,
            "floor": 'kind = "concrete"\nmoisture_barrier = "felt"',
        },
    ),
    "thick at a corner": (
        "bed-thick",
        ["fill", "lower the fall"],
        {
            "readings": level("21.3 in"),
            "bed": 'shape = "level-walls"\nfall = "3/8 in/ft"',
            "floor": 'kind = "concrete"\nmoisture_barrier = "felt"',
        },
    ),
    "thick enough for two": (
        "bed-thick",
        ["lower the drain", "fill", "split", "allow"],
        {
            "readings": level("22.8 in"),
            "bed": EVEN,
            "floor": 'kind = "concrete"\nmoisture_barrier = "felt"',
        },
    ),
    "low fall": ("fall-low", ["plan a fall"], {"bed": f'{EVEN}\nfall = "1:60"'}),
    "low fall round a corner": (
        "fall-low",
        ["plan a fall"],
        {"outline": ELL, "drains": drain("62", "10"), "bed": 'shape = "level-walls"\nfall = "1:60"'},
    ),
    "low own walls": (
        "fall-low",
        ["set the wall height", "take an even fall"],
        {"bed": 'shape = "level-walls"\nwall_height = "3/8 in"'},
    ),
    "steep fall": ("fall-steep", ["plan a fall"], {"bed": f'{EVEN}\nfall = "7 %"'}),
    "steep off the middle": (
        "fall-steep",
        ["take an even fall", "move the drain", "take a channel"],
        {"outline": 'rectangle = ["60 in", "42 in"]', "drains": drain("20", "21")},
    ),
    "hidden": (
        "hidden-floor",
        ["take an even fall", "take a channel", "move the drain"],
        {"outline": ELL, "drains": drain("62", "10")},
    ),
    "drain outside, and round for a plane": (
        "drain-outside",
        ["move the drain"],
        {"drains": drain("50", "20"), "bed": 'shape = "plane"'},
    ),
    "drain outside": ("drain-outside", ["move the drain"], {"drains": drain("50", "20"), "bed": EVEN}),
    "square drain over a wall": (
        "flange-over-wall",
        ["move the drain"],
        {"drains": drain("46", "20", "5 in", "square"), "bed": EVEN},
    ),
    "short channel along a wall": (
        "flange-over-wall",
        ["take an even fall", "take one plane", "move the channel"],
        {
            "drains": 'kind = "channel"\nsize = "2 1/2 in"\nfrom = { x = "12", y = "1 1/4" }\n'
            'to = { x = "36", y = "1 1/4" }\ndrop = "20 in"'
        },
    ),
    "channel from wall to wall over the third": (
        "flange-over-wall",
        ["move the channel by 1/16 in"],
        {
            "drains": 'kind = "channel"\nsize = "2 1/2 in"\nfrom = { x = "1 3/16", y = "0" }\n'
            'to = { x = "1 3/16", y = "48" }\ndrop = "20 in"',
            "bed": 'shape = "plane"',
        },
    ),
    "upper bed": (
        "upper-bed-thin",
        ["make it"],
        {"build": 'waterproofing = "between-beds"\nupper_bed = "1 in"'},
    ),
    "low curb": (
        "curb-low",
        ["build the curb", "lower the drain"],
        {"outline": CURBED, "curb": 'drop = "18.3 in"'},
    ),
    "high curb": (
        "curb-high",
        ["build the curb", "raise the drain"],
        {"outline": CURBED, "curb": 'drop = "9.31 in"'},
    ),
    "short channel": (
        "channel-short",
        ["make the channel"],
        {
            "drains": 'kind = "channel"\nsize = "2 1/2 in"\nfrom = { x = "12", y = "24" }\n'
            'to = { x = "36", y = "24" }\ndrop = "20 in"',
            "bed": 'shape = "plane"',
        },
    ),
    "small floor": (
        "floor-small",
        ["make A-B"],
        {"outline": 'rectangle = ["24 in", "40 in"]', "drains": drain("12", "20"), "bed": EVEN},
    ),
    "wood": (
        "wood-no-barrier",
        ["lay one layer"],
        {"floor": 'kind = "wood"', "readings": level("21 1/2 in")},
    ),
    "lath": ("wood-no-lath", ["staple"], {"floor": 'kind = "wood"', "readings": level("21 1/2 in")}),
    "bond": (
        "bond-unsure",
        ["butter"],
        {"floor": 'kind = "concrete"', "readings": level("21 in"), "bed": EVEN},
    ),
    "large tiles": ("large-tile-cone", ["take a channel"], {"build": 'tile_edge = "12 in"'}),
}


@pytest.fixture(scope="module", params=sorted(JOBS))
def case(request, make):
    """A job, its plan, the finding looked at and the answer to it."""
    rule, starts, words = JOBS[request.param]
    planned = plan(make(**words))
    at = next(i for i, finding in enumerate(planned.findings) if finding.rule == rule)
    return rule, starts, planned, remedies(planned)[at]


def rules(planned, least=Level.NOTE):
    return Counter(finding.rule for finding in planned.findings if least in (Level.NOTE, finding.level))


def test_the_ones_that_are_expected_are_found(case):
    _, starts, _, answer = case
    for start in starts:
        assert any(start in remedy.says for remedy in answer.remedies), [r.says for r in answer.remedies]


def test_each_clears_its_finding_and_says_truly_what_else_it_clears_and_brings(case):
    rule, _, planned, answer = case
    before, stops = rules(planned), rules(planned, Level.STOP)
    for remedy in answer.remedies:
        after = plan(changed(planned.job, remedy.change))
        now = rules(after)
        assert remedy.clears[0] == rule
        assert all(now[cleared] < before[cleared] for cleared in remedy.clears)
        brought = rules(after, Level.STOP) - stops
        assert set(remedy.brings) == set(brought)
        assert len(after.needs) <= len(planned.needs)


def test_the_first_brings_no_stop(case):
    answer = case[3]
    assert answer.best
    assert answer.remedies[0] == answer.best[0]
    assert [bool(remedy.brings) for remedy in answer.remedies] == sorted(
        bool(remedy.brings) for remedy in answer.remedies
    )


def _whole(rule):
    """The rule that a remedy has to satisfy to the full: out of the floor means up to the least depth."""
    return "bed-thin" if rule == "bed-below-floor" else rule


def _one_step_less(job, key, text):
    """The entry one step nearer to what the job has now; None where it is no figure on a step."""
    units = job.units
    if key == "bed.fall":
        now, new = job.bed.fall, parse(text, Dimension.FALL, units)
        sign = -1 if now is None or new > now.value else 1
        return format_fall(new + sign * FALL_STEP[units], units)
    owners = {"curb.drop": job.curb.drop, "drains[0].drop": job.drains[0].drop}
    if key in owners:
        now, new = owners[key].value, parse(text, Dimension.LENGTH, units)
        return format_length(new + (LENGTH_STEP[units] if new < now else -LENGTH_STEP[units]), units)
    return None


def test_none_moves_height_or_fall_a_step_further_than_it_must(case):
    rule, _, planned, answer = case
    for remedy in answer.best:
        less = [(key, _one_step_less(planned.job, key, text)) for key, text in remedy.change]
        if "split" in remedy.says or not all(text for _, text in less):
            continue
        after = plan(changed(planned.job, tuple(less)))
        assert rules(after)[_whole(rule)] == rules(planned)[_whole(rule)], remedy


def test_half_of_what_is_ground_or_filled_is_not_enough(case):
    rule, _, planned, answer = case
    job = planned.job
    for remedy in answer.best:
        if not remedy.change[0][0].startswith("readings["):
            continue
        texts = dict(remedy.change)
        half = []
        for key, text in remedy.change:
            number = int(key.split("[")[1].split("]")[0])
            if not key.endswith(".drop"):
                half.append((key, text))
                continue
            if number < len(job.readings):
                before = job.readings[number].drop.value
            else:
                x, y = (
                    parse(part.split(" ", 1)[1], Dimension.LENGTH, job.units)
                    for part in texts[f"readings[{number}].at"].split(", ")
                )
                before = planned.rough.shift - planned.rough.height(np.array([[x, y]]))[0]
            middle = (before + parse(text, Dimension.LENGTH, job.units)) / 2
            half.append((key, f"{middle / 25.4:.4f} in"))
        assert rules(plan(changed(job, tuple(half))))[_whole(rule)] == rules(planned)[_whole(rule)]


@pytest.mark.parametrize("name", ["steep off the middle", "drain outside", "square drain over a wall"])
def test_a_drain_moved_half_as_far_does_not_clear_it(make, name):
    rule, _, words = JOBS[name]
    planned = plan(make(**words))
    at = next(i for i, finding in enumerate(planned.findings) if finding.rule == rule)
    remedy = next(r for r in remedies(planned)[at].best if r.says.startswith("move"))
    after = plan(changed(planned.job, remedy.change)).drains[0].flange.centre
    place = planned.job.drains[0].at
    before = np.array([place.x.value, place.y.value])
    assert remedy.figure == pytest.approx(np.hypot(*(after - before)), abs=1e-6)
    x, y = ((before + after) / 2 / 25.4).tolist()
    half = (("drains[0].at", f"x {x:.4f} in, y {y:.4f} in"), *remedy.change[1:])
    left = rules(plan(changed(planned.job, half)))
    assert left[rule] or left["flange-over-wall"]


class TestHiddenFloor:
    def test_the_place_that_sees_all_is_named_with_what_it_would_bring(self, make):
        planned = plan(make(**JOBS["hidden"][2]))
        at = next(i for i, f in enumerate(planned.findings) if f.rule == "hidden-floor")
        move = next(r for r in remedies(planned)[at].remedies if r.says.startswith("move"))
        after = plan(changed(planned.job, move.change))
        assert "hidden-floor" not in rules(after)
        assert after.bed.reach.flange.centre[0] == pytest.approx((33 - 1 / 8) * 25.4)  # 36 in less 3 and 2 mm

    def test_that_there_is_none_is_said(self, make):
        """A U: from one leg the other is never seen whole."""
        you = 'corners = [["0","0"],["72","0"],["72","60"],["48","60"],["48","24"],["24","24"],["24","60"],["0","60"]]'
        planned = plan(make(outline=you, drains=drain("12", "50")))
        at = next(i for i, f in enumerate(planned.findings) if f.rule == "hidden-floor")
        assert remedies(planned)[at].ruled_out == ("there is no place from which one drain would see the whole floor",)

    def test_an_even_fall_is_offered_with_the_heights_its_walls_then_have(self, make):
        """Highest in the far corner of the other leg: round D, (12 + 24) x root 2 less the rim's 3, at 1 in 48."""
        ell = 'corners = [["0","0"],["48","0"],["48","24"],["24","24"],["24","48"],["0","48"]]'
        planned = plan(make(outline=ell, drains=drain("36", "12")))
        at = next(i for i, f in enumerate(planned.findings) if f.rule == "hidden-floor")
        even = next(r for r in remedies(planned)[at].remedies if r.change == (("bed.shape", "even-fall"),))
        low = min(mark.above_drain for mark in plan(changed(planned.job, even.change)).marks)
        high = ((12 + 24) * 2**0.5 - 3) / 48
        assert 15 / 16 < high < 1
        assert even.says.endswith(f"from {format_length(low, Units.INCH)} to 1 in over the drain")


class TestChannelAlongAWall:
    def test_level_walls_give_way_to_one_plane(self, make):
        places = 'from = {x = "0", y = "1 in"}\nto = {x = "48 in", y = "1 in"}'
        planned = plan(make(drains=f'kind = "channel"\nsize = "2 in"\n{places}\ndrop = "20 in"'))
        at = next(i for i, f in enumerate(planned.findings) if f.rule == "flange-over-wall")
        plane = remedies(planned)[at].remedies[0]
        assert plane.change == (("bed.shape", "plane"),)
        assert not plane.brings
        assert "flange-over-wall" not in rules(plan(changed(planned.job, plane.change)))


def test_where_the_floor_is_guessed_no_one_is_told_to_grind(make):
    """The thin spot at corner C lies outside the readings: nobody knows that floor."""
    readings = [("A", "22 in"), ("B", "20.9 in"), ("D", "20.9 in")]
    planned = plan(make(readings=readings, bed=EVEN))
    at = next(i for i, f in enumerate(planned.findings) if f.rule == "bed-thin")
    assert (planned.depth.least.x, planned.depth.least.y) == pytest.approx((48 * 25.4, 48 * 25.4))
    assert remedies(planned)[at].best
    assert not any("grind" in remedy.says for remedy in remedies(planned)[at].remedies)


def test_the_same_plan_has_the_same_remedies(make):
    planned = plan(make(**JOBS["thin over a hump"][2]))
    assert remedies(planned) == remedies(plan(planned.job))


def test_a_sound_plan_and_a_begun_one_have_none(make):
    assert all(not answer.remedies for answer in remedies(plan(make(bed=EVEN))))
    begun = plan(make(drains='kind = "round"', bed=EVEN))
    assert len(remedies(begun)) == len(begun.findings)


def test_square_to_a_wall_whose_line_touches_the_flange_the_fall_is_steep_and_not_beyond_reckoning(make):
    """D-E's line runs along the flange's edge: there is no run square to it to judge a fall by."""
    planned = plan(make(outline=ELL, drains=drain("33", "10"), job='name = "x"\nrulebook = "au-ncc"'))
    assert "fall-steep" in rules(planned, Level.STOP)
    assert len(remedies(planned)) == len(planned.findings)
