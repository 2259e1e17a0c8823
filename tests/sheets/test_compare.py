"""Two plans side by side: only what differs, each thing by a name that stays when others come or go."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from engine.job.edit import with_entry
from engine.job.toml_file import read_job
from engine.plan import plan
from engine.sheets.compare import Difference, compare_json, compare_text, differences

SAMPLE = Path(__file__).parents[2] / "sample_jobs" / "mill_house.toml"


@pytest.fixture(scope="module")
def job():
    return read_job(SAMPLE)


def changed(job, key, text):
    return plan(with_entry(job, key, text))


def test_a_plan_does_not_differ_from_itself(job):
    assert differences(plan(job), plan(job)) == ()
    assert compare_text(differences(plan(job), plan(job))) == "no differences\n"
    assert json.loads(compare_json(differences(plan(job), plan(job)))) == {
        "entries": [],
        "figures": [],
        "findings": [],
    }


def test_an_entry_is_told_as_typed_and_as_understood(job):
    found = differences(plan(job), changed(job, "outline.walls[0].length", "1 m"))
    entry = next(difference for difference in found if difference.what == "entry")
    assert entry.name == "outline.walls[0].length"
    assert entry.understood == ("40 in", "39 3/8 in")
    assert entry.line.endswith("(40 in) -> '1 m' (39 3/8 in)")


def test_typed_another_way_with_the_same_meaning_moves_no_figure(job):
    found = differences(plan(job), changed(job, "outline.walls[1].length", "36 in"))
    assert [difference.what for difference in found] == ["entry"]
    assert found[0].understood == ("36 in", "36 in")


def test_an_entry_left_out_is_said_to_be(job):
    found = differences(plan(job), changed(job, "floor.dead_load_allowance", ""))
    assert Difference("entry", "floor.dead_load_allowance", "'40 psf'", "left out", ("40 psf", None)) in found


def test_a_flag_is_told_as_the_job_file_has_it(job):
    found = differences(plan(job), changed(job, "floor.lath", "false"))
    assert found[0].line == "entry floor.lath: true -> false"
    told = compare_text(found)
    assert not any(word in told for word in ("True", "False", "None"))


def test_one_mark_more_moves_no_other_marks_name(job):
    """A wall 2 in longer has a mark at 36 in as before; only what truly moved is told."""
    found = differences(plan(job), changed(job, "bed.wall_height", "1 in"))
    moved = {difference.name for difference in found if difference.name.startswith("marks[")}
    assert "marks[A-B 304.8].above_drain" in moved
    assert "marks[A-B 304.8].x" not in moved


def test_a_finding_that_came_is_told_with_its_words(job):
    found = differences(plan(job), changed(job, "floor.lath", "false"))
    came = next(difference for difference in found if difference.name == "wood-no-lath")
    assert came.first == "left out"
    assert came.second.startswith(("stop: ", "caution: "))


def test_as_json_it_holds_the_same(job):
    first, second = plan(job), changed(job, "drains[0].drop", "20 in")
    whole = json.loads(compare_json(differences(first, second)))
    assert sum(len(found) for found in whole.values()) == len(differences(first, second))
    assert whole["entries"] == [
        {
            "name": "drains[0].drop",
            "first": "'19 7/8 in'",
            "second": "'20 in'",
            "first_means": "19 7/8 in",
            "second_means": "20 in",
        }
    ]


def test_a_figure_names_the_unit_of_the_json_and_reads_in_the_jobs(job):
    found = differences(plan(job), changed(job, "drains[0].drop", "20 in"))
    line = {difference.name: difference for difference in found if difference.what == "figure"}["marks[A].below_line"]
    first, second = (float(side) for side in (line.first, line.second))
    assert second - first == pytest.approx(25.4 / 8)
    assert line.line.startswith(f"figure marks[A].below_line: {line.first} mm (")
    whole = json.loads(compare_json(found))
    (told,) = [figure for figure in whole["figures"] if figure["name"] == "marks[A].below_line"]
    assert told["unit"] == "mm"
    assert told["second_means"].endswith(" in")
    units = {figure["name"]: figure["unit"] for figure in whole["figures"]}
    assert units["bed.volume"] == "mm3"
    assert units["mortar.weight"] == "kg"
    assert units["mortar.mix.exact"] is None


def test_a_metric_figure_is_told_once(job):
    one, other = (with_entry(job, "job.units", "mm"), with_entry(job, "drains[0].drop", "20 in"))
    found = differences(plan(one), plan(with_entry(other, "job.units", "mm")))
    (line,) = [found.line for found in found if found.name == "marks[A].below_line"]
    assert line.count("mm") == 2


def test_what_is_only_true_or_false_has_no_unit(job):
    found = differences(plan(job), changed(job, "build.waterproofing", "between-beds"))
    flags = [one for one in found if one.what == "figure" and {one.first, one.second} & {"true", "false"}]
    assert flags
    assert all(flag.unit == "" and flag.understood == (None, None) for flag in flags)
