"""The commands: what they print, where, and what they end with."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys

import pytest

from engine.packed import wording
from tui.cli import main

JOB = """
format = 1
[job]
name = "hall bath"
[floor]
kind = "concrete"
bond_coat = true
[outline]
rectangle = ["48 in", "40 in"]
[[drains]]
kind = "round"
size = "6 in"
at = { "A-B" = "20 in", "D-A" = "24 in" }
drop = "20 in"
[[readings]]
at = "A"
drop = "21 in"
[[readings]]
at = "B"
drop = "21 in"
[[readings]]
at = "C"
drop = "21 in"
[[readings]]
at = "D"
drop = "21 in"
[bed]
shape = "level-walls"
"""
STOPPING = JOB.replace('drop = "20 in"', 'drop = "21 1/4 in"')
BEGUN = 'format = 1\n[job]\nname = "begun"\n'
BROKEN = JOB.replace('"48 in"', '"48 inhc"')
CROSSED = JOB.replace('rectangle = ["48 in", "40 in"]', "corners = [[0, 0], [48, 40], [48, 0], [0, 40]]")

HELP = wording("commands")["help"]


pytestmark = pytest.mark.usefixtures("moved_once")


@pytest.fixture(autouse=True)
def planned_once(monkeypatch, plan_once):
    """The few jobs that all commands are given, and what `why` makes of them, are planned once."""
    monkeypatch.setattr("tui.planned.plan", plan_once)


@pytest.fixture
def job(tmp_path):
    """Writes a job's text to a file and gives its path."""

    def write(text: str, name: str = "job.toml") -> str:
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return str(path)

    return write


def fallmark(*arguments: str, **settings):
    """Runs the command in a process of its own."""
    return subprocess.run([sys.executable, "-m", "tui", *arguments], capture_output=True, check=False, **settings)


