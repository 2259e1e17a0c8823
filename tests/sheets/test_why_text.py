"""Any figure of the plan can be asked about: its formula, this job's figures, its source, and what it rests on."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path

import pytest

from engine.job.edit import with_entry
from engine.plan import plan
from engine.sheets.derivation import _HOLE, _table, derivation, figure_at, value_at
from engine.sheets.influence import influences
from engine.sheets.json import _PARTS, plan_json
from engine.sheets.why_text import why_text
from engine.why import explained

TOP = Path(__file__).parents[2]
ARCHIVE = TOP / "tests" / "archive" / "jobs"
JOBS = sorted(
    [
        *(TOP / "sample_jobs").glob("*.toml"),
        *(ARCHIVE / f"{name}.toml" for name in ("bell_foundry", "dye_works")),
    ]
)
SAMPLE = TOP / "sample_jobs" / "mill_house.toml"
NO_FIGURES = ("format",)

pytestmark = pytest.mark.usefixtures("moved_once")


def numbers(value, path=""):
    """The paths of all numbers of a plan as JSON."""
    if isinstance(value, dict):
        for key, item in value.items():
            yield from numbers(item, f"{path}.{key}" if path else key)
    elif isinstance(value, list):
        for index, item in enumerate(value):
            yield from numbers(item, f"{path}[{index}]")
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield path


@pytest.fixture(scope="module")
def sample(plan_of):
    return plan_of(SAMPLE)


@pytest.fixture(scope="module")
def whole_of(plan_of):
    """The plan of a job's file as JSON, read once."""
    return cache(lambda path: json.loads(plan_json(plan_of(path))))


@pytest.fixture(scope="module")
def whole(whole_of):
    return whole_of(SAMPLE)


