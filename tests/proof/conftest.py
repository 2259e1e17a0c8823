"""A small room with readings of its finished bed, as the proof's tests want them."""

from __future__ import annotations

import pytest

from engine.job.toml_file import parse_job
from engine.plan import plan

ROOM = "rectangle = [1500, 1200]"


def built_text(readings):
    """As-built readings from (place, drop) pairs: a corner's letter, or x and y."""
    rows = []
    for at, drop in readings:
        place = f'"{at}"' if isinstance(at, str) else f"{{ x = {at[0]!r}, y = {at[1]!r} }}"
        rows.append(f"[[as_built]]\nat = {place}\ndrop = {drop!r}\n")
    return "\n".join(rows)


@pytest.fixture
def built(make_plan):
    """A plan of a room with as-built readings: (place, how far off the planned bed, up positive) [mm]."""

    def make(offsets, *, line=500.0, outline=ROOM, extra="", **words):
        words = {"at": (750.0, 600.0), "size": 150.0, "drop": 500.0, **words}
        bare = make_plan(outline, extra=extra, **words)
        readings = [(at, _drop(bare, at, off, line)) for at, off in offsets]
        return make_plan(outline, extra=extra + "\n" + built_text(readings), **words)

    return make


def _drop(bare, at, off, line):
    import numpy as np

    names = dict(zip(bare.outline.names, bare.outline.corners, strict=True))
    place = np.asarray(names[at] if isinstance(at, str) else at, dtype=float)[None]
    return round(float(line - bare.bed.height(place)[0] - off), 6)


@pytest.fixture
def read():
    """A plan from a job's text."""
    return lambda text: plan(parse_job(text))
