"""Figures of the user's own: in place of the rulebook's wherever the plan goes by one, and said to be so."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from engine.errors import JobError
from engine.job.edit import entry_text, with_entry, with_units
from engine.job.entry_list import entries
from engine.job.rule_figures import Figure
from engine.job.toml_file import dump_job, parse_job
from engine.limits.findings import Level
from engine.limits.rulebook import Origin, book_of
from engine.plan import plan
from engine.quantities import INCH, POUND, Units
from engine.sheets.compare import compare_text, differences
from engine.sheets.digest import digest
from engine.sheets.text import plan_text
from engine.sheets.why_text import why_text

ENGINE = Path(__file__).parents[2] / "engine"
CURB = {"outline": 'rectangle = ["48 in", "48 in"]\nedges = { "A-B" = "curb" }', "curb": 'drop = "18 1/4 in"'}


def notes(job):
    return [finding for finding in plan(job).findings if finding.rule == "own-figure"]


class TestJudged:
    def test_by_the_own_figure_as_gravely_as_by_the_rulebooks(self, found):
        (stop,) = found("curb-low", **CURB)
        assert stop.level is Level.STOP
        assert found("curb-low", **CURB, figures='curb_least = "1 in"') == []
        (own,) = found("curb-low", **CURB, figures='curb_least = "3 in"')
        assert own.level is Level.STOP
        assert own.source == "your own figure, not the rulebook's (2 in: IRC 2021 P2709.1)"

    def test_the_fall_that_is_left_out_follows_the_own_least_fall(self, make):
        """1/8 in per 12 in over the longest run, 24 sqrt(2) - 3 in, is 0.322 in: marks of 1/16 in make it 3/8 in."""
        bed = plan(make(figures='fall_least = "1/8 in/ft"')).bed
        assert bed.wall_height == pytest.approx(3 / 8 * INCH)
        assert bed.least_fall == pytest.approx(3 / 8 / (24 * 2**0.5 - 3))

    def test_where_the_book_has_none_a_broken_one_is_a_caution(self, make):
        job = make(job='name = "x"\nrulebook = "au-ncc"', figures='area_least = "40 sq ft"')
        (small,) = [f for f in plan(job).findings if f.rule == "floor-small"]
        assert small.level is Level.CAUTION
        assert notes(job)[-1].says.endswith("where the rulebook has none")

    def test_a_least_depth_of_the_bed_goes_before_it(self, make):
        bed = 'shape = "level-walls"\nleast_depth = "1/2 in"'
        job = make(bed=bed, figures='bonded_least = "5/8 in"')
        depths = [note.says for note in notes(job) if note.key == "bed.least_depth"]
        assert depths == [
            "the least depth of 1/2 in is your own figure, not the rulebook's 3/4 in (NTCA Reference Manual 2024-25)"
        ]

    def test_what_is_not_needed_on_wood_is_not_asked_for(self, found):
        floor = 'kind = "wood"'
        assert found("wood-no-lath", floor=floor)
        assert found("wood-no-lath", floor=floor, figures='wood_lath = "not needed"') == []
        assert found("wood-no-lath", floor=floor, figures='wood_lath = "needed"')


class TestWork:
    def test_goes_by_it(self, make):
        usual, own = plan(make()), plan(make(figures='flood_time_least = "48 h"\ncure_least = "3 days"'))
        assert (usual.work.site.rules.cure_least.value, own.work.site.rules.cure_least.value) == (24, 72)
        test = next(step.task for step in own.work.order if "flood" in step.task.title.lower())
        says = next(said for said in test.says if "48 h" in said.text)
        assert "your own figure, not the rulebook's (24 h: ASTM D5957" in says.source

    def test_weights_follow_it(self, make):
        """12 psf an inch by the book, 15 by the user: the same bed weighs 15/12 as much."""
        usual, own = (plan(make(figures=text)).work.mortar.weight for text in (None, 'bed_load_an_inch = "15 psf"'))
        assert own / usual == pytest.approx(15 / 12)

    def test_the_flood_tests_log_is_judged_by_it(self, make):
        log = 'filled = "2 in"\nhours = 24\nleft = "2 in"'
        usual, own = (plan(make(flood_test=log, figures=text)) for text in (None, 'flood_time_least = "48 h"'))
        assert usual.flood_log.verdict is not own.flood_log.verdict

    def test_an_edition_that_is_named_is_the_works_too(self, make):
        job = make(job='name = "x"\nedition = "2026-1"')
        assert plan(job).work.site.rules.lift_most.value == pytest.approx(51 * POUND)


class TestTold:
    def test_with_what_it_replaces_and_how_to_go_back(self, make):
        job = make(figures='curb_least = "50 mm"')
        (note,) = notes(job)
        assert note.level is Level.NOTE
        assert note.says == (
            "the least height of the curb over the drain, 1 31/32 in (50 mm), is your own figure, not the rulebook's "
            "2 in (IRC 2021 P2709.1)"
        )
        assert note.remedy == "to go back, leave out the least height of the curb over the drain"
        ((key, text),) = note.change
        assert with_entry(job, key, text) == make()

    def test_not_where_it_is_the_rulebooks_very_figure(self, make):
        assert notes(make(figures='curb_least = "2 in"\nfall_least = "1:48"\nsand_loose = "80 lb per cu ft"')) == []

    @pytest.mark.parametrize(
        ("figure", "end"),
        [
            ('mosaic_area = "12 sq in"', "; told beside what a rule says and judged by none"),
            ("stiffness_stone = 800", "; told in the order of work and judged by no rule"),
            ('rose_reach = "5 ft"', "the whole floor is held to the least fall, wherever the rose hangs"),
        ],
    )
    def test_a_figure_that_no_rule_looks_at_says_so(self, make, figure, end):
        (note,) = notes(make(figures=figure))
        assert note.says.endswith(end)

    def test_in_the_text_and_by_why(self, make):
        whole = plan(make(figures='curb_least = "50 mm"'))
        assert "Least height of the curb over the drain: 1 31/32 in (50 mm); the rulebook: 2 in" in plan_text(whole)
        assert "Source: IRC 2021 P2709.1." in why_text(whole, "figures.curb_least")
        assert "NOTE" not in why_text(whole, "flood_time_least")
        assert "To go by a figure of your own, set figures.flood_time_least." in why_text(whole, "flood_time_least")

    def test_in_digest_and_comparison(self, make):
        usual, own = plan(make()), plan(make(figures='curb_least = "50 mm"'))
        assert digest(usual) != digest(own)
        text = compare_text(differences(usual, own))
        assert "entry figures.curb_least: left out -> '50 mm' (1 31/32 in)" in text
        assert "figure own_figures[curb_least].value: left out -> 50.0" in text


class TestFile:
    TYPED = '[figures]\nmosaic_area = "12 sq in"\nlath_lap = 3\nwood_lath = "not needed"\n'

    def test_keeps_it_as_typed_and_in_its_order(self, make):
        job = make(figures=self.TYPED.removeprefix("[figures]\n"))
        assert self.TYPED in dump_job(job)
        assert parse_job(dump_job(job)) == job

    def test_other_units_keep_it(self, make):
        job = with_units(make(figures="lath_lap = 3"), Units.MM)
        assert dump_job(job).endswith('lath_lap = "3 in"\n')
        assert book_of(job).find(Figure.LATH_LAP).value == pytest.approx(3 * INCH)

    def test_is_listed_set_and_left_out_by_its_key(self, make):
        job = with_entry(make(), "figures.curb_least", "50 mm")
        assert entry_text(job, "figures.curb_least") == "50 mm"
        assert [(e.key, e.value) for e in entries(job) if e.key.startswith("figures")] == [("figures.curb_least", 50)]
        job = with_entry(job, "figures.curb_least", "2 in")
        assert entry_text(job, "figures.curb_least") == "2 in"
        assert with_entry(job, "figures.curb_least", "").figures == ()
        with pytest.raises(JobError, match="did you mean curb_least"):
            with_entry(job, "figures.curb_lest", "2 in")


class TestRoom:
    @pytest.mark.parametrize(
        ("figures", "message"),
        [
            (
                'fall_least = "3/4 in/ft"',
                r"figures.fall_least = '3/4 in/ft': .* no room: the most fall .* is 1/2 in/ft; .* set that one too$",
            ),
            (
                'fall_most = "1:60"',
                r"figures.fall_most = '1:60': .* no room: the least fall .* is 1/4 in/ft; .*",
            ),
            ('curb_least = "3 in"\ncurb_most = 2.5', "figures.curb_least = '3 in': .* is 2.5 in; correct it"),
            (
                'lath_lap = "14 in"',
                "lath_lap = '14 in': this leaves no room: the width of a lath sheet is 27 in",
            ),
            (
                'lath_sheet_width = "300 mm"\nlath_lap = "6 in"',
                "figures.lath_lap = '6 in': this leaves no room",
            ),
            ('flood_time_least = "4 days"', "the most time of the flood test is 72 h"),
        ],
    )
    def test_an_own_figure_that_leaves_none_is_refused_in_words(self, make, figures, message):
        with pytest.raises(JobError, match=message):
            plan(make(figures=figures))

    def test_both_of_a_pair_may_be_the_users(self, make):
        book = book_of(make(figures='fall_least = "1:20"\nfall_most = "1:20"'))
        assert book.least_fall.value == book.most_fall.value == 1 / 20
        assert book.most_fall.origin is Origin.OWN


def test_every_figure_is_looked_up():
    """By its name, or as one of the work's; but for the reach of the rose, which changes nothing and is said to."""
    tables = ("own.py", "own_book.py", "rule_figures.py")  # these name figures without going by them
    paths = [path for path in sorted(ENGINE.rglob("*.py")) if path.name not in tables]
    source = "\n".join(path.read_text(encoding="utf-8") for path in paths)
    looked_up = {Figure[name] for name in re.findall(r"Figure\.([A-Z][A-Z_0-9]+)", source)}
    rules = (ENGINE / "work" / "rules.py").read_text(encoding="utf-8")
    of_the_work = {Figure[name.upper()] for name in re.findall(r"^    (\w+): Rule", rules, re.MULTILINE)}
    assert set(Figure) - looked_up - of_the_work == {Figure.ROSE_REACH}
