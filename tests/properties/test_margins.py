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


U = [(0, 0), (2000, 0), (2000, 1500), (1400, 1500), (1400, 700), (600, 700), (600, 1500), (0, 1500)]
TEE = [(0, 0), (2000, 0), (2000, 600), (1300, 600), (1300, 1600), (700, 1600), (700, 600), (0, 600)]
CEE = [(0, 0), (1500, 0), (1500, 400), (900, 400), (900, 1000), (1500, 1000), (1500, 1400), (0, 1400)]


@pytest.mark.parametrize("kind", ["round", "square"])
@pytest.mark.parametrize(
    ("outline", "at"),
    [(U, (1000, 350)), (U, (1000, 200)), (TEE, (1000, 1300)), (CEE, (300, 700)), (CEE, (1200, 200))],
)
def test_of_two_valley_beds_as_good_noise_chooses_none(make_plan, outline, at, kind):
    """In rooms that are alike on both sides, and whose walls are cut into whole steps."""
    found, rng = make_plan(outline, at=at, size=80, kind=kind, drop=460), Random(3)  # noqa: S311 - as above
    for _ in range(3):
        again = plan(shaken(found.job, rng))
        assert again.depth.volume == pytest.approx(found.depth.volume, rel=1e-9)
        assert len(again.bed.mesh.areas) == len(found.bed.mesh.areas)
