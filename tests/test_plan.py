"""The road from a job to its plan: partial jobs go as far as they can, and say what they wait for."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

import engine
from engine.bed.even_fall import EvenFall
from engine.bed.level_walls import LevelWalls
from engine.bed.planes import PlaneBed
from engine.bed.surfaces import Hidden
from engine.errors import JobError
from engine.job.model import Drain, DrainKind, Job
from engine.limits.findings import Level
from engine.plan import Plan, plan
from engine.survey.spot import Needs

RECTANGLE = "rectangle = [1500, 900]"
ELL = [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)]
POSTS = [
    [(300, 300), (400, 300), (400, 400)],
    [(300, 1200), (400, 1200), (400, 1300)],
    [(600, 600), (660, 600), (660, 660)],
    [(800, 200), (860, 200), (860, 260)],
]  # round four no valleys are looked for
READINGS = [(f'"{corner}"', drop) for corner, drop in zip("ABCD", (520.0, 516.0, 524.0, 530.0), strict=True)]
WHOLE = {"at": (600, 400), "drop": 480.0, "readings": READINGS}


def keys(found):
    return [needs.key for needs in found.needs]


def rules(found, level=None):
    return {finding.rule for finding in found.findings if level in (None, finding.level)}


class TestPartialJobs:
    def test_an_empty_job_waits_for_everything_and_fails_at_nothing(self):
        found = plan(Job())
        assert isinstance(found, Plan)
        assert keys(found) == ["floor.kind", "outline", "drains[0]", "bed.shape", "job.name"]
        assert isinstance(found.outline, Needs)
        assert found.readings == ()

    @pytest.mark.parametrize(
        ("words", "stage", "key"),
        [
            pytest.param({}, "drains", "drains[0]", id="no drain"),
            pytest.param({"at": (600, 400), "shape": None}, "bed", "bed.shape", id="no shape"),
            pytest.param({"at": (5000, 400)}, "bed", "drains[0].at", id="drain off the floor"),
            pytest.param({"at": (30, 400)}, "bed", "drains[0].at", id="flange over a wall"),
            pytest.param({"at": (50, 400)}, "bed", "drains[0].at", id="flange touching a wall"),
            pytest.param({"at": (600, 400), "shape": "plane"}, "bed", "bed.shape", id="plane without a channel"),
        ],
    )
    def test_a_stage_says_what_it_waits_for(self, make_plan, words, stage, key):
        found = make_plan(RECTANGLE, **words)
        assert getattr(found, stage).key == key
        assert key in keys(found)
        assert isinstance(found.depth, Needs)
        assert isinstance(found.marks, Needs)

    @pytest.mark.parametrize(
        ("left_out", "key"), [("kind", "drains[0].kind"), ("size", "drains[0].size"), ("at", "drains[0].at")]
    )
    def test_a_drain_half_entered(self, make_job, left_out, key):
        job = make_job(RECTANGLE, **WHOLE)
        drain = dataclasses.replace(job.drains[0], **{left_out: None})
        found = plan(dataclasses.replace(job, drains=(drain,)))
        assert found.drains.key == key
        assert not isinstance(found.outline, Needs)
        assert len(found.readings) == 4

    def test_what_is_known_is_planned_before_the_rest(self, make_plan):
        """Without a drain the floor and its readings stand already."""
        found = make_plan(RECTANGLE, readings=READINGS)
        assert found.outline.area == 1500 * 900
        assert [(station.at, station.drop) for station in found.readings] == list(
            zip("ABCD", (520.0, 516.0, 524.0, 530.0), strict=True)
        )

    def test_a_rulebook_without_a_least_depth_cannot_plan_the_drains_height(self, make_plan):
        """Each book has or borrows one; the user's own comes before it."""
        found = make_plan(RECTANGLE, at=(600, 400), rulebook="de-din18040", fall="2 %", bed="least_depth = 25.0")
        assert found.depth.least.value == pytest.approx(25)

    def test_all_that_a_drain_lacks_is_asked_for_at_once(self):
        assert [need.key for need in plan(Job(name="x", drains=(Drain(), Drain(kind=DrainKind.CHANNEL)))).needs] == [
            "floor.kind",
            "outline",
            *("drains[0].kind", "drains[0].size", "drains[0].at"),
            *("drains[1].size", "drains[1].from"),
            "bed.shape",
        ]

    def test_an_outline_that_was_only_begun_is_no_fault(self, make_plan):
        """As with one side of a rectangle: what a person saved half way opens again and says what comes next."""
        found = make_plan('walls = [{ length = "60 in" }, { length = "36 in" }]', at=(600, 400), drop=480.0)
        assert keys(found) == ["outline.walls"]

    def test_each_thing_is_asked_for_once(self, make_plan):
        found = make_plan(RECTANGLE)
        assert len(keys(found)) == len(set(keys(found)))

    def test_a_whole_job_waits_for_nothing(self, make_plan):
        assert make_plan(RECTANGLE, **WHOLE).needs == ()

    def test_hidden_floor_keeps_the_bed_and_asks_for_a_shape(self, make_plan):
        found = make_plan(ELL, at=(1500, 400), drop=480.0, readings=[('"A"', 520.0)], islands=POSTS)
        assert isinstance(found.bed, Hidden)
        assert keys(found) == ["bed.shape"]
        assert "hidden-floor" in rules(found, Level.STOP)
        assert found.drains[0].above_rough == pytest.approx(40)


