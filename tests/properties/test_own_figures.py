"""A limit that the user loosens never adds a stop of its rule, whatever else it moves."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.errors import JobError
from engine.job.edit import with_entry
from engine.job.rule_figures import Figure
from engine.job.toml_file import read_job
from engine.limits.findings import Level
from engine.limits.rulebook import book_of
from engine.plan import plan
from engine.quantities import Dimension

TOP = Path(__file__).parents[2]
JOBS = sorted((TOP / "sample_jobs").glob("*.toml")) + sorted((TOP / "tests" / "archive" / "jobs").glob("*.toml"))
RULES = {  # the rule that goes by a figure, and whether a lower figure is the looser one
    Figure.FALL_LEAST: ("fall-low", True),
    Figure.FALL_MOST: ("fall-steep", False),
    Figure.CURB_LEAST: ("curb-low", True),
    Figure.CURB_MOST: ("curb-high", False),
    Figure.UNBONDED_LEAST: ("bed-thin", True),
    Figure.UNBONDED_MOST: ("bed-thick", False),
    Figure.BONDED_LEAST: ("bed-thin", True),
    Figure.UPPER_BED_LEAST: ("upper-bed-thin", True),
    Figure.AREA_LEAST: ("floor-small", True),
    Figure.CIRCLE_LEAST: ("floor-small", True),
}
ALONG = {  # a bed planned at a lower least fall still has to keep its own, which are loosened with it
    Figure.FALL_LEAST: (Figure.BED_FALL_LEAST, Figure.LINER_FALL_LEAST),
}
IN_FULL = {
    Dimension.LENGTH: lambda value: f"{value:.9f} mm",
    Dimension.FALL: lambda value: f"{value * 100:.9f} %",
    Dimension.AREA: lambda value: f"{value:.6f} mm2",
}


@cache
def job_at(path):
    return read_job(path)


def stops(job, rule):
    """How many stops of that rule there are; none where the plan does not get so far."""
    return sum(f.rule == rule and f.level is Level.STOP for f in plan(job).findings)


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(JOBS), st.sampled_from(list(RULES)), st.floats(0.01, 1.0))
def test_a_loosened_limit_adds_no_stop_of_its_rule(path, figure, share):
    job, (rule, lower) = job_at(path), RULES[figure]
    printed = book_of(job).find(figure)
    if printed is None:
        return
    text = IN_FULL[figure.dimension](printed.value * (share if lower else min(1 / share, 4)))
    keys = [figure.key, *(also.key for also in ALONG.get(figure, ()) if book_of(job).find(also))]
    try:
        eased = job
        for key in keys:
            eased = with_entry(eased, f"figures.{key}", text)
        loosened = stops(eased, rule)
    except JobError as error:
        pytest.fail(str(error))
    assert loosened <= stops(job, rule)
