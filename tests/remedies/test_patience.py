"""Longer looks: what a search leaves, with patience enough it does not leave."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from engine.plan import plan as planned
from engine.remedies import Answer, changed, remedies
from engine.remedies.several import move_one
from engine.remedies.trials import Trials
from tui.cli import main

YOU = [(0, 0), (3000, 0), (3000, 2000), (2000, 2000), (2000, 1000), (1000, 1000), (1000, 2000), (0, 2000)]
PLACES = [(500, 500), (1500, 500), (2500, 500), (500, 1500), (2594, 1530)]  # cells of 1000 mm, the last one off its own


@pytest.fixture(scope="module")
def crowded(several):
    return several(YOU, *((x, y, 500) for x, y in PLACES))


def steep(plan):
    return next(finding for finding in plan.findings if finding.rule == "fall-steep")


def least_move(plan, patience):
    """The move of a search with little effort of its own, and its trials."""
    trials = Trials(replace(plan, patience=patience), search=30.0)
    return next(move_one(trials, steep(plan))), trials


class TestASearchThatEndsEarly:
    def test_with_patience_it_finds_the_least_move_and_says_no_more_than_that(self, crowded):
        quick, left = least_move(crowded, 1.0)
        patient, settled = least_move(crowded, 100.0)
        assert left.is_open
        assert "may do" in quick.says or "none nearer will do" in quick.says
        assert not settled.is_open
        assert patient.says.endswith(": there its part is gentle enough")
        assert patient.figure < quick.figure

    def test_no_nearer_place_of_any_drain_does(self, crowded):
        """By planning all of them, whole millimetres apart."""
        patient, _ = least_move(crowded, 100.0)
        assert patient.figure <= 5
        near = range(-5, 6)
        for number, (x, y) in enumerate(PLACES):
            for a, b in product(near, near):
                if 0 < np.hypot(a, b) < patient.figure - 1e-6:
                    change = ((f"drains[{number}].at", f"x {x + a} mm, y {y + b} mm"),)
                    assert planned(changed(crowded.job, change)).has_stop
        assert not planned(changed(crowded.job, patient.change)).has_stop


def test_where_nothing_is_left_more_patience_answers_the_same(several):
    plan = several([(0, 0), (1500, 0), (1500, 1000), (0, 1000)], (300, 500, 500))
    usual, patient = remedies(plan), remedies(replace(plan, patience=50.0))
    assert any(answer.remedies for answer in usual)
    assert not any(answer.is_open for answer in usual)
    assert usual == patient


class TestPatienceOnTheCommandLine:
    @pytest.fixture
    def path(self, tmp_path):
        """A floor with a step at A, over which the bed is too thin."""
        job = tmp_path / "job.toml"
        readings = "".join(
            f'[[readings]]\nat = "{corner}"\ndrop = "{drop} in"\n'
            for corner, drop in zip("ABCD", (19, 21, 21, 21), strict=True)
        )
        job.write_text(
            'format = 1\n[job]\nname = "step"\n[floor]\nkind = "concrete"\n[outline]\nrectangle = ["48 in", "40 in"]\n'
            '[[drains]]\nkind = "round"\nsize = "6 in"\nat = { "A-B" = "20 in", "D-A" = "24 in" }\ndrop = "20 in"\n'
            f'{readings}[bed]\nshape = "level-walls"\n',
            encoding="utf-8",
        )
        return str(job)

    def test_it_reaches_the_remedies_of_every_sheet(self, path, tmp_path, monkeypatch):
        asked = []
        for module in ("engine.sheets.json", "engine.sheets.page.head", "engine.remedies"):
            monkeypatch.setattr(
                f"{module}.remedies", lambda plan: asked.append(plan.patience) or (Answer(),) * len(plan.findings)
            )
        for words in (["--json"], ["--html", str(tmp_path / "page.html")], []):
            assert main(["plan", path, *words]) == 1
            assert main(["plan", path, "--patience", "12.5", *words]) == 1
        assert asked == [1.0, 12.5] * 3

    @pytest.mark.parametrize("is_open", [True, False])
    def test_the_text_tells_where_a_longer_look_may_find_less(self, path, capsys, monkeypatch, is_open):
        monkeypatch.setattr("engine.remedies.remedies", lambda plan: (Answer(is_open=is_open),) * len(plan.findings))
        assert main(["plan", path]) == 1
        assert ("a longer look (--patience 8)" in capsys.readouterr().out) is is_open
        assert main(["plan", path, "--patience", "8"]) == 1
        assert ("a longer look (--patience 64)" in capsys.readouterr().out) is is_open

    @pytest.mark.parametrize("times", ["0", "-3", "0.5", "1e7", "nan", "inf", "long", ""])
    def test_what_is_no_patience_is_refused_in_words(self, path, capsys, times):
        assert main(["plan", path, f"--patience={times}"]) == 2
        assert f"argument --patience: '{times}' is no number from 1 to 1,000,000" in capsys.readouterr().err


def test_no_search_leaves_nothing_for_what_is_soon_planned(make_plan, monkeypatch):
    """A drain far off the middle, its places looked for first, and a curb too low, for which one plan is enough."""
    monkeypatch.setattr("engine.remedies.trials._EFFORT", 25.0)
    room, edges = [(0, 0), (1500, 0), (1500, 1000), (0, 1000)], 'edges = { "A-B" = "curb" }'
    readings = [(f'"{corner}"', 560) for corner in "ABCD"]
    curb = "[curb]\ndrop = 470\n"
    planned = make_plan(room, at=(300, 300), drop=500, readings=readings, outline_extra=edges, extra=curb)
    answers = {finding.rule: answer for finding, answer in zip(planned.findings, remedies(planned), strict=True)}
    assert answers["fall-steep"].best
    assert answers["curb-low"].best


def test_what_going_back_from_ones_own_figures_brings_is_planned_after_what_clears_stops(make, monkeypatch):
    as_planned, changes = Trials.planned, []
    monkeypatch.setattr(Trials, "planned", lambda trials, change: changes.append(change) or as_planned(trials, change))
    own = planned(make(bed='shape = "level-walls"\nwall_height = "1/4 in"\nleast_depth = "1/2 in"'))
    assert [finding.rule for finding in own.findings] == ["fall-low", "own-figure", "own-figure"]
    assert all(answer.best for answer in remedies(own))
    backs = [(("bed.least_depth", ""),), (("bed.wall_height", ""),)]
    assert list(dict.fromkeys(changes))[-2:] == backs
