"""Saved jobs of format 1 with the plans they gave: every one is planned again, and gives the same figures.

A figure that has to change is a change of its own: `.venv/bin/python tests/archive` writes the plans anew, and
CHANGES.md has to tell each new digest, with the reason.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from engine.job.toml_file import read_job
from engine.plan import plan
from engine.sheets.json import plan_json

HERE = Path(__file__).parent
JOBS = sorted((HERE / "jobs").glob("*.toml"))
KEPT = (  # of the plan as JSON: what the contract names; words may be bettered, figures may not
    "format",
    "digest",
    "outline",
    "drains",
    "rough",
    "bed",
    "marks",
    "strips",
    "straightedges",
    "shopping",
)


def kept(path):
    """The part of a job's plan that stays."""
    whole = json.loads(plan_json(plan(read_job(path))))
    rules = sorted([finding["rule"], finding["level"]] for finding in whole["findings"])
    return {key: whole[key] for key in KEPT if key in whole} | {"rules": rules}


def missing(expected, found, path=""):
    """Where a plan is not what it was; keys that came since are no difference."""
    if isinstance(expected, dict) and isinstance(found, dict):
        for key, value in expected.items():
            yield from missing(value, found.get(key), f"{path}.{key}")
    elif isinstance(expected, list) and isinstance(found, list) and len(expected) == len(found):
        for index, (one, other) in enumerate(zip(expected, found, strict=True)):
            yield from missing(one, other, f"{path}[{index}]")
    elif expected != found:
        yield f"{path}: {expected} -> {found}"


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_an_old_job_plans_as_it_did(path):
    expected = json.loads(path.with_suffix(".json").read_text(encoding="utf-8"))
    assert list(missing(expected, kept(path))) == []


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_its_digest_is_told_in_the_changes(path):
    expected = json.loads(path.with_suffix(".json").read_text(encoding="utf-8"))
    lines = (HERE / "CHANGES.md").read_text(encoding="utf-8").splitlines()
    told = [line for line in lines if line.startswith(f"| {path.stem} |")]
    assert told, f"{path.stem} is not in CHANGES.md"
    assert f"| {expected['digest']} |" in told[-1]


def test_there_are_many_and_each_has_its_plan():
    assert len(JOBS) >= 12
    assert sorted(path.stem for path in (HERE / "jobs").glob("*.json")) == [path.stem for path in JOBS]


def test_a_changed_figure_would_be_seen():
    """The comparison itself can fail."""
    assert list(missing({"a": [1.0, {"b": 2}]}, {"a": [1.0, {"b": 3}], "c": 4})) == [".a[1].b: 2 -> 3"]
    assert list(missing({"a": [1.0]}, {"a": [1.0, 2.0]}))
    assert list(missing({"a": 1}, {}))
