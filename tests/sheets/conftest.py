"""Jobs for the sheets: one whole, one that stops, one that has only begun."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from engine.job.toml_file import parse_job
from engine.plan import plan
from engine.sheets.page.page import plan_page

if TYPE_CHECKING:
    from engine.plan import Plan

SAMPLES = sorted((Path(__file__).parents[2] / "sample_jobs").glob("*.toml"))
WHOLE = """
format = 1
[job]
name = "Ferry Street flat 2, shower"
[floor]
kind = "concrete"
bond_coat = true
[outline]
rectangle = ["48 in", "40 in"]
edges = { "D-A" = "curb" }
[curb]
drop = "14 1/4 in"
[[drains]]
kind = "round"
size = "6 in"
at = { "A-B" = "20 in", "D-A" = "24 in" }
drop = "20 1/4 in"
[[readings]]
at = "A"
drop = "21 1/16 in"
[[readings]]
at = "B"
drop = "21 1/4 in"
[[readings]]
at = "C"
drop = "21 1/2 in"
[[readings]]
at = "D"
drop = "21 1/8 in"
[bed]
shape = "level-walls"
"""

STOPPING = WHOLE.replace('"20 1/4 in"', '"21 1/4 in"')

BEGUN = """
format = 1
[job]
name = "begun"
[outline]
rectangle = ["48 in", "40 in"]
"""


@cache
def planned(text: str) -> Plan:
    """The plan of a job's text, made once for all that look at it."""
    return plan(parse_job(text))


@pytest.fixture
def whole() -> Plan:
    return planned(WHOLE)


@pytest.fixture
def stopping() -> Plan:
    return planned(STOPPING)


@pytest.fixture
def begun() -> Plan:
    return planned(BEGUN)


@pytest.fixture
def variant():
    """The whole job with one piece of its text replaced, planned."""

    def make(old: str, new: str) -> Plan:
        assert old in WHOLE
        return planned(WHOLE.replace(old, new))

    return make


@pytest.fixture
def whole_text() -> str:
    return WHOLE


@pytest.fixture
def planned_text():
    """Any job's text, planned."""
    return planned


@pytest.fixture(scope="package")
def samples(plan_of):
    """The sample jobs' plans by the files' names."""
    return {path.stem: plan_of(path) for path in SAMPLES}


@pytest.fixture(scope="package")
def pages(samples):
    """Their printed pages."""
    return {name: plan_page(made) for name, made in samples.items()}