@pytest.mark.parametrize("path", JOBS, ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_every_number_of_a_plan_has_its_formula(plan_of, whole_of, path):
    made = plan_of(path)
    whole = whole_of(path)
    declared = [key for keys in _PARTS.values() for key in keys]
    assert [key for key in declared if key in whole] == list(whole)  # `part_with` finds a figure by them
    for figure in numbers(whole):
        if figure not in NO_FIGURES and explained(made, figure) is None:
            found = derivation(made.job, whole, figure)
            assert found is not None, figure
            assert found.formula, figure


def test_every_hole_of_the_formulas_is_a_figure_of_some_plan(plan_of, whole_of):
    """A hole that no sample fills is a slip of the pen."""
    filled = set()
    for path in JOBS:
        made = plan_of(path)
        whole = whole_of(path)
        for figure in numbers(whole):
            for entry, pattern in _table():
                if pattern.fullmatch(figure):
                    found = None if entry["title"] in filled else derivation(made.job, whole, figure)
                    filled |= {entry["title"]} if found and found.numbers else set()
                    break
    assert filled == {entry["title"] for entry, _ in _table() if "numbers" in entry}
    kinds = {hole[1] for entry, _ in _table() for hole in _HOLE.finditer(str(entry))}
    assert kinds == {"length", "area", "volume", "mass", "load", "angle", "count", "text", "typed"}


class TestPaths:
    def test_a_path_leads_to_its_value(self, whole):
        assert value_at(whole, "outline.corners[1].name") == "B"
        assert figure_at(whole, "outline.corners[1].x") == 1016.0

    @pytest.mark.parametrize(
        "path", ["outline.corners[9].x", "outline.corners", "outline[0]", "marks.x", "a b", "bed..volume", ""]
    )
    def test_a_path_that_leads_to_no_number_gives_none(self, whole, path):
        assert figure_at(whole, path) is None


class TestInfluences:
    def test_a_mark_hangs_on_the_drains_drop_one_to_one(self, sample):
        """below_line = flange drop - mark: a sixteenth more there is a sixteenth more here."""
        found = {one.key: one for one in influences(sample, "marks[0].below_line")}
        assert found["drains[0].drop"].change == pytest.approx(25.4 / 16, abs=1e-3)
        assert not any(key.startswith("readings") for key in found)

    def test_what_is_left_out_counts_too(self, sample):
        found = {one.key: one for one in influences(sample, "strips[0].height")}
        assert not found["strips.short"].is_given
        assert found["strips.short"].typed == "1/8 in"
        assert found["strips.short"].change < 0

    def test_each_is_what_planning_the_moved_job_gives(self, sample):
        one = next(one for one in influences(sample, "bed.volume") if one.key == "readings[3].drop")
        moved = plan(with_entry(sample.job, "readings[3].drop", "21 3/8"))
        assert one.after == figure_at(json.loads(plan_json(moved)), "bed.volume")

    def test_a_rounded_figure_is_moved_further(self, sample):
        """A wall's height in whole inches: a sixteenth here or there gives no other."""
        coarse = plan(with_entry(sample.job, "bed.mark_step", "1 in"))
        found = influences(coarse, "bed.wall_height")
        assert found
        assert all(one.after is None or one.after != one.before for one in found)

    def test_what_is_no_figure_rests_on_nothing(self, sample):
        assert influences(sample, "bed.shape") == ()


class TestText:
    @pytest.mark.parametrize("figure", ["wall height", "mark at A"])
    def test_it_has_this_jobs_figures_and_what_it_rests_on(self, sample, figure):
        text = why_text(sample, figure)
        assert "It rests on these entries" in text
        assert max(map(len, text.splitlines())) <= 80

    def test_a_strip_by_hand(self, sample):
        """36 in of wall, 1/2 in of stock, two square corners: 36 - 2 x 1/2 = 35."""
        text = why_text(sample, "strips[1].inner_length")
        assert "36 in with miters of 45 deg and 45 deg" in text
        assert "Here: 35 in" in text

    def test_what_is_no_figure_gives_none(self, sample):
        assert why_text(sample, "bed.colour") is None

    def test_the_very_path_asked_for_is_told(self, sample):
        assert "marks[0]" not in why_text(sample, "marks[0].above_rough")
        assert "1 3/4 in becomes 1 13/16 in" in why_text(sample, "marks[0].above_rough")

    def test_a_change_too_small_to_show_is_told_in_the_json_s_unit(self, sample):
        told = [line for line in why_text(sample, "least depth").splitlines() if "becomes" in line]
        plain = [line for line in told if " in becomes" not in line]
        assert plain
        assert all(re.search(r"[\d.]+ mm becomes [\d.]+ mm$", line) for line in plain)


@pytest.mark.parametrize(
    ("most", "says"),
    [
        (0.0, "What each entry does to it is not told: this job takes too long to plan again and again."),
        (20.0, "entries were not moved: this job takes long to plan."),
    ],
)
def test_of_a_job_that_takes_long_to_plan_few_entries_are_moved_or_none(sample, monkeypatch, most, says):
    monkeypatch.setattr("engine.sheets.influence._EFFORT", most)
    assert says in " ".join(why_text(sample, "bed.volume").split())


def test_the_misclosure_of_a_taped_outline_is_its_worst_misfit(whole_of, plan_of):
    path = TOP / "sample_jobs" / "chandlers_row.toml"
    whole = whole_of(path)
    assert whole["outline"]["misclosure"] == max(abs(length["misfit"]) for length in whole["tape"])
    assert "the most that one misfits" in derivation(plan_of(path).job, whole, "outline.misclosure").formula


def test_a_mark_stays_that_mark_where_a_longer_wall_has_one_more(make_plan):
    """Walls of five feet have marks at every foot but none at their ends; of a hair more, at five feet too."""
    planned = make_plan(
        'rectangle = ["60 in", "42 in"]',
        at=(30, 21),
        size=6,
        drop="20 in",
        shape="even-fall",
        mark_step="1/16 in",
        units="in",
        readings=[('"A"', "21 in"), ('"C"', "21 1/2 in")],
    )
    number = next(i for i, mark in enumerate(planned.marks) if mark.at == "D")
    longer = plan(with_entry(planned.job, "outline.rectangle[0]", "60 1/16 in"))
    assert len(longer.marks) > len(planned.marks)
    told = {one.key: one.after for one in influences(planned, f"marks[{number}].below_line")}
    assert "drains[0].drop" in told
    assert None not in told.values()
    assert not any(abs(after - planned.marks[number].below_line) > 3 for after in told.values())
