"""A figure asked for as it reads: what support hears over a telephone."""

from __future__ import annotations

import json
import re
from html import unescape
from pathlib import Path

import pytest

import engine
from engine.job.toml_file import parse_job
from engine.quantities import Dimension, Units, format_fall, format_length
from engine.sheets.derivation import derivation, figure_at
from engine.sheets.figure_list import (
    entries_reading,
    figure_words,
    figures_reading,
    kind_of,
    plan_figures,
    rules_reading,
)
from engine.sheets.json import plan_json
from engine.sheets.page.page import plan_page
from engine.sheets.proof_figures import proof_figures
from engine.sheets.text import plan_text
from engine.sheets.why_text import why_text
from engine.why import explained, mark_place
from tui.widgets.map_water import catchment_shares

SEVERAL = Path(__file__).parents[2] / "sample_jobs" / "bath_house.toml"
SAMPLE = Path(__file__).parents[2] / "sample_jobs" / "mill_house.toml"

pytestmark = pytest.mark.usefixtures("moved_once")


@pytest.fixture(scope="module")
def sample(plan_of):
    return plan_of(SAMPLE)


@pytest.fixture(scope="module")
def built():
    """Two drains and their finished floor; half of the curb's wall was never read."""
    text = SEVERAL.read_text(encoding="utf-8").replace('[[readings]]\nat = "C"\ndrop = "543 mm"\n', "")
    read = [("A", 487), ("B", 486), ("C", 488), ("D", 487)]
    stations = "".join(f'\n[[as_built]]\nat = "{corner}"\ndrop = "{drop} mm"\n' for corner, drop in read)
    return engine.plan(parse_job(text + stations))


class TestByReading:
    """What is read out over a telephone is a figure as it is printed, and no name."""

    def test_one_figure_that_reads_so_is_told(self, sample):
        text = why_text(sample, _lone(sample))
        assert text.split("\n", 1)[1] == why_text(sample, text.split("\n", 1)[0])

    def test_several_are_listed_and_each_can_be_asked_for(self, sample):
        reading = format_length(sample.marks[0].above_drain, sample.job.units).removesuffix(" in")
        text = why_text(sample, reading)
        paths = re.findall(r"^  ([\w.\[\]]+):", text, re.MULTILINE)
        assert "marks[0].above_drain" in paths
        assert all(why_text(sample, path) for path in paths)
        assert max(map(len, text.splitlines())) <= 80

    def test_every_figure_listed_reads_so_rounded_to_either_side(self, sample):
        whole = json.loads(plan_json(sample))
        found = figures_reading(whole, "1 3/4", Units.INCH)
        assert found
        assert all(abs(abs(figure.value) - 1.75 * 25.4) < 25.4 / 32 for figure in found)
        apart = {figure.path for figure in found}
        for figure in plan_figures(whole):
            if figure.path.endswith("above_rough") and figure.path not in apart:
                assert format_length(figure.value, Units.INCH) != "1 3/4 in"

    def test_a_reading_with_a_unit_means_only_that_kind(self, sample):
        whole = json.loads(plan_json(sample))
        kinds = {kind_of(figure.path) for figure in figures_reading(whole, "2 lb", Units.INCH)}
        assert kinds <= {Dimension.MASS}

    def test_a_listed_thing_may_be_asked_for_by_its_name(self, sample):
        assert why_text(sample, "marks[A].above_rough") == why_text(sample, "marks[0].above_rough")

    def test_what_was_typed_is_told_to_be(self, sample):
        typed = str(sample.job.drains[0].drop.text)
        assert f"drains[0].drop = {typed}" in why_text(sample, typed)

    def test_what_nothing_reads_gives_none(self, sample):
        assert why_text(sample, "9999 15/16") is None


class TestEveryPercentage:
    """Whatever percentage a sheet shows can be asked for: a figure's, an entry's or the rulebook's."""

    def test_a_built_catchments_share_is_its_area_of_all(self, built):
        made = proof_figures(built)["as_built"]
        assert sum(made["catchment_shares"]) == pytest.approx(1.0, abs=1e-6)
        assert made["catchment_shares"][0] == pytest.approx(made["catchments"][0] / sum(made["catchments"]), abs=1e-6)

    def test_each_of_text_and_page_is_found(self, built):
        whole, units = json.loads(plan_json(built)), built.job.units
        share = derivation(built.job, whole, "as_built.catchment_shares[0]")
        assert share.formula == "the area that it takes the water of / the area of all"
        page = re.sub(r"<style.*?</style>|<[^>]+>", " ", plan_page(built), flags=re.DOTALL)
        shown = set(re.findall(r"(?<![\d.,])\d[\d.]* %", f"{' '.join(plan_text(built).split())} {unescape(page)}"))
        shown |= {words.split()[-2] + " %" for _, words in catchment_shares(built)}
        assert len(shown) > 10
        for asked in shown:
            found = figures_reading(whole, asked, units) or entries_reading(built.job, asked)
            assert found or rules_reading(built.rulebook, asked, units), asked

    def test_the_rulebooks_is_told_where_nothing_else_reads_so(self, built):
        assert "1/2 in/ft" in why_text(built, "4.17 %")


def _lone(sample):
    """How the most fall reads, which nothing else does."""
    return format_fall(sample.bed.most_fall, sample.job.units)


@pytest.mark.parametrize("name", ["signal_box_read_again", "mill_house", "bath_house"])
def test_extremes_read_as_the_plan_tells_them(name, plan_of):
    made = plan_of(SAMPLE.with_stem(name))
    whole, told = json.loads(plan_json(made)), " ".join(plan_text(made).split())
    for label, path in (
        ("Least depth", "bed.least_depth.depth"),
        ("Most depth", "bed.most_depth.depth"),
        ("Longest run", "bed.longest_run"),
        ("Least fall", "bed.least_fall"),
        ("Most fall", "bed.most_fall"),
    ):
        assert f"{label}: {figure_words(figure_at(whole, path), path, made.job.units)}" in told
    for i, hand in enumerate(whole["hand"]):
        assert f"{figure_words(hand['chance'], f'hand[{i}].chance', made.job.units)} likely that" in told


def test_a_chance_is_answered_as_it_is_printed(built):
    """0.750252, which is told rounded up."""
    whole, text = json.loads(plan_json(built)), plan_text(built)
    assert whole["hand"][0]["chance"] == pytest.approx(0.750252, abs=1e-6)
    assert "76 % likely" in text
    assert "\n  Here: 76 %\n" in why_text(built, "76 %")


@pytest.mark.parametrize("name", ["mill_house", "bath_house"])
def test_every_mark_is_found_as_the_plan_tells_it(name, plan_of):
    made = plan_of(SAMPLE.with_stem(name))
    for mark in made.marks:
        place = mark_place(mark, made.job.units)
        assert explained(made, place) == explained(made, f"mark at {place}")
        assert explained(made, place)[0] == f"The mark at {place}"
