"""A change that a finding offers clears that finding, in the job that it speaks of, and brings no worse."""

from __future__ import annotations

import time

import pytest

from engine.job.edit import with_entry
from engine.limits.checks import check_all
from engine.limits.findings import Level
from engine.limits.stages import Stages
from engine.plan import plan

CURBED = 'rectangle = ["48 in", "48 in"]\nedges = { "D-A" = "curb" }'
MM = 'name = "x"\nunits = "mm"'


def _level(drop):
    return [(corner, drop) for corner in "ABCD"]


JOBS = {
    "low fall": {"bed": 'shape = "even-fall"\nfall = "1:60"'},
    "low level walls": {"bed": 'shape = "level-walls"\nfall = "1:90"'},
    "low own walls": {"bed": 'shape = "level-walls"\nwall_height = "3/8 in"'},
    "low own walls in mm": {"bed": 'shape = "level-walls"\nwall_height = "9 mm"', "job": MM},
    "steep fall": {"bed": 'shape = "even-fall"\nfall = "7 %"'},
    "steep level walls": {"bed": 'shape = "level-walls"\nfall = "3/8 in/ft"'},
    "steep level walls in mm": {"bed": 'shape = "level-walls"\nfall = "3 %"', "job": MM},
    "steep walls that need finer marks": {
        "job": 'name = "x"\nrulebook = "uk-bs5385"',
        "outline": 'rectangle = ["60 in", "36 in"]',
        "drains": 'kind = "round"\nsize = "6 in"\nat = { x = "30 in", y = "18 in" }\ndrop = "20 in"',
    },
    "steep past mending": {"outline": 'rectangle = ["72 in", "48 in"]'},
    "steep past mending, by the plan too": {
        "outline": 'rectangle = ["72 in", "48 in"]',
        "bed": 'shape = "level-walls"\nfall = "5 %"',
    },
    "square to the wall": {
        "outline": 'rectangle = ["72 in", "48 in"]',
        "job": 'name = "x"\nrulebook = "au-ncc"',
    },
    "thin": {"readings": _level("20.5 in"), "bed": 'shape = "even-fall"'},
    "thin in mm": {"readings": _level("20.51 in"), "bed": 'shape = "even-fall"', "job": MM},
    "below": {"readings": _level("19 in"), "bed": 'shape = "even-fall"'},
    "thick": {
        "readings": _level("22.3 in"),
        "floor": 'kind = "concrete"\nmoisture_barrier = "felt"',
        "bed": 'shape = "even-fall"',
    },
    "unsure": {"readings": _level("21 in"), "floor": 'kind = "concrete"', "bed": 'shape = "even-fall"'},
    "wood": {"floor": 'kind = "wood"', "readings": _level("21 1/4 in")},
    "thin over a liner": {"build": 'waterproofing = "between-beds"\nupper_bed = "1 in"'},
    "low curb": {"outline": CURBED, "curb": 'drop = "18.3 in"'},
    "high curb": {"outline": CURBED, "curb": 'drop = "9.31 in"'},
    "high threshold": {
        "outline": CURBED,
        "curb": 'drop = "18 in"',
        "job": 'name = "x"\nrulebook = "us-accessible"',
        "bed": 'shape = "even-fall"',
    },
    "hidden": {
        "outline": 'corners = [["0","0"], ["72","0"], ["72","36"], ["36","36"], ["36","72"], ["0","72"]]',
        "drains": 'kind = "round"\nsize = "6 in"\nat = { x = "62 in", y = "10 in" }\ndrop = "20 in"',
    },
    "own figures": {"bed": 'shape = "even-fall"\nleast_depth = "1 in"\nmost_depth = "3 in"'},
}
RULES_SEEN = {
    "bond-unsure",
    *(
        "fall-low",
        "fall-steep",
        "bed-thin",
        "bed-below-floor",
        "bed-thick",
        "wood-no-barrier",
        "wood-no-lath",
    ),
    *("upper-bed-thin", "curb-low", "curb-high", "hidden-floor", "own-figure"),
}


def _changed(job, finding):
    for key, text in finding.change:
        job = with_entry(job, key, text)
    return job


@pytest.mark.parametrize("name", JOBS)
def test_an_offered_change_clears_its_finding(make, name):
    job = make(**JOBS[name])
    offered = [finding for finding in plan(job).findings if finding.change]
    assert offered
    for finding in offered:
        left = [(other.rule, other.key) for other in plan(_changed(job, finding)).findings]
        assert (finding.rule, finding.key) not in left


def test_these_jobs_try_every_rule_that_offers_a_change(make):
    rules = {finding.rule for tables in JOBS.values() for finding in plan(make(**tables)).findings if finding.change}
    assert rules == RULES_SEEN


@pytest.mark.parametrize("name", ["thin", "thin in mm", "thick", "low curb", "high curb", "low own walls"])
def test_an_offered_change_brings_no_new_stop(make, name):
    job = make(**JOBS[name])
    stops = {finding.rule for finding in plan(job).findings if finding.level is Level.STOP}
    for finding in plan(job).findings:
        after = {other.rule for other in plan(_changed(job, finding)).findings if other.level is Level.STOP}
        assert after <= stops


def test_the_gravest_come_first_and_always_in_one_order(make):
    job = make(floor='kind = "wood"', build='tile_edge = "12 in"', readings=[("A", "19 in")])
    levels = [finding.level for finding in plan(job).findings]
    assert levels == sorted(levels, key=[Level.STOP, Level.CAUTION, Level.NOTE].index)
    assert len(set(levels)) > 1
    assert plan(job).findings == plan(job).findings


def test_an_empty_job_is_checked_without_a_word(make):
    job = make(readings=[], floor=None, outline=None, drains=None, bed=None)
    assert plan(job).findings == ()


def test_a_sound_floor_has_no_findings_and_is_checked_in_a_moment(make):
    job = make(bed='shape = "even-fall"')
    done = plan(job)
    assert done.findings == ()
    flanges = tuple(drain.flange for drain in done.drains)
    stages = Stages(done.outline, flanges, done.drains, done.readings, done.rough, done.bed, done.depth)
    taken = []
    for _ in range(50):
        start = time.perf_counter()
        check_all(job, done.rulebook, stages)
        taken.append(time.perf_counter() - start)
    assert min(taken) < 1e-3  # a third of a millisecond on the slow machine this was measured on