class TestPlan:
    def test_prints_the_text_and_ends_with_0(self, job, capsys):
        assert main(["plan", job(JOB)]) == 0
        out, err = capsys.readouterr()
        assert "hall bath" in out
        assert err == ""

    def test_prints_json(self, job, capsys):
        assert main(["plan", job(JOB), "--json"]) == 0
        assert json.loads(capsys.readouterr().out)["job"] == "hall bath"

    def test_a_stop_ends_with_1(self, job, capsys):
        assert main(["plan", job(STOPPING)]) == 1
        assert "DO NOT BUILD" in capsys.readouterr().out

    def test_a_job_that_has_only_begun_says_what_it_needs_and_ends_with_0(self, job, capsys):
        assert main(["plan", job(BEGUN)]) == 0
        assert "STILL NEEDED" in capsys.readouterr().out

    @pytest.mark.parametrize("text", [BROKEN, CROSSED, "not = = toml", ""])
    def test_a_job_that_cannot_be_used_is_one_line_with_its_file_and_ends_with_2(self, job, capsys, text):
        path = job(text)
        assert main(["plan", path]) == 2
        out, err = capsys.readouterr()
        assert out == ""
        assert err.count("\n") == 1
        assert err.startswith(f"{path}: ")
        assert err.count(path) == 1

    def test_a_bad_entry_is_named_with_key_value_fault_and_remedy(self, job, capsys):
        main(["plan", job(BROKEN)])
        err = capsys.readouterr().err
        for words in ("outline.rectangle[0]", "48 inhc", "not a unit", "did you mean inch"):
            assert words in err

    def test_a_file_that_is_not_there_or_a_folder_is_one_line(self, tmp_path, capsys):
        for path in (tmp_path / "no.toml", tmp_path):
            assert main(["plan", str(path)]) == 2
            assert capsys.readouterr().err.count("\n") == 1

    @pytest.mark.parametrize(("text", "code"), [(JOB, 0), (STOPPING, 1), (BEGUN, 0)])
    def test_a_page_goes_into_its_file_and_the_exit_code_is_the_plans(self, job, tmp_path, capsys, text, code):
        page = tmp_path / "page.html"
        assert main(["plan", job(text), "--html", str(page)]) == code
        assert capsys.readouterr() == ("", "")
        assert page.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
        assert sorted(path.name for path in tmp_path.iterdir()) == ["job.toml", "page.html"]

    @pytest.mark.parametrize(
        "sheet",
        [
            (["--html", "page.html"], "engine.sheets.page.page.plan_page"),
            (["--json"], "engine.sheets.json.plan_json"),
            (["--csv"], "engine.sheets.cost_figures.shopping_csv"),
            ([], "engine.sheets.text.plan_text"),
        ],
    )
    def test_a_fault_of_the_program_in_a_sheet_is_told_in_one_line(self, job, capsys, monkeypatch, tmp_path, sheet):
        options, where = sheet

        def broken(_):
            return 1 / 0

        monkeypatch.chdir(tmp_path)
        monkeypatch.setattr(where, broken)
        assert main(["plan", job(JOB), *options]) == 2
        said = capsys.readouterr()
        assert said.out == ""
        assert said.err.count("\n") == 1
        assert "fallmark itself failed on this job (ZeroDivisionError: division by zero)" in said.err
        assert not (tmp_path / "page.html").exists()

    def test_prints_the_shopping_list_for_a_spreadsheet(self, job, capsys):
        assert main(["plan", job(JOB), "--csv"]) == 0
        head, first, *_ = capsys.readouterr().out.splitlines()
        assert head == "item,quantity,unit,of,reckoned,source"
        assert first.startswith("deck-mud,")
        assert main(["plan", job(JOB), "--csv", "--json"]) == 2

    def test_a_page_and_json_at_once(self, job, tmp_path, capsys):
        page = tmp_path / "page.html"
        assert main(["plan", job(JOB), "--json", "--html", str(page)]) == 0
        assert json.loads(capsys.readouterr().out)["job"] == "hall bath"
        assert page.exists()

    def test_a_page_never_takes_the_jobs_own_place(self, job, tmp_path, capsys):
        path, link = job(JOB), tmp_path / "link.toml"
        link.symlink_to(path)
        for page in (path, str(tmp_path / "." / "job.toml"), str(link)):
            assert main(["plan", path, "--html", page]) == 2
            out, err = capsys.readouterr()
            assert (out, err.count("\n")) == ("", 1)
            assert "this is the job itself" in err
        assert (tmp_path / "job.toml").read_text(encoding="utf-8") == JOB

    def test_a_page_that_cannot_be_written_is_one_line_and_leaves_nothing(self, job, tmp_path, capsys):
        (tmp_path / "folder").mkdir()
        for page in ("", "-", str(tmp_path / "folder"), str(tmp_path / "no" / "page.html")):
            assert main(["plan", job(JOB), "--html", page]) == 2
            out, err = capsys.readouterr()
            assert (out, err.count("\n")) == ("", 1)
        assert sorted(path.name for path in tmp_path.rglob("*")) == ["folder", "job.toml"]

    def test_a_page_that_fails_half_way_leaves_the_old_one(self, job, tmp_path, capsys, monkeypatch):
        page = tmp_path / "page.html"
        page.write_text("the old page", encoding="utf-8")

        def fail(*_):
            raise OSError(28, "No space left on device")

        monkeypatch.setattr(os, "fsync", fail)
        assert main(["plan", job(JOB), "--html", str(page)]) == 2
        assert "the disk is full" in capsys.readouterr().err
        assert page.read_text(encoding="utf-8") == "the old page"
        assert sorted(path.name for path in tmp_path.iterdir()) == ["job.toml", "page.html"]

    def test_a_fault_of_the_program_is_told_without_a_traceback(self, job, capsys, monkeypatch):
        def fail(_):
            raise ZeroDivisionError("no such luck")

        monkeypatch.setattr("tui.planned.read_job", fail)
        assert main(["plan", job(JOB)]) == 2
        err = capsys.readouterr().err
        assert "fallmark itself failed" in err
        assert "ZeroDivisionError" in err
        assert err.count("\n") == 1


