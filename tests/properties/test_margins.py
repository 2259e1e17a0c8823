"""No figure of a sample hangs on the last bits of a float: other processors and libraries print the same.

Every value of a job is moved by a few parts in 10^13, more than arithmetic in another order moves a sum, and the
printed plan has to stay as it is, to the letter.
"""

from __future__ import annotations

import dataclasses
from pathlib import Path
from random import Random

import pytest
from hypothesis import settings

from engine.job.model import Typed
from engine.plan import plan
from engine.sheets.json import plan_json

SAMPLES = sorted((Path(__file__).parents[2] / "sample_jobs").glob("*.toml"))
NOISE = 3e-13
TIMES = settings().max_examples // 100


def shaken(value, rng):
    """The job, or what is in it, with every measured value moved by noise."""
    if isinstance(value, Typed):
        return Typed(value.text, value.value * (1 + rng.uniform(-NOISE, NOISE)))
    if isinstance(value, tuple):
        return type(value)(shaken(item, rng) for item in value)
    if dataclasses.is_dataclass(value):
        moved = {field.name: shaken(getattr(value, field.name), rng) for field in dataclasses.fields(value)}
        return dataclasses.replace(value, **moved)
    return value


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_noise_in_the_last_bits_changes_no_letter(plan_of, path):
    job, rng = plan_of(path).job, Random(7)  # noqa: S311 - repeatable, not secret
    said = plan_json(plan_of(path))
    for _ in range(TIMES):
        assert plan_json(plan(shaken(job, rng))) == said
