"""How long a whole replan takes at a keystroke: one entry of a job that was planned a moment ago has changed."""

from __future__ import annotations

import sys
import time
from dataclasses import dataclass
from statistics import median

import numpy as np

from engine.job.edit import with_entry
from engine.job.toml_file import parse_job
from engine.plan import plan

HEAD = 'format = 1\n[job]\nname = "bench"\nunits = "mm"\n[floor]\nkind = "concrete"\nbond_coat = true\n'
ELL = [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)]


@dataclass(frozen=True)
class Timed:
    """Medians of one measure [s]: by the clock, and by this process's own processor time."""

    wall: float
    own: float


def _corners(corners):
    return f"corners = [{', '.join(f'[{x}, {y}]' for x, y in corners)}]"


def _job(outline, at, shape, readings):
    lines = [
        HEAD,
        f"[outline]\n{outline}",
        f'[[drains]]\nkind = "round"\nsize = 100\nat = {{ x = {at[0]}, y = {at[1]} }}\ndrop = 460',
        *(f"[[readings]]\nat = {{ x = {x}, y = {y} }}\ndrop = {drop}" for x, y, drop in readings),
        f'[bed]\nshape = "{shape}"',
    ]
    return parse_job("\n".join(lines))


def _readings(count, far):
    rng = np.random.default_rng(count)
    places = rng.uniform(0, far, (count, 2)).round(2)
    drops = (520 + 0.005 * places[:, 0] + rng.normal(0, 2, count)).round(2)
    return np.column_stack([places, drops]).tolist()


def _rectangle():
    x, y = np.meshgrid([0.0, 750, 1500], [0.0, 450, 900])
    drops = 520 + np.random.default_rng(9).normal(0, 3, 9).round(2)
    readings = np.column_stack([x.ravel(), y.ravel(), drops]).tolist()
    return _job("rectangle = [1500, 900]", (600, 400), "level-walls", readings)


def _ell():
    return _job(_corners(ELL), (1500, 400), "even-fall", _readings(9, 900))


def _many_corners():
    turns = 2 * np.pi * np.arange(30) / 30
    far = np.where(np.arange(30) % 2, 1500.0, 2000.0)
    corners = (2000 + far[:, None] * np.column_stack([np.cos(turns), np.sin(turns)])).round(2)
    return _job(_corners(corners.tolist()), (2300, 2100), "even-fall", _readings(5000, 4000))


def _comb():
    """Twelve corners, three legs off one passage, the drain in the passage: the outer legs are hidden from it."""
    corners = [(0, 0), (2400, 0), (2400, 1500), (1800, 1500), (1800, 600), (1500, 600)]
    corners += [(1500, 1200), (900, 1200), (900, 600), (600, 600), (600, 1500), (0, 1500)]
    return _job(_corners(corners), (1150, 310), "level-walls", _readings(9, 550))


CASES = (  # words, job, target [s], rounds
    ("replan, rectangle with 9 readings", _rectangle, 0.005, 40),
    ("replan, L with 9 readings", _ell, 0.008, 40),
    ("replan, 12 corners with valleys and 9 readings", _comb, 0.040, 20),
    ("replan, 30 corners with 5,000 readings", _many_corners, 0.120, 9),
)


def _place(job, key, step):
    at = job.drains[0].at if key.startswith("drains") else job.readings[4].at
    return with_entry(job, key, f"x {at.x.value + step} mm, y {at.y.value} mm")


def _length(job, step):
    if job.outline.rectangle:
        return with_entry(job, "outline.rectangle[0]", f"{job.outline.rectangle[0].value + step} mm")
    x, y = job.outline.corners[1]
    return with_entry(job, "outline.corners[1]", f"{x.value + step} mm, {y.value} mm")


KINDS = {  # what changes: the job with it changed by so many mm, or that many hundredths of a percent
    "a drop": lambda job, step: with_entry(job, "readings[4].drop", f"{job.readings[4].drop.value + step} mm"),
    "a reading's place": lambda job, step: _place(job, "readings[4].at", step),
    "the drain's place": lambda job, step: _place(job, "drains[0].at", step),
    "the fall": lambda job, step: with_entry(job, "bed.fall", f"{2.2 + step / 100:.2f}%"),
    "a length": _length,
}


def forget():
    """Empties what the stages remember from plan to plan."""
    for name, module in list(sys.modules.items()):
        if name.startswith(
            ("engine.survey.", "engine.bed.", "engine.layout.", "engine.limits.checks.", "engine.work.")
        ):
            for found in list(vars(module).values()):
                if hasattr(found, "cache_clear"):
                    found.cache_clear()


def _timed(jobs, before=None):
    walls, owns = [], []
    for job in jobs:
        if before:
            before()
        wall, own = time.perf_counter(), time.process_time()
        plan(job)
        walls.append(time.perf_counter() - wall)
        owns.append(time.process_time() - own)
    return Timed(median(walls), median(owns))


def replans(make, rounds):
    """The median times of replans by what has changed, each a step on from the last; and of a cold plan."""
    job, found = make(), {}
    for kind, changed in KINDS.items():
        plan(job)
        found[kind] = _timed([changed(job, step) for step in range(1, rounds + 1)])
    return found, _timed([job] * rounds, forget)