class TestCheck:
    def test_prints_a_line_a_finding_with_its_file_in_front(self, job, capsys):
        path = job(STOPPING)
        assert main(["check", path]) == 1
        lines = capsys.readouterr().out.splitlines()
        assert all(line.startswith(f"{path}: ") for line in lines)
        assert any(line.startswith(f"{path}: stop: bed-below-floor: ") for line in lines)

    def test_a_broken_job_stops_nothing_and_the_worst_code_wins(self, job, capsys):
        broken, stopping = job(BROKEN, "broken.toml"), job(STOPPING, "stopping.toml")
        assert main(["check", broken, stopping]) == 2
        out, err = capsys.readouterr()
        assert stopping in out
        assert broken in err

    def test_a_stop_outweighs_a_good_job(self, job, capsys):
        assert main(["check", job(STOPPING, "a.toml"), job(BEGUN, "b.toml")]) == 1
        out, err = capsys.readouterr()
        assert "b.toml" not in out
        assert "b.toml: still needed: outline: " in err

    def test_a_job_without_findings_is_said_to_have_none(self, job, capsys):
        path = job(JOB)
        assert main(["check", path]) == 0
        out, err = capsys.readouterr()
        assert out == ""
        assert err == f"{path}: no findings\n"


class TestCompare:
    def test_a_job_is_the_same_as_itself(self, job, capsys):
        path = job(JOB)
        assert main(["compare", path, path]) == 0
        assert capsys.readouterr().out == "no differences\n"

    def test_what_differs_is_named_with_both_values(self, job, capsys, tmp_path):
        other = tmp_path / "other.toml"
        other.write_text(JOB.replace('rectangle = ["48 in"', 'rectangle = ["49 in"'), encoding="utf-8")
        assert main(["compare", job(JOB), str(other)]) == 1
        out = capsys.readouterr().out
        assert "entry outline.rectangle[0]: '48 in' -> '49 in'\n" in out
        assert "figure outline.corners[B].x: 1219.2 mm (48 in) -> 1244.6 mm (49 in)\n" in out

    def test_a_job_that_cannot_be_read_ends_with_2(self, job, capsys, tmp_path):
        assert main(["compare", job(JOB), str(tmp_path / "none.toml")]) == 2
        assert capsys.readouterr().err.count("\n") == 1


class TestWhy:
    @pytest.mark.parametrize(
        "name", ["bed.wall_height", "wall height", "bed.volume", "marks[0]", "mark at A", "guessed"]
    )
    def test_a_figure_is_explained_with_this_jobs_numbers(self, job, capsys, name):
        assert main(["why", job(JOB), name]) == 0
        out = capsys.readouterr().out
        assert any(character.isdigit() for character in out)
        assert max(map(len, out.splitlines())) <= 80

    def test_every_figure_of_the_list_can_be_asked_for(self, job, capsys):
        path = job(JOB)
        main(["why", path, "nonsense"])
        names = capsys.readouterr().err.split("ask for ")[1].split(", marks[0]")[0].split(", ")
        assert len(names) > 8
        assert [main(["why", path, name]) for name in names] == [0] * len(names)

    def test_a_figure_that_is_none_is_one_line_that_names_those_there_are(self, job, capsys):
        assert main(["why", job(JOB), "bed.colour"]) == 2
        out, err = capsys.readouterr()
        assert out == ""
        assert err.count("\n") == 1
        assert "bed.wall_height" in err


