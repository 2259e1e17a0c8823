"""A plan after any run of edits is the plan of its job alone, whatever was planned before it or beside it."""

from __future__ import annotations

import sys
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import numpy as np
import pytest

from engine.bed.surfaces import Hidden
from engine.errors import JobError
from engine.job.edit import with_entry
from engine.job.toml_file import parse_job
from engine.plan import plan
from engine.sheets.json import plan_json
from engine.survey.spot import Needs

ROOM = """
format = 1
[job]
units = "mm"
[floor]
kind = "concrete"
[outline]
corners = [[0, 0], [1800, 0], [1800, 900], [900, 900], [900, 1800], [0, 1800]]
[[drains]]
kind = "round"
size = 100
at = { x = 500, y = 450 }
drop = 460
[bed]
shape = "even-fall"
"""
EDITS = {
    "readings[{n}].drop": ("515 mm", "521 mm", "530.5 mm"),
    "drains[0].drop": ("460 mm", "461 mm", ""),
    "drains[0].size": ("100 mm", "110 mm"),
    "drains[0].kind": ("round", "square"),
    "drains[0].at": ("x 500 mm, y 450 mm", "x 600 mm, y 450 mm", "A-B 600 mm, F-A 300 mm"),
    "bed.fall": ("2%", "2.5%", ""),
    "bed.shape": ("even-fall", "level-walls"),
    "bed.mark_step": ("1 mm", "3 mm", ""),
    "bed.wall_height": ("40 mm", ""),
    "outline.corners[1]": ("1800 mm, 0", "1810 mm, 0", "1800 mm, -0.0"),
    "outline.corners[4]": ("900 mm, 1800 mm", "900 mm, 1750 mm"),
    'outline.edges."A-B"': ("curb", "wall"),
    "job.units": ("in", "mm"),
    "figures.fall_least": ("1 %", "2.2 %", ""),
    "figures.fall_most": ("3 %", "6 %", ""),
    "figures.unbonded_least": ("20 mm", ""),
    "figures.bonded_least": ("10 mm", "25 mm", ""),
    "figures.bed_load_an_inch": ("14 psf", ""),
}


def forget():
    """Empties everything that the stages remember."""
    for name, module in list(sys.modules.items()):
        if name.startswith(
            ("engine.survey.", "engine.bed.", "engine.layout.", "engine.limits.checks.", "engine.work.")
        ):
            for found in list(vars(module).values()):
                if hasattr(found, "cache_clear"):
                    found.cache_clear()


def start(seed):
    """The room with readings on a square grid, where triangles tie, and some anywhere."""
    rng = np.random.default_rng(seed)
    grid = [(x, y) for x in (0, 450, 900) for y in (0, 450, 900)]
    places = grid + rng.uniform(0, 1800, (3, 2)).round(1).tolist()
    readings = "".join(
        f"[[readings]]\nat = {{ x = {x}, y = {y} }}\ndrop = {drop}\n"
        for (x, y), drop in zip(places, (520 + rng.normal(0, 3, len(places))).round(1), strict=True)
    )
    return parse_job(ROOM + readings)


def edited(seed, count):
    """So many jobs, each an edit of the one before it."""
    rng, jobs = np.random.default_rng(seed), [start(seed)]
    keys = list(EDITS)
    while len(jobs) < count:
        key = keys[rng.integers(len(keys))]
        text = EDITS[key][rng.integers(len(EDITS[key]))]
        jobs.append(with_entry(jobs[-1], key.format(n=rng.integers(12)), text))
    return jobs


def told(job):
    """The plan's own figures to the last bit, or the words of its refusal."""
    try:
        made = plan(job)
    except JobError as error:
        return str(error)
    rough = () if isinstance(made.rough, Needs) else (made.rough.frame.heights.tobytes(), made.rough.integral)
    bed = made.bed if isinstance(made.bed, Needs | Hidden) else (made.bed.wall_height, made.bed.integral)
    drains = made.drains if isinstance(made.drains, Needs) else [drain.above_rough for drain in made.drains]
    corners = made.outline.corners.tobytes()
    return repr((corners, drains, rough, bed, made.readings, made.depth, made.marks, made.findings))


@pytest.fixture(scope="module")
def runs():
    """Jobs with the plans of each alone."""
    jobs = [job for seed in range(2) for job in edited(seed, 16)]
    alone = []
    for job in jobs:
        forget()
        alone.append(told(job))
    return jobs, alone


def test_edits_in_a_row(runs):
    jobs, alone = runs
    forget()
    assert [told(job) for job in jobs] == alone


def test_edits_back_and_forth(runs):
    jobs, alone = runs
    order = np.random.default_rng(7).integers(len(jobs), size=len(jobs)).tolist()
    assert [told(jobs[i]) for i in order] == [alone[i] for i in order]


def test_edits_side_by_side(runs):
    jobs, alone = runs
    forget()
    with ThreadPoolExecutor(4) as threads:
        assert list(threads.map(told, jobs)) == alone


def test_a_drop_that_flips_a_tie():
    """Four readings on one circle: which diagonal is higher follows the drops, and the pieces follow it."""
    flat, up, down = (
        with_entry(start(0), f"readings[{n}].drop", text) for n, text in ((0, "520"), (0, "540"), (4, "540"))
    )
    alone = []
    for job in (flat, up, down):
        forget()
        alone.append((plan(job).rough.triangles.tolist(), told(job)))
    assert len({str(triangles) for triangles, _ in alone}) > 1
    assert [(plan(job).rough.triangles.tolist(), told(job)) for job in (flat, up, down)] == alone


def test_numbers_that_are_equal_but_not_the_same():
    """A minus zero equals zero: neither's plan is told as the other's."""
    plus = start(1)
    corners = list(plus.outline.corners)
    corners[0] = tuple(replace(number, text=-0.0, value=-0.0) for number in corners[0])
    minus = replace(plus, outline=replace(plus.outline, corners=tuple(corners)))
    forget()
    first = plan_json(plan(minus))
    forget()
    assert (plan_json(plan(plus)), plan_json(plan(minus))) == (first, first)
