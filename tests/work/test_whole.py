"""The work as a plan gives it: there when the floor is planned, and until then what it waits for."""

from __future__ import annotations

import dataclasses
import subprocess
import sys

import pytest

from engine.errors import JobError
from engine.job.model import Job
from engine.layout.stock import StockPlan
from engine.plan import plan
from engine.survey.spot import Needs
from engine.work.whole import Work

ROOM = [(0, 0), (1500, 0), (1500, 900), (0, 900)]
ELL = [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)]
POSTS = [
    [(300, 300), (400, 300), (400, 400)],
    [(300, 900), (400, 900), (400, 1000)],
    [(600, 600), (660, 600), (660, 660)],
    [(900, 200), (960, 200), (960, 260)],
]  # round four no valleys are looked for


class TestWhatItWaitsFor:
    def test_an_empty_job_first_of_all_for_the_kind_of_floor(self):
        assert plan(Job()).work == Needs("floor.kind", "is the floor concrete or wood?")

    @pytest.mark.parametrize(
        ("words", "key"),
        [
            pytest.param({}, "drains[0]", id="no drain"),
            pytest.param({"at": (600, 400), "shape": None}, "bed.shape", id="no shape"),
        ],
    )
    def test_work_and_stock_wait_for_what_the_bed_waits_for(self, make_plan, words, key):
        found = make_plan(ROOM, **words)
        assert found.work.key == key
        assert found.stock.key == key

    def test_both_wait_for_another_shape_where_a_wall_is_hidden(self, make_plan):
        found = make_plan(ELL, at=(450, 1500), islands=POSTS)
        assert found.work.key == "bed.shape"
        assert found.stock.key == "bed.shape"

    def test_a_floor_of_unknown_kind_has_its_stock_plan_and_waits_with_the_rest(self, make_job):
        job = make_job(ROOM, at=(600, 400))
        found = plan(dataclasses.replace(job, floor=dataclasses.replace(job.floor, kind=None)))
        assert isinstance(found.stock, StockPlan)
        assert found.work.key == "floor.kind"


class TestAPlannedFloor:
    def test_the_work_knows_the_same_strips_stock_and_straightedges(self, make_plan):
        found = make_plan(ROOM, at=(600, 400))
        assert isinstance(found.work, Work)
        assert found.work.strips is found.strips
        assert found.work.stock is found.stock
        assert found.work.edges is found.straightedges
        assert found.work is found.work

    def test_a_strip_that_fits_no_floor_is_refused_at_its_key(self, make_plan):
        found = make_plan("rectangle = [1500, 500]", at=(600, 250), extra='[strips]\nthickness = "290 mm"')
        with pytest.raises(JobError, match=r"strips\.thickness"):
            found.work  # noqa: B018 - asking is the test

    def test_planning_alone_does_not_load_it(self):
        code = "import sys, engine.plan; print('engine.work.whole' in sys.modules)"
        done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, text=True)
        assert done.stdout == "False\n"
