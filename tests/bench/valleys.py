"""How long a plan with valleys takes, and how near its bed comes to the bounds, over many random rooms.

The rooms are the tests' own: up to twelve corners, or exactly so many, part of the floor hidden from the drain.
"""

from __future__ import annotations

import itertools
import sys
import time
from dataclasses import dataclass
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path

import numpy as np

from engine.job.toml_file import parse_job
from engine.plan import plan

TARGET = 0.040  # [s] the median plan
ROOMS = 60
MOST_CORNERS = 12
_JOB = """format = 1
[job]
name = "bench"
units = "mm"
[floor]
kind = "concrete"
bond_coat = true
[outline]
corners = {corners}
[[drains]]
kind = "round"
size = 80
at = {{ x = {x}, y = {y} }}
drop = 460
[[readings]]
at = "A"
drop = 500
[[readings]]
at = "B"
drop = 503
[[readings]]
at = "C"
drop = 498
[bed]
shape = "level-walls"
"""


@dataclass(frozen=True)
class Found:
    """Own times [s], wall heights and steepest falls over their bounds [-], one a room; rooms without a bed."""

    times: np.ndarray
    heights: np.ndarray
    falls: np.ndarray
    without: int


def _rooms():
    """The tests' random rooms: their folder is no package."""
    path = Path(__file__).parents[1] / "conftest.py"
    spec = spec_from_file_location("rooms_for_valleys", path)
    rooms = module_from_spec(spec)
    spec.loader.exec_module(rooms)
    return rooms


def _hidden(count, corners):
    """So many random rooms, of any number of corners or of exactly so many."""
    rooms = map(_rooms().hidden_room, itertools.count())
    return itertools.islice((room for room in rooms if corners in (None, len(room[0]))), count)


def valleys(count=ROOMS, corners=None):
    """What plans of so many random rooms take and come to; corners: of exactly so many, else of up to twelve."""
    times, heights, falls = [], [], []
    for ring, (x, y) in _hidden(count, corners):
        job = parse_job(_JOB.format(corners=ring.tolist(), x=x, y=y))
        start = time.perf_counter()
        bed = plan(job).bed
        times.append(time.perf_counter() - start)
        if not hasattr(bed, "bound"):
            continue
        least = bed.valley_fall * bed.reach.way(bed.reach.floor.corners).max()
        heights.append(bed.wall_height / least)
        falls.append(bed.most_fall / bed.bound)
    return Found(np.array(times), np.array(heights), np.array(falls), count - len(heights))


if __name__ == "__main__":
    told = valleys(int(sys.argv[1]) if len(sys.argv) > 1 else 360)
    for words, values in (
        ("ms", told.times * 1e3),
        ("height/bound", told.heights),
        ("fall/bound", told.falls),
    ):
        median, most, all_ = np.percentile(values, [50, 90, 100])
        sys.stdout.write(f"{words:14} median {median:.3f}, 90 % {most:.3f}, most {all_:.3f}\n")
    sys.stdout.write(f"rooms without a bed: {told.without}\n")