class TestShapes:
    @pytest.mark.parametrize(("shape", "kind"), [("level-walls", LevelWalls), ("even-fall", EvenFall)])
    def test_the_jobs_shape(self, make_plan, shape, kind):
        found = make_plan(RECTANGLE, **WHOLE, shape=shape)
        assert isinstance(found.bed, kind)
        assert found.bed.shape == shape

    def test_a_channel_takes_one_plane(self, make_plan):
        channel = '[[drains]]\nkind = "channel"\nsize = 70\nfrom = { x = 0, y = 35 }\nto = { x = 1500, y = 35 }\n'
        assert isinstance(make_plan(RECTANGLE, shape="plane", extra=channel).bed, PlaneBed)


class TestStations:
    def test_heights_are_over_the_flange(self, make_plan):
        found = make_plan(RECTANGLE, **WHOLE)
        assert [station.height for station in found.readings] == [-40, -36, -44, -50]
        assert [(station.x, station.y) for station in found.readings] == [
            (0, 0),
            (1500, 0),
            (1500, 900),
            (0, 900),
        ]

    def test_their_places_in_words(self, make_plan):
        readings = [('"B"', 500.0), ('{ wall = "A-B", along = "450 mm" }', 501.0), ((700, 300), 502.0)]
        found = make_plan(RECTANGLE, at=(600, 400), drop=480.0, readings=readings)
        assert found.readings[0].at == "B"
        assert found.readings[1].at == "A-B 450 mm"
        assert len({station.at for station in found.readings}) == 3


class TestRefusals:
    @pytest.mark.parametrize(
        ("words", "key"),
        [
            ({"at": '{ wall = "A-B", along = 1600 }'}, "drains[0].at.along"),
            ({"at": '{ "A-B" = 100, "C-D" = 100 }'}, "drains[0].at"),
            (
                {"at": (600, 400), "readings": [*READINGS, ('{ wall = "B-C", along = 901 }', 1.0)]},
                "readings[4].at.along",
            ),
        ],
    )
    def test_entries_that_cannot_be_used(self, make_job, words, key):
        job = make_job(RECTANGLE, **words)
        with pytest.raises(JobError) as caught:
            plan(job)
        assert caught.value.key == key
        assert str(caught.value).startswith(f"{key} = ")

    def test_a_reading_may_stand_off_the_floor(self, make_plan):
        """In the doorway, say: it tells of the floor all the same."""
        found = make_plan(RECTANGLE, at=(600, 400), drop=480.0, readings=[*READINGS, ((-200, 450), 521.0)])
        assert not isinstance(found.depth, Needs)
        assert found.rough.height(np.array([[-200.0, 450.0]])) == pytest.approx([480 - 521])


