"""Many jobs at once: folders, all cores, and broken ones among them."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
from concurrent.futures import Future
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from pathlib import Path
from threading import Thread

import pytest

from engine.errors import FileError
from tui.checking import Tally, _answer, check_many, check_one, job_files
from tui.cli import main

SAMPLES = Path(__file__).parent.parent / "sample_jobs"
SAMPLE = (SAMPLES / "mill_house.toml").read_text(encoding="utf-8")


@pytest.fixture
def folder(tmp_path):
    """Thirty jobs in two folders: one thins out in a stop, one is broken."""
    for number in range(30):
        path = tmp_path / ("a" if number % 2 else "b") / f"{number:02}.toml"
        path.parent.mkdir(exist_ok=True)
        path.write_text(SAMPLE, encoding="utf-8")
    (tmp_path / "a" / "07.toml").write_text("format = 1\n[job]\nname = 7\n", encoding="utf-8")
    (tmp_path / "b" / "10.toml").write_text(SAMPLE.replace('"19 7/8 in"', '"21 in"'), encoding="utf-8")
    (tmp_path / "b" / "notes.txt").write_text("no job", encoding="utf-8")
    return tmp_path


@pytest.fixture
def alone(monkeypatch):
    """However many jobs there are, this process does them."""
    monkeypatch.setattr("tui.checking._FEWEST_TO_SHARE", 100)


class TestFolders:
    def test_a_folder_gives_its_jobs_by_name_and_a_file_itself(self, folder):
        files = job_files([str(folder / "b" / "notes.txt"), str(folder)])
        assert files[0].endswith("notes.txt")
        assert list(files[1:]) == sorted(files[1:])
        assert len(files) == 31

    def test_a_folder_without_jobs_is_refused_in_words(self, tmp_path):
        with pytest.raises(FileError, match="no job in this folder"):
            job_files([str(tmp_path)])

    def test_a_folder_that_leads_back_to_itself_is_walked_once(self, folder):
        (folder / "a" / "again").symlink_to(folder, target_is_directory=True)
        assert len(job_files([str(folder)])) == 30


class TestMany:
    def test_shared_among_processes_they_come_in_order_as_if_done_alone(self, folder):
        files = job_files([str(folder)])
        assert list(check_many(files)) == [check_one(path) for path in files]

    @pytest.mark.usefixtures("alone")
    def test_a_broken_job_stops_nothing_and_the_summary_counts(self, folder, capsys):
        assert main(["check", str(folder)]) == 2
        out, err = capsys.readouterr()
        assert f"{folder / 'b' / '10.toml'}: stop: " in out
        assert err.count("07.toml") == 1
        assert err.endswith("30 jobs: 28 without a stop, 1 with a stop, 1 that cannot be used\n")

    def test_jobs_of_a_process_that_died_are_done_here(self, folder):
        died: Future = Future()
        died.set_exception(BrokenProcessPool())
        share = job_files([str(folder)])[:3]
        assert _answer(share, died) == [check_one(path) for path in share]

    def test_left_early_it_ends(self, folder):
        found = check_many(job_files([str(folder)]))
        assert next(found).path.endswith("01.toml")
        found.close()

    def test_the_worst_code_wins(self, folder):
        tally = Tally()
        codes = []
        for name in ("a/01.toml", "b/10.toml", "a/07.toml", "a/03.toml"):
            tally.add(check_one(str(folder / name)))
            codes.append(tally.code)
        assert codes == [0, 1, 2, 2]


@contextmanager
def terminal():
    """A terminal's descriptor to write to, and what will have been painted there once it is left."""
    ours, theirs = pty.openpty()
    painted: list[bytes] = []
    reading = Thread(target=lambda: painted.extend(iter(lambda: _read(ours), b"")))
    reading.start()
    try:
        yield theirs, painted
    finally:
        os.close(theirs)
        reading.join()
        os.close(ours)


def _read(descriptor):
    try:
        return os.read(descriptor, 65536)
    except OSError:  # a terminal that nobody writes to any more
        return b""


class TestBar:
    @pytest.fixture(autouse=True)
    def wide(self, monkeypatch):
        monkeypatch.setenv("TERM", "xterm-256color")
        monkeypatch.setenv("COLUMNS", "100")

    def test_findings_in_a_file_are_plain_while_the_terminal_shows_a_bar(self, folder):
        with terminal() as (there, painted):
            done = subprocess.run(
                [sys.executable, "-m", "tui", "check", str(folder)],
                stdout=subprocess.PIPE,
                stderr=there,
                check=False,
            )
        assert b"checking" in b"".join(painted)
        assert b"/30" in b"".join(painted)
        assert b"\x1b" not in done.stdout
        assert b"10.toml: stop: " in done.stdout

    @pytest.mark.usefixtures("alone")
    def test_on_one_terminal_the_lines_stand_above_it(self, folder, monkeypatch):
        with terminal() as (there, painted), open(there, "w", closefd=False) as stream:
            monkeypatch.setattr("sys.stdout", stream)
            monkeypatch.setattr("sys.stderr", stream)
            assert main(["check", str(folder)]) == 2
            monkeypatch.undo()
        assert b"10.toml: stop: " in b"".join(painted)
        assert b"30 jobs: " in b"".join(painted)
