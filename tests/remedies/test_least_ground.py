"""Uneven floors: no place that is ground or filled could be a step less, and the patch holds all that is out."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest
import shapely

from engine.bed.depth import Gap, extreme_depths
from engine.plan import plan
from engine.quantities import Dimension, parse
from engine.remedies import changed, ground
from engine.remedies.remedy import Idea
from engine.remedies.trials import NOISE, Trials

STEP, HAIR = 1.0, 0.001
DEPTHS = {"bed-thin", "bed-thick", "bed-below-floor"}
DROP = re.compile(r"readings\[(\d+)\]\.drop")
SIDES = re.compile(r"over a patch within (\d+) mm by (\d+) mm")
FLOORS = range(14)


def _floor(seed):
    """A room read all over, humps and hollows in its floor, the drain measured or left to be planned."""
    rng = np.random.default_rng(seed)
    wide, deep = rng.integers(900, 2200, 2).tolist()
    ell = [(0, 0), (wide, 0), (wide, deep // 2), (wide // 2, deep // 2), (wide // 2, deep), (0, deep)]
    corners = ell if seed % 3 == 2 else [(0, 0), (wide, 0), (wide, deep), (0, deep)]
    count = rng.integers(3, 7)
    across, up = np.meshgrid(np.linspace(0.07, 0.93, count), np.linspace(0.09, 0.44, count))
    places = np.vstack([corners, np.column_stack([across.ravel() * wide, up.ravel() * deep])]).round()
    rough = rng.normal(0, rng.choice([0.5, 2, 6]), len(places))
    for _ in range(rng.integers(0, 4)):
        away = np.hypot(*(places - rng.uniform(0, 1, 2) * [wide, deep]).T)
        rough += rng.choice([1, 1, -1]) * rng.uniform(5, 20) * np.exp(-((away / rng.uniform(150, 600)) ** 2))
    drops = (550 - rough).round()
    return corners, {
        "at": (wide // 4, deep // 4),
        "drop": None if seed % 4 == 0 else float(np.median(drops) - rng.integers(25, 45)),
        "shape": ["level-walls", "even-fall"][seed % 2],
        "readings": list(zip(places.tolist(), drops.tolist(), strict=True)),
        "bed": f"least_depth = {rng.integers(25, 40)}\nmost_depth = {rng.integers(45, 80)}",
    }


@pytest.fixture(scope="module")
def worked(make_plan):
    """Trials of plans with what is ground and filled in each: the finding, the idea, 1 for down or -1."""
    found = []
    for corners, words in map(_floor, FLOORS):
        trials = Trials(make_plan(corners, **words))
        for finding in trials.plan.findings:
            makers = {"bed-thin": [(ground.grind, 1)], "bed-thick": [(ground.fill, -1), (ground.grind, 1)]}
            for maker, way in makers.get(finding.rule, []):
                ideas = [idea for idea in maker(trials, finding) if _does(trials, finding, idea.change)]
                found += [(trials, finding, idea, way) for idea in ideas]
    return found


def _does(trials, finding, change):
    """Whether a change clears the finding, and brings nothing."""
    remedy = Trials(trials.plan).tried(finding, Idea("", change))
    return remedy is not None and not remedy.brings


def _less(trials, change, way):
    """The change with one place a step less, with one as it was read, and with one left out, each in turn."""
    count = len(trials.job.readings)
    change = tuple(entry for entry in change if not entry[0].endswith((".before", ".reckoned")))
    for i, (key, text) in enumerate(change):
        found = DROP.fullmatch(key)
        if found is None:
            continue
        drop = parse(text, Dimension.LENGTH, trials.units) - way * STEP
        if int(found[1]) < count:
            yield (*change[:i], *change[i + 1 :])
            if (drop - trials.job.readings[int(found[1])].drop.value) * way > 0:
                yield (*change[:i], (key, f"{drop} mm"), *change[i + 1 :])
            continue
        at = [parse(value, Dimension.LENGTH, trials.units) for value in re.findall(r"[xy] ([^,]+)", change[i - 1][1])]
        read = trials.plan.rough.shift - trials.plan.rough.height(np.array([at]))[0]
        if (drop + way * STEP - read) * way > HAIR:
            yield (*change[:i], (key, f"{read + way * HAIR / 2:.3f} mm"), *change[i + 1 :])
        if (drop - read) * way >= 0:
            yield (*change[:i], (key, f"{drop} mm"), *change[i + 1 :])
        kept = [pair for pair in change if pair not in change[i - 1 : i + 1]]
        new = [text for key, text in kept if int(key.split("[")[1].split("]")[0]) >= count]
        named = [f"readings[{count + k // 2}].{('at', 'drop')[k % 2]}" for k in range(len(new))]
        yield (*kept[: len(kept) - len(new)], *zip(named, new, strict=True))


def _is_held(trials, way):
    """Whether the bed is at its other limit or beyond, or moves to it."""
    depth, limits = trials.plan.depth, trials.case.depth_limits
    is_beyond = depth.most.value > limits.most.value if way > 0 else depth.least.value < limits.least.value
    return is_beyond or trials.job.drains[0].drop is None


def _helps(trials, change, way):
    """Whether over the floor as it is then read the bed is nearer to the limit that nobody works for."""
    before, after = trials.plan.rough, plan(changed(trials.job, change)).rough
    depths = [extreme_depths(Gap(trials.plan.bed, rough)) for rough in (before, after.raised(before.shift))]
    was, now = (each[1 if way > 0 else 0].value for each in depths)
    return way * (was - now) > NOISE


def test_no_work_helps_where_nobody_works(worked):
    held = [(trials, idea.change, way) for trials, _, idea, way in worked if _is_held(trials, way)]
    assert len(held) >= 5
    assert not any(_helps(*each) for each in held)


def test_no_place_could_be_a_step_less_or_left_out(worked):
    seen = set()
    for trials, finding, idea, way in worked:
        for less in _less(trials, idea.change, way):
            is_less = (
                less and _does(trials, finding, less) and not (_is_held(trials, way) and _helps(trials, less, way))
            )
            assert not is_less, (idea.says, less)
        seen |= {(way, trials.job.drains[0].drop is None, len(idea.change) > 6)}
        assert "may be a step less" not in idea.says
    assert len(seen) >= 5


def _looked_at(planned):
    """Places all over the floor, close together along the edges of its planes."""
    low, high = np.array(planned.outline.polygon.bounds).reshape(2, 2)
    places = np.stack(np.meshgrid(*np.linspace(low, high, 160).T), -1).reshape(-1, 2)
    starts, ends = planned.rough.frame.corners[planned.rough.frame.pairs].transpose(1, 0, 2)
    edges = starts + np.linspace(0, 1, 40)[:, None, None] * (ends - starts)
    places = np.vstack([places, edges.reshape(-1, 2)])
    return places[shapely.intersects_xy(planned.outline.polygon, *places.T)]


def test_the_patch_holds_every_place_that_is_out(worked):
    for trials, _, idea, way in worked:
        places, depth, limits = _looked_at(trials.plan), trials.plan.depth, trials.case.depth_limits
        depths = depth.gap(places)
        lowered = depth.most.value - limits.most.value if trials.job.drains[0].drop is None else 0.0
        out = depths < limits.least.value + lowered if way > 0 else depths > limits.most.value
        told = [float(side) for side in SIDES.search(idea.says).groups()]
        assert (np.ptp(places[out], axis=0) <= told).all(), idea.says
        assert (np.ptp(places[out], axis=0) > np.array(told) - 80).all(), idea.says


def test_where_not_all_is_tried_it_is_said_that_some_may_be_less(make_plan, monkeypatch):
    monkeypatch.setattr(ground, "_EASE", 0.1)
    corners, words = _floor(1)
    plan = make_plan(corners, **words)
    finding = next(finding for finding in plan.findings if finding.rule in DEPTHS)
    for patience, is_open in ((1.0, True), (10_000.0, False)):
        trials = Trials(replace(plan, patience=patience))
        (idea,) = [*ground.grind(trials, finding), *ground.fill(trials, finding)][:1]
        assert idea.says.endswith("; some of it may be a step less") == is_open
        assert trials.is_open == is_open


def test_where_a_place_as_it_was_read_would_do_it_is_not_worked(make):
    """Between readings that are whole sixteenths of an inch, new places lie between them."""
    places = ["B", "C", "D", ("5/8", "10"), ("22", "17 9/16"), ("8 7/8", "47"), ("3", "48"), ("26 5/8", "45 5/16")]
    drops = ["18 9/16", "18 1/2", *["18 9/16"] * 4, "18 1/2", "18 9/16"]
    second = '[[drains]]\nkind = "round"\nsize = "6"\nat = { x = "19 1/2", y = "34 15/16" }\ndrop = "17 1/4"'
    job = make(
        zip(places, drops, strict=True),
        job='name = "a floor"\nunits = "in"',
        floor='kind = "wood"\nmoisture_barrier = "felt"\nlath = true',
        outline='rectangle = ["47", "54"]',
        drains=f'kind = "square"\nsize = "6"\nat = {{ x = "4 5/16", y = "42 11/16" }}\ndrop = "17 1/4"\n{second}',
        bed='shape = "level-walls"\nfall = "2.5 %"',
    )
    trials = Trials(plan(job))
    finding = next(found for found in trials.plan.findings if found.rule == "bed-thick")
    (idea,) = ground.fill(trials, finding)
    assert _does(trials, finding, idea.change)
    entries = dict(idea.change)
    worked = [key.removesuffix(".before") for key in entries if key.endswith(".before")]
    assert any(f"{place}.at" in entries for place in worked)
    for place in worked:
        back = {**entries, f"{place}.drop": entries[f"{place}.before"]}
        del back[f"{place}.before"]
        assert not _does(trials, finding, tuple(back.items()))


def test_what_is_kept_at_a_rounded_place_is_no_work(make_job):
    """The place is told to half a millimetre: what the floor slopes in that is no step."""
    ell = [(0, 0), (2130, 0), (2130, 825), (1280, 825), (1280, 1520), (0, 1520)]
    readings = [('"A"', 403), ('"B"', 408), ('"D"', 426), ('"E"', 411)]
    job = make_job(ell, at=(922, 668), size=152, readings=readings, mark_step=2, bed="most_depth = 55")
    trials = Trials(plan(changed(job, (("floor.bond_coat", ""), ("floor.moisture_barrier", "felt")))))
    finding = next(found for found in trials.plan.findings if found.rule == "bed-thick")
    (idea,) = ground.fill(trials, finding)
    entries = dict(idea.change)
    worked = [key for key in entries if key.endswith(".before")]
    assert worked
    assert {parse(entries[key.replace("before", "drop")], Dimension.LENGTH, "mm") % STEP for key in worked} == {0}
    assert f"at {len(worked)} places" in idea.says
