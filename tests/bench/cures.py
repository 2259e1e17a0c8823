"""How long the remedies of a plan take."""

from __future__ import annotations

import time
from statistics import median

from engine.job.toml_file import parse_job
from engine.limits.findings import Level
from engine.plan import plan
from engine.remedies import remedies

THREE_STOPS = """
format = 1
[job]
name = "three stops"
[floor]
kind = "concrete"
moisture_barrier = "felt"
[outline]
rectangle = ["60 in", "42 in"]
edges = { "D-A" = "curb" }
[curb]
drop = "18 3/8 in"
[[drains]]
kind = "round"
size = "6 in"
at = { "A-B" = "21 in", "D-A" = "20 in" }
drop = "20 in"
[[readings]]
at = "A"
drop = "21 in"
[[readings]]
at = "B"
drop = "21 1/4 in"
[[readings]]
at = "C"
drop = "21 1/4 in"
[[readings]]
at = "D"
drop = "21 1/8 in"
[[readings]]
at = { x = "30 in", y = "21 in" }
drop = "20 1/2 in"
[bed]
shape = "level-walls"
"""
TARGET = 0.300  # [s]


def cure_time(rounds=9):
    """The median time [s] by the clock, and the number of stops that were answered."""
    planned = plan(parse_job(THREE_STOPS))
    taken = []
    for _ in range(rounds):
        start = time.perf_counter()
        answers = remedies(planned)
        taken.append(time.perf_counter() - start)
    stops = [a for f, a in zip(planned.findings, answers, strict=True) if f.level is Level.STOP]
    return median(taken), sum(bool(answer.best) for answer in stops)