class TestFindings:
    def test_a_sound_job_has_no_stop(self, make_plan):
        assert rules(make_plan(RECTANGLE, **WHOLE, bed="most_depth = 80.0"), Level.STOP) <= {"fall-steep"}

    @pytest.mark.parametrize(
        ("words", "rule", "level"),
        [
            pytest.param({"drop": 510.0}, "bed-thin", Level.CAUTION, id="thin: bonded, practice"),
            pytest.param({"drop": 540.0}, "bed-below-floor", Level.STOP, id="below the floor"),
            pytest.param({"drop": 400.0, "bed": "most_depth = 60.0"}, "bed-thick", Level.CAUTION, id="thick"),
            pytest.param({"fall": "1:60"}, "fall-low", Level.STOP, id="low"),
            pytest.param({"fall": "1:20"}, "fall-steep", Level.STOP, id="steep"),
            pytest.param({"at": (1600, 400)}, "drain-outside", Level.STOP, id="drain outside"),
            pytest.param({"at": (20, 400)}, "flange-over-wall", Level.STOP, id="flange over a wall"),
            pytest.param({"readings": []}, "readings-few", Level.CAUTION, id="no readings"),
            pytest.param({"readings": READINGS[:2]}, "readings-few", Level.CAUTION, id="two readings"),
            pytest.param(
                {"readings": [*READINGS, ((750, 450), 522.0), ((300, 300), 570.0)]},
                "reading-odd",
                Level.CAUTION,
                id="odd",
            ),
            pytest.param(
                {"extra": '[build]\ntile_edge = "24 in"\n'},
                "large-tile-cone",
                Level.CAUTION,
                id="large tiles",
            ),
        ],
    )
    def test_what_is_wrong_is_found(self, make_plan, words, rule, level):
        found = make_plan(RECTANGLE, **{**WHOLE, **words})
        finding = next(finding for finding in found.findings if finding.rule == rule)
        assert finding.level is level
        assert finding.says
        assert finding.remedy
        assert finding.source

    def test_a_small_floor(self, make_plan):
        found = make_plan("rectangle = [700, 700]", at=(350, 350), drop=480.0)
        assert "floor-small" in rules(found, Level.STOP)

    def test_planes_ask_for_channels(self, make_plan):
        extra = '[[drains]]\nkind = "round"\nsize = 100\nat = { x = 1200, y = 450 }\n'
        found = make_plan(RECTANGLE, at=(300, 450), shape="plane", extra=extra)
        assert found.bed.key == "bed.shape"
        assert "make every drain a channel" in found.bed.says

    def test_gravest_first(self, make_plan):
        found = make_plan(RECTANGLE, **{**WHOLE, "drop": 540.0, "readings": READINGS[:2]})
        order = [(Level.STOP, Level.CAUTION, Level.NOTE).index(finding.level) for finding in found.findings]
        assert order == sorted(order)
        assert len(set(order)) > 1

    def test_a_findings_change_clears_it(self, make_plan):
        """Whatever a finding offers to change is an entry that can be changed, and then it is gone."""
        from engine.job.edit import with_entry

        found = make_plan(RECTANGLE, **{**WHOLE, "fall": "1:20"}, shape="even-fall")
        steep = next(finding for finding in found.findings if finding.rule == "fall-steep")
        job = found.job
        for key, text in steep.change:
            job = with_entry(job, key, text)
        assert "fall-steep" not in rules(plan(job))


class TestTheFace:
    def test_a_job_from_a_file(self, make_job, tmp_path):
        job = make_job(RECTANGLE, **WHOLE)
        engine.write_job(job, tmp_path / "job.toml")
        found = engine.plan(engine.read_job(tmp_path / "job.toml"))
        assert isinstance(found, engine.Plan)
        assert found.depth.least == plan(job).depth.least
