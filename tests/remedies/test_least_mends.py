"""Finished beds anywhere: what clears a pond, or a fall that is out, could not be a step less at any place."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from engine.plan import plan
from engine.quantities import INCH, parse
from engine.remedies import changed, remedies
from engine.remedies.remedy import Idea
from engine.remedies.trials import Trials

RULES = ("ponding", "built-fall-low", "built-fall-steep")
BEDS = (1, 2, 3, 5, 7, 8, 10, 11, 14, 16, 17)


@pytest.fixture(scope="module")
def make(make_plan):
    """A rectangle or an L, level or even, with its corners, the walls' middles and some places on the floor read."""

    def build(seed):
        rng, unit = np.random.default_rng(seed), INCH if seed % 2 else 1.0
        wide, deep = (rng.integers(900, 2400, 2) / unit).round().tolist()
        corners, part = [(0, 0), (wide, 0), (wide, deep), (0, deep)], 1.0
        if seed % 5 == 4:
            corners, part = [*corners[:2], (wide, deep / 2), (wide / 2, deep / 2), (wide / 2, deep), corners[3]], 0.5
        ends = np.array(corners)
        floor, places = shapely.polygons(ends), [*ends, *(ends + np.roll(ends, -1, axis=0)) / 2]
        inside = rng.uniform(0, (wide, deep), (30, 2))
        places = np.array([*places, *inside[shapely.contains_xy(floor, *inside.T)][: rng.integers(2, 9)]]).round(2)
        words = {
            "at": tuple(rng.uniform(200 / unit, part * ends.max(axis=0) - 120 / unit).round(1).tolist()),
            "drop": 500 / unit,
            "size": 100 / unit,
            "shape": ["level-walls", "even-fall"][seed // 2 % 2],
            "fall": ["3 %", "1/4 in/ft", "2.5 %"][seed % 3],
            "readings": [(corner, 555 / unit) for corner in corners],
            "units": "in" if unit > 1 else "mm",
        }
        heights = make_plan(corners, **words).bed.height(places * unit) + rng.normal(0, 1.5 + seed % 4, len(places))
        step = unit / 16 if unit > 1 else 1.0
        rows = zip(places.tolist(), (((500 - heights) / step).round() * step / unit).tolist(), strict=True)
        laid = "\n".join(f"[[as_built]]\nat = {{ x = {x}, y = {y} }}\ndrop = {drop}\n" for (x, y), drop in rows)
        return make_plan(corners, extra=laid, **words)

    return build


def _nearer(trials, change):
    """The change with one reading a step nearer to what it was, or as it was, each in turn."""
    for i, (key, text) in enumerate(change):
        was = trials.job.as_built[int(key.split("[")[1].split("]")[0])].drop.value
        drop = parse(text, "length", trials.units)
        nearer = was if abs(drop - was) <= trials.step + 1e-6 else drop + np.copysign(trials.step, was - drop)
        yield (*change[:i], (key, f"{nearer} mm"), *change[i + 1 :])


def _alone(trials, least):
    """Each reading nearer to the plan by fewer steps than that many [mm]."""
    for station in trials.plan.as_built.stations:
        for by in np.arange(trials.step, min(least - 0.1, abs(station.error)), trials.step):
            yield ((f"as_built[{station.number}].drop", f"{station.drop + np.copysign(by, station.error)} mm"),)


def _is_clean(trials, finding, change):
    remedy = trials.tried(finding, Idea("", change))
    return remedy is not None and not remedy.brings


@pytest.mark.parametrize("seed", BEDS)
def test_no_place_could_be_a_step_less(make, seed):
    planned, told = make(seed), 0
    trials = Trials(planned, left=1e9)
    for finding, answer in zip(planned.findings, remedies(planned), strict=True):
        if finding.rule not in RULES or not answer.best or answer.best[0].figure is None:  # or takes another plan too
            continue
        least, told = answer.best[0], told + 1
        assert "the least that does" in least.says or "by the plan itself" in least.says
        assert finding not in plan(changed(planned.job, least.change)).findings
        for less in _nearer(trials, least.change):
            assert not _is_clean(trials, finding, less), (least.says, less)
        if finding.rule == "ponding":
            for less in _alone(trials, least.figure):
                assert not _is_clean(trials, finding, less), (least.says, less)
    assert told
