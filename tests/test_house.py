"""The house's own rules, held: the face, who may import whom, file sizes, the top level."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

import engine

ROOT = Path(__file__).parent.parent
MOST_LINES = 400
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "engine", "tui", "tests", "sample_jobs"}


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        arguments, cwd=ROOT, capture_output=True, check=False, text=True, encoding="utf-8", errors="replace"
    )


def tracked() -> list[str]:
    """The files that git keeps; where there is no git, all that a clone would hold."""
    listed = run("git", "ls-files")
    if listed.returncode == 0 and listed.stdout:
        return listed.stdout.splitlines()
    return [str(path.relative_to(ROOT)) for name in TOP_LEVEL for path in ROOT.joinpath(name).rglob("*.py")]


class TestFace:
    def test_every_public_name_is_there_and_no_other(self):
        assert sorted(engine.__all__) == ["Job", "JobError", "Plan", "plan", "read_job", "write_job"]
        for name in engine.__all__:
            assert getattr(engine, name).__name__ == name
        with pytest.raises(AttributeError, match="nonsense"):
            engine.nonsense  # noqa: B018 - asking is the test

    def test_plan_is_the_function_whatever_was_imported_before(self):
        code = """
import sys
for first in ("", "import engine.plan", "from engine.plan import Plan", "import engine.sheets.json"):
    for name in [name for name in sys.modules if name.split(".")[0] == "engine"]:
        del sys.modules[name]
    exec(first)
    from engine import plan, read_job
    print(callable(plan), plan.__name__)
"""
        done = run(sys.executable, "-c", code)
        assert done.stdout == "True plan\n" * 4, done.stderr

    def test_importing_it_costs_neither_arrays_nor_units_nor_a_framework(self):
        code = "import sys, engine; print({'numpy', 'shapely', 'pint', 'tui', 'textual', 'rich'} & set(sys.modules))"
        assert run(sys.executable, "-c", code).stdout == "set()\n"

    def test_planning_pulls_in_no_wizard(self):
        code = (
            "import sys, engine.plan, engine.sheets.json, engine.sheets.text, engine.job.toml_file;"
            "print({'pint', 'scipy', 'tui', 'textual', 'rich'} & set(sys.modules))"
        )
        assert run(sys.executable, "-c", code).stdout == "set()\n"

    def test_version_is_the_packages(self):
        project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
        assert engine.__version__ == project["version"]


class TestLayers:
    def test_the_import_contracts_hold(self):
        from importlinter.cli import lint_imports

        assert lint_imports(config_filename=str(ROOT / "pyproject.toml"), no_cache=True) == 0


class TestFiles:
    def test_no_file_has_grown_past_one_subject(self):
        sources = [name for name in tracked() if name.endswith((".py", ".tcss"))]
        assert sources
        long = {name: n for name in sources if (n := len((ROOT / name).read_bytes().splitlines())) > MOST_LINES}
        assert long == {}

    def test_the_top_level_holds_what_it_may(self):
        names = {name.split("/", maxsplit=1)[0] for name in tracked()}
        assert {name for name in names if not name.startswith(".")} <= TOP_LEVEL

    def test_every_package_file_ships(self):
        """A stylesheet or a rulebook that is not in the package data is missing on every other machine.

        What the packed texts are made of is left out on purpose.
        """
        data = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["setuptools"][
            "package-data"
        ]
        for name in tracked():
            is_packed = name.endswith((".toml", ".jinja", ".css")) and any((ROOT / name).parent.glob("*.json.bz2"))
            if name.endswith(".po") or is_packed:
                continue
            top, suffix = name.split("/", maxsplit=1)[0], Path(name).suffix
            if top in data and suffix != ".py":
                assert any(Path(name).match(pattern.removeprefix("**/")) for pattern in data[top]), name


class TestReadme:
    def test_its_two_commands_are_the_two_that_are_run(self):
        lines = (ROOT / "README.md").read_text(encoding="utf-8").splitlines()
        commands = [line.strip() for line in lines if line.strip().startswith("python3 -m venv")]
        assert [command.rsplit("&& ", maxsplit=1)[1].split()[0] for command in commands] == [
            ".venv/bin/fallmark",
            ".venv/bin/pytest",
        ]
        sample = commands[0].split()[-1]
        assert (ROOT / sample).is_file()
