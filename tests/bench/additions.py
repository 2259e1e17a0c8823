"""What strips, straightedges, layers, mud, loads, purchases, order and ways add to a replan of a home floor."""

from __future__ import annotations

import time
from pathlib import Path
from statistics import median

from engine.job.edit import with_entry
from engine.job.toml_file import read_job
from engine.plan import plan

JOBS = Path(__file__).parents[2] / "sample_jobs"
HOMES = ("mill_house", "quarry_lane", "station_yard")  # one drain each
TARGET, ROUNDS = 0.003, 30  # [s]
PARTS = ("layers", "mortar", "portions", "lath", "load", "shopping", "order", "ways")


def addition_times() -> dict[str, float]:
    """By home, this process's own time [s], at the median, for all of it once a reading's drop has changed."""
    return {name: _median(name) for name in HOMES}


def _median(name):
    job, times = read_job(JOBS / f"{name}.toml"), []
    drop = job.readings[1].drop.value
    for step in range(ROUNDS):
        made = plan(with_entry(job, "readings[1].drop", f"{drop + 0.1 * step:.2f} mm"))
        start = time.process_time()
        work = (made.strips, made.straightedges, made.stock, made.work)[-1]
        for part in PARTS:
            getattr(work, part)
        times.append(time.process_time() - start)
    return median(times)