class TestWords:
    @pytest.mark.parametrize(
        "arguments",
        [
            ["plan"],
            ["plan", "a", "b"],
            ["plan", "a", "--jsn"],
            ["check"],
            ["pln", "a"],
            ["--nonsense"],
            ["plan", ""],
            [""],
        ],
    )
    def test_a_command_line_that_makes_no_sense_is_one_line(self, capsys, arguments):
        assert main(arguments) == 2
        out, err = capsys.readouterr()
        assert out == ""
        assert err.count("\n") == 1
        assert err.startswith("fallmark")

    @pytest.mark.parametrize("arguments", [["--help"], ["-h"], ["plan", "--help"]])
    def test_help_is_there(self, capsys, arguments):
        assert main(arguments) == 0
        assert capsys.readouterr().out == HELP

    def test_help_fits_a_terminal_and_names_every_command(self):
        assert max(map(len, HELP.splitlines())) <= 100
        for command in ("plan", "check", "compare", "why"):
            assert f"fallmark {command} " in HELP

    def test_version(self, capsys):
        assert main(["--version"]) == 0
        assert capsys.readouterr().out == "fallmark 0.1.0\n"

    def test_a_job_named_like_a_command_is_opened_with_its_folder(self, job, capsys, tmp_path, monkeypatch):
        job(JOB, "plan")
        monkeypatch.chdir(tmp_path)
        assert main(["plan", "plan"]) == 0
        assert "hall bath" in capsys.readouterr().out
        opened = []
        monkeypatch.setattr("tui.cli._is_terminal", lambda _: True)
        monkeypatch.setattr("tui.app.run", lambda path, _: opened.append(path) or 0)
        assert main(["./plan"]) == 0
        assert opened == ["./plan"]

    def test_a_name_that_acts_on_terminals_is_shown(self, capsys, tmp_path):
        assert main(["check", str(tmp_path / "a\x1b[2Jb.toml")]) == 2
        err = capsys.readouterr().err
        assert "\x1b" not in err
        assert r"\x1b[2J" in err


class TestWizard:
    def test_opens_on_a_new_job_or_on_that_one(self, monkeypatch):
        opened = []
        monkeypatch.setattr("tui.cli._is_terminal", lambda _: True)
        monkeypatch.setattr("tui.app.run", lambda path, _: opened.append(path) or 0)
        assert main([]) == 0
        assert main(["some.toml"]) == 0
        assert opened == [None, "some.toml"]

    def test_says_so_where_there_is_no_terminal(self):
        done = fallmark(stdin=subprocess.DEVNULL)
        assert done.returncode == 2
        assert b"needs a terminal" in done.stderr
        assert done.stderr.count(b"\n") == 1


class TestProcess:
    def test_a_plan_imports_neither_wizard_nor_framework_nor_the_pages_templates(self, job):
        code = (
            "import sys, tui.paper; from tui.cli import main; main(['plan', sys.argv[1]]);"
            "sys.stderr.write(str({'textual', 'rich', 'pint', 'scipy', 'tui.app', 'jinja2'} & set(sys.modules)))"
        )
        done = subprocess.run([sys.executable, "-c", code, job(JOB)], capture_output=True, check=True)
        assert done.stderr == b"set()"

    @pytest.mark.parametrize("command", ["plan", "check"])
    def test_a_reader_who_goes_away_hears_no_complaint(self, job, command):
        path = job(STOPPING)
        read, write = os.pipe()
        os.close(read)
        done = subprocess.run(
            [sys.executable, "-m", "tui", command, path], stdout=write, stderr=subprocess.PIPE, check=False
        )
        os.close(write)
        assert (done.returncode, done.stderr) == (1, b"")

    def test_a_full_disk_is_told(self, job):
        if not os.path.exists("/dev/full"):  # noqa: PTH110 - a device, not a file of ours
            return
        with open("/dev/full", "wb") as full:  # noqa: PTH123 - as above
            done = subprocess.run(
                [sys.executable, "-m", "tui", "plan", job(JOB)],
                stdout=full,
                stderr=subprocess.PIPE,
                check=False,
            )
        assert done.returncode == 2
        assert done.stderr.count(b"\n") == 1
        assert b"could not be written" in done.stderr

    def test_a_terminal_that_knows_few_letters_gets_the_rest_in_codes(self, job, monkeypatch):
        printed = io.BytesIO()
        monkeypatch.setattr("sys.stdout", io.TextIOWrapper(printed, encoding="ascii"))
        assert main(["plan", job(JOB.replace("hall bath", "São 3 µ"))]) == 0
        assert rb"S\xe3o 3 \xb5" in printed.getvalue()

    def test_ctrl_c_is_quiet(self, job, monkeypatch, capsys):
        def interrupt(_):
            raise KeyboardInterrupt

        monkeypatch.setattr("tui.planned.read_job", interrupt)
        assert main(["plan", job(JOB)]) == 130
        assert capsys.readouterr() == ("", "")
