"""The same job gives the same plan, to the byte."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.job.toml_file import dump_job, parse_job
from engine.plan import plan
from engine.sheets.json import plan_json

FEW = settings().max_examples // 50


@pytest.mark.parametrize("kind", ["rectangles", "stars", "simple"])
@settings(derandomize=True, deadline=None, max_examples=FEW)
@given(data=st.data())
def test_planned_twice(make_plan, rooms, kind, data):
    room = data.draw(getattr(rooms, kind)())
    first = room.planned(make_plan)
    again = plan(parse_job(dump_job(first.job)))
    assert again.job == first.job
    assert plan_json(first) == plan_json(again)
    assert first.findings == again.findings
