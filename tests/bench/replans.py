"""How long a whole replan of a job takes."""

from __future__ import annotations

import time
from dataclasses import dataclass
from statistics import median

import numpy as np

from engine.job.toml_file import parse_job
from engine.plan import plan

HEAD = 'format = 1\n[job]\nname = "bench"\nunits = "mm"\n[floor]\nkind = "concrete"\nbond_coat = true\n'
ELL = [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)]


@dataclass(frozen=True)
class Timed:
    """Medians of one measure [s]: by the clock, and by this process's own processor time."""

    wall: float
    own: float


def _job(corners, at, shape, readings):
    outline = ", ".join(f"[{x}, {y}]" for x, y in corners)
    lines = [
        HEAD,
        f"[outline]\ncorners = [{outline}]",
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
    return _job([(0, 0), (1500, 0), (1500, 900), (0, 900)], (600, 400), "level-walls", readings)


def _many_corners():
    turns = 2 * np.pi * np.arange(30) / 30
    far = np.where(np.arange(30) % 2, 1500.0, 2000.0)
    corners = (2000 + far[:, None] * np.column_stack([np.cos(turns), np.sin(turns)])).round(2)
    return _job(corners.tolist(), (2300, 2100), "even-fall", _readings(5000, 4000))


CASES = (  # words, job, target [s], rounds
    ("replan, rectangle with 9 readings", _rectangle, 0.005, 60),
    ("replan, L with 9 readings", lambda: _job(ELL, (1500, 400), "even-fall", _readings(9, 900)), 0.008, 60),
    ("replan, 30 corners with 5,000 readings", _many_corners, 0.120, 15),
)


def replan(make, rounds):
    """The median time to plan a job that has been read."""
    job = make()
    plan(job)
    walls, owns = [], []
    for _ in range(rounds):
        wall, own = time.perf_counter(), time.process_time()
        plan(job)
        walls.append(time.perf_counter() - wall)
        owns.append(time.process_time() - own)
    return Timed(median(walls), median(owns))
