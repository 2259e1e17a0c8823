"""An open edge: how far the shower's floor lies under the floor outside that it meets there."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from engine.bed.surfaces import Bed
from engine.job.model import EdgeKind
from engine.limits.checks.case import NOISE, Case
from engine.limits.findings import Finding
from engine.limits.rulebook import Figure
from engine.phrases import phrase
from engine.survey.spot import Needs, Spot

_SAMPLES = np.linspace(0.0, 1.0, 33)  # parts of an edge at which the bed beside it is asked


def check_sunk(case: Case, bed: Bed) -> Iterator[Finding]:
    """Finding floor-sunk: the lowest drain under the highest of the open edges, which the floor outside meets.

    The bed's own heights tell it: tile and mortar are as thick at both.
    """
    most, floor, drains = case.book.find(Figure.SUNK_MOST), case.stages.outline, case.stages.drains
    if most is None or isinstance(floor, Needs) or isinstance(drains, Needs):
        return
    opens = [i for i, kind in enumerate(floor.kinds) if kind is EdgeKind.OPEN]
    if not opens:
        return
    points = np.vstack([floor.on_wall(i, floor.length(i) * _SAMPLES) for i in opens])
    heights = np.asarray(bed.height(points))
    top = int(np.argmax(np.round(heights, 6)))
    sunk = float(heights[top]) - min(drain.height for drain in drains)
    if sunk <= most.value + NOISE:
        return
    x, y = points[top].tolist()
    yield Finding(
        rule="floor-sunk",
        level=most.level,
        says=phrase(
            "the drain lies {sunk} under the floor outside the open edge {place}, more than {most}",
            sunk=case.over(sunk),
            place=case.at(Spot(sunk, x, y)),
            most=case.limit(most),
        ),
        remedy=phrase(
            "let the bed rise {by} less from the drain to that edge: bring the drain nearer to it, or let the bed "
            "fall more gently",
            by=case.worked(sunk - most.value),
        ),
        source=most.cited,
        x=x,
        y=y,
        key="drains",
    )
