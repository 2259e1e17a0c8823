"""Drains at several heights: a run is the way itself, whichever drain is named first."""

from __future__ import annotations

import re

import numpy as np
import pytest

from engine.job.toml_file import parse_job
from engine.plan import plan
from engine.proof.falls import runs_to_drain

_ROOM = """format = 1
[job]
name = "two drains"
units = "mm"
rulebook = "au-ncc"
[floor]
kind = "concrete"
[outline]
rectangle = [2400, 1200]
{drains}
[[readings]]
at = "A"
drop = 560
[bed]
shape = "{shape}"
fall = "1:60"
{built}
"""
_ROUND = [
    '[[drains]]\nkind = "square"\nsize = 100\nat = { x = 600, y = 600 }\ndrop = 500',
    '[[drains]]\nkind = "square"\nsize = 100\nat = { x = 1800, y = 500 }\ndrop = 505',
]
_CHANNELS = [
    '[[drains]]\nkind = "channel"\nsize = 60\nfrom = { x = 300, y = 100 }\nto = { x = 300, y = 1100 }\ndrop = 500',
    '[[drains]]\nkind = "channel"\nsize = 60\nfrom = { x = 2000, y = 100 }\nto = { x = 2000, y = 1100 }\ndrop = 508',
]


def _plan(drains, shape="even-fall", built=""):
    return plan(parse_job(_ROOM.format(drains="\n".join(drains), shape=shape, built=built)))


@pytest.mark.parametrize(("drains", "shape"), [(_ROUND, "even-fall"), (_CHANNELS, "plane")])
def test_the_longest_run_is_the_longest_way_itself(drains, shape):
    runs = []
    for order in (drains, drains[::-1]):
        bed = _plan(order, shape).bed
        edges = bed.reach.edges
        along = np.linspace(0.0, 1.0, 2001)[:, None]
        places = np.vstack([a + along * (b - a) for a, b in zip(edges.starts, edges.ends, strict=True)])
        most = runs_to_drain(bed, places)[0].max()
        assert most - 1e-6 <= bed.longest_run <= most + 2.0  # between two of the places, at a ridge, it jumps
        runs.append(bed.longest_run)
    assert runs[0] == pytest.approx(runs[1], abs=1e-3)


def test_how_far_to_lower_the_bed_goes_by_the_drain_that_the_line_runs_to():
    """Square to drain 2 a wall is built too high: the remedy is the same whichever drain is named first."""
    remedies = []
    for order in (_ROUND, _ROUND[::-1]):
        heights = {(0, 0): 487, (2400, 0): 493, (2400, 1200): 491, (0, 1200): 487, (1800, 0): 490, (1200, 600): 495}
        built = "\n".join(
            f"[[as_built]]\nat = {{ x = {x}, y = {y} }}\ndrop = {drop}" for (x, y), drop in heights.items()
        )
        (steep,) = (finding for finding in _plan(order, built=built).findings if finding.rule == "built-fall-steep")
        remedies.append(float(re.search(r"by ([\d.]+) mm", steep.remedy)[1]))
    # From the middle of A-B drain 2's edge is 450 mm off: 505 - 490 = 15 mm, and 1:50 allows 9 mm.
    assert remedies == [6.0, 6.0]
