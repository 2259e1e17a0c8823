"""What a job can reach: no network, no shell, no file but the one named; and what its texts can do: nothing.

Commands run in processes of their own under an audit hook of the interpreter (PEP 578), which sees every file that
is opened, every socket and every process, whichever library asks for it.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

TOP = Path(__file__).parents[1]
NAME = r"$(touch gone); `id` \u001b[31m\u0007 \u202eesrever\u202c \u200b[bold]x[/] <u>&amp;</u> %n{0}"
JOB = f"""
format = 1
[job]
name = "{NAME}"
notes = "{NAME}"
[floor]
kind = "wood"
dead_load_allowance = "10 psf"
[outline]
rectangle = ["48 in", "40 in"]
edges = {{ "D-A" = "curb" }}
[[drains]]
kind = "round"
size = "6 in"
at = {{ "A-B" = "20 in", "D-A" = "24 in" }}
drop = "20 in"
[[readings]]
at = "A"
drop = "20 1/2 in"
[[readings]]
at = "B"
drop = "21 in"
[[readings]]
at = "C"
drop = "21 in"
[bed]
shape = "level-walls"
"""
# Runs a command and tells what it did beyond reckoning; what the interpreter writes of itself (bytecode) is its own.
WATCHED = """
import json, os, sys
seen = []
def watch(event, args):
    if event == "open":
        path, mode, flags = args
        if flags & (os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC) or any(c in str(mode) for c in "wax+"):
            seen.append(["writes", str(path)])
    elif event.split(".")[0] in ("socket", "subprocess", "urllib", "ftplib", "http", "smtplib"):
        seen.append(["reaches", event])
    elif event in ("os.system", "os.exec", "os.posix_spawn", "os.spawn", "os.fork", "os.forkpty", "pty.spawn"):
        seen.append(["runs", event])
    elif event in ("os.remove", "os.rename", "os.rmdir", "os.mkdir", "os.link", "os.symlink", "shutil.rmtree"):
        seen.append([event, str(args[0])])
sys.dont_write_bytecode = True
sys.addaudithook(watch)
"""
# Several commands, one after the other: what each printed, and what it did.
COMMANDS = """
import contextlib, io
import tui.cli
told = []
for arguments in json.loads(sys.argv[2]):
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        tui.cli.main(arguments)
    told.append([out.getvalue(), err.getvalue(), seen[:], os.listdir()])
    seen.clear()
json.dump(told, open(sys.argv[1], "w"))
"""
SAVING = """
import asyncio
from tui.app import FallmarkApp
async def save():
    app = FallmarkApp(sys.argv[2])
    async with app.run_test() as pilot:
        while not (app.wizard.desk and app.wizard.desk.is_planned):
            await asyncio.sleep(0.02)
        seen.clear()  # the event loop's own pair of sockets
        await pilot.press("x", "f2")
        while app.wizard.desk.session.is_unsaved:
            await asyncio.sleep(0.02)
        json.dump(seen, open(sys.argv[1], "w"))
asyncio.run(save())
"""
SHOWING = [
    ("plan", "job.toml"),
    ("plan", "job.toml", "--json"),
    ("plan", "job.toml", "--csv"),
    ("check", "job.toml"),
    ("compare", "job.toml", "job.toml"),
    ("why", "job.toml", "least depth"),
]
# Escape codes, bells, what turns the reading direction round, what has no width (ECMA-48; Unicode UAX 9).
ALIVE = [*map(chr, range(9)), *map(chr, range(11, 32)), "\x7f", "\x9b", "\u202e", "\u202c", "\u200b"]


def run(folder, script, *arguments):
    """What a script in a process of its own leaves as seen."""
    (folder / "job.toml").write_text(JOB, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-c", WATCHED + script, str(folder.parent / "seen.json"), *arguments],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(TOP), "XDG_STATE_HOME": str(folder / "state")},
        capture_output=True,
        text=True,
        check=False,
    )
    assert (folder.parent / "seen.json").exists(), done.stderr
    return json.loads((folder.parent / "seen.json").read_text())


def reaching(seen):
    """What was done beyond keeping what was seen."""
    return [what for what in seen if "seen.json" not in what[1] and what[1] != os.devnull]


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    """A folder with a job in it, in which commands have run, and of each what it printed, did and left there."""
    folder = tmp_path_factory.mktemp("site") / "site"
    folder.mkdir()
    asked = [*SHOWING, ("plan", "job.toml", "--html", "page.html")]
    return folder, dict(zip(asked, run(folder, COMMANDS, json.dumps(asked)), strict=True))


@pytest.mark.parametrize("arguments", SHOWING, ids=" ".join)
def test_what_only_shows_writes_nothing_and_shows_names_inert(site, arguments):
    out, err, seen, there = site[1][arguments]
    assert reaching(seen) == []
    assert out
    assert [mark for mark in ALIVE if mark in out + err] == []
    assert there == ["job.toml"]


def test_the_page_is_the_only_file_written_and_its_text_is_no_markup(site):
    folder, told = site
    _, _, seen, there = told["plan", "job.toml", "--html", "page.html"]
    page = (folder / "page.html").read_text(encoding="utf-8")
    assert sorted(there) == ["job.toml", "page.html"]
    assert all(
        what[0] in ("writes", "os.rename") and Path(what[1]).parent in (Path(), folder) for what in reaching(seen)
    )
    assert reaching(seen)
    assert "<u>" not in page
    assert "&lt;u&gt;&amp;amp;&lt;/u&gt;" in page
    assert [mark for mark in ALIVE if mark in page] == []


@pytest.fixture
def folder(tmp_path):
    made = tmp_path / "site"
    made.mkdir()
    return made


def test_saving_in_the_wizard_writes_the_job_and_its_draft_alone(folder):
    seen = reaching(run(folder, SAVING, "job.toml"))
    kept = {Path(what[1]).parent for what in seen}
    assert all(what[0] in ("writes", "os.rename", "os.mkdir", "os.remove") for what in seen), seen
    assert kept <= {Path(), folder, folder / "state", folder / "state" / "fallmark"}, kept
    assert {path.name for path in folder.iterdir()} <= {"job.toml", "state"}
    assert [what for what in seen if what[0] == "os.rename"]  # a file is whole before it takes the other's place
    assert "touch gone" in (folder / "job.toml").read_text(encoding="utf-8")
