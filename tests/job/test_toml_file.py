"""Job files: the whole contract read, what was typed kept, and a save that is whole or does nothing."""

import datetime as dt
import errno
import os
import stat
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from engine.errors import FileError, JobError
from engine.job import model
from engine.job.model import AtCorner, AtOffsets, AtPoint, AtWall, EdgeKind, Job, Tape, Typed
from engine.job.toml_file import dump_job, parse_job, read_job, write_job
from engine.quantities import Units

WHOLE = """\
format = 1

[job]
name = "Ferry Street flat 2, shower"
units = "in"
rulebook = "us-model"
start = 2027-03-08
notes = ""

[floor]
kind = "wood"
moisture_barrier = "felt"
lath = true
bond_coat = false
dead_load_allowance = "10 psf"

[build]
waterproofing = "between-beds"
upper_bed = "1 1/2 in"
tile_edge = "2 in"
tile = "5/16 in"
tile_setting = "1/8 in"

[outline]
walls = [ {length = "60 in", turn = "90 deg"}, {length = "36 in"}, {length = 60, turn = 90}, {rise = "6 in"} ]
edges = { "D-A" = "curb", "A-B" = "open" }
tape = [ {from = "A", to = "C", length = "69 15/16 in"} ]
islands = [ {corners = [ ["10 in", "10 in"], [14, 10], ["12 in", "-1/2"] ]} ]

[curb]
drop = "14 1/4 in"

[[drains]]
kind = "round"
size = "6 in"
at = { "A-B" = "18 in", "D-A" = "30 in" }
drop = "20 1/4 in"

[[drains]]
kind = "channel"
size = "2 3/4 in"
from = { wall = "A-B", along = "6 in", off = "2 in" }
to = { x = "54 in", y = "2 in" }

[[readings]]
at = "A"
drop = "21 1/16 in"

[[readings]]
at = { wall = "B-C", along = "18 in" }
drop = 21

[bed]
shape = "even-fall"
fall = "1/4 in/ft"
mark_step = "1/16 in"
least_depth = "1 1/4 in"
most_depth = "2 in"
wall_height = "3/4 in"

[strips]
thickness = "1/2 in"
short = "1/8 in"
stock = "48 in"
kerf = "1/8 in"

[mortar]
supply = "site"
bag = "60 lb"
yield = "0.45 ft^3"
parts = 5
waste = "10 %"

[[as_built]]
at = "A"
drop = "18 1/2 in"
"""


class TestReading:
    def test_the_whole_contract(self):
        job = parse_job(WHOLE)
        assert (job.name, job.units, job.start) == (
            "Ferry Street flat 2, shower",
            Units.INCH,
            dt.date(2027, 3, 8),
        )
        assert job.rulebook is model.RulebookName.US_MODEL
        assert job.floor.moisture_barrier is model.Barrier.FELT
        assert (job.floor.lath, job.floor.bond_coat) == (True, False)
        assert job.outline.walls[2] == model.Wall(Typed(60, 1524.0), Typed(90, 90.0))
        assert job.outline.walls[3] == model.Wall(rise=Typed("6 in", 152.4))
        assert job.outline.edges == (("D-A", EdgeKind.CURB), ("A-B", EdgeKind.OPEN))
        assert job.outline.tape == (Tape("A", "C", Typed("69 15/16 in", 69.9375 * 25.4)),)
        assert job.outline.islands[0].corners[2] == (Typed("12 in", 304.8), Typed("-1/2", -12.7))
        assert job.drains[0].at == AtOffsets("A-B", Typed("18 in", 457.2), "D-A", Typed("30 in", 762.0))
        assert job.drains[1].start == AtWall("A-B", Typed("6 in", 152.4), Typed("2 in", 50.8))
        assert job.drains[1].end == AtPoint(Typed("54 in", 1371.6), Typed("2 in", 50.8))
        assert job.readings[1] == model.Reading(AtWall("B-C", Typed("18 in", 457.2)), Typed(21, 533.4))
        assert job.bed.fall == Typed("1/4 in/ft", 1 / 48)
        assert job.mortar.parts == Typed(5, 5.0)
        assert job.as_built == (model.Reading(AtCorner("A"), Typed("18 1/2 in", 469.9)),)

    def test_bare_numbers_are_in_the_jobs_units_wherever_they_are_declared(self):
        text = 'format = 1\n[curb]\ndrop = 14\n[job]\nname = "x"\nunits = "mm"\n'
        assert parse_job(text).curb.drop == Typed(14, 14.0)
        assert parse_job(text.replace('"mm"', '"in"')).curb.drop == Typed(14, 355.6)

    def test_a_file_may_hold_less_than_a_job(self):
        assert parse_job("format = 1\n") == Job()
        assert parse_job('format = 1\n[job]\nname = "x"\n') == Job(name="x")
        assert parse_job('format = 1\n[outline]\nrectangle = ["60 in", ""]\n').outline.half_rectangle == (
            Typed("60 in", 1524.0),
            None,
        )

    def test_a_draft_may_name_corners_that_are_not_there_yet(self):
        text = 'format = 1\n[outline]\nrectangle = [60, 36]\n[[readings]]\nat = "F"\ndrop = 21\n'
        assert parse_job(text, draft=True).readings[0].at == AtCorner("F")
        with pytest.raises(JobError, match="no such corner"):
            parse_job(text)

    def test_without_an_outline_any_corner_may_be_meant(self):
        assert parse_job('format = 1\n[[readings]]\nat = "AB"\ndrop = 21\n').readings[0].at == AtCorner("AB")

    def test_names_beyond_z(self):
        corners = ", ".join(f'["{i}", "{i * i}"]' for i in range(28))
        text = f'format = 1\n[outline]\ncorners = [{corners}]\nedges = {{ "Z-AA" = "curb", "AB-A" = "open" }}\n'
        assert parse_job(text).outline.edges == (("Z-AA", EdgeKind.CURB), ("AB-A", EdgeKind.OPEN))
        with pytest.raises(JobError, match="the walls are A-B to AB-A"):
            parse_job(text.replace("AB-A", "AC-A"))

    def test_escapes_and_brackets_in_names_are_kept(self):
        name = "\x1b[31m[bold]bath[/bold] \N{SNOWMAN}\x00"
        assert parse_job(dump_job(Job(name=name))).name == name

    def test_a_byte_order_mark_is_no_fault(self, tmp_path):
        path = tmp_path / "job.toml"
        path.write_bytes(b"\xef\xbb\xbfformat = 1\r\n[job]\r\nname = 'x'\r\n")
        assert read_job(path).name == "x"

    def test_the_message_begins_with_the_file_even_a_long_or_odd_one(self, tmp_path):
        path = tmp_path / ("long" * 40) / "odd \x1b[31m.toml"
        path.parent.mkdir()
        path.write_text("format = 1\n[bed]\nfall = '2'\n")
        with pytest.raises(JobError) as caught:
            read_job(path)
        assert str(caught.value).startswith(f"{path.parent}/odd \\x1b[31m.toml: bed.fall = '2': ")
        assert caught.value.key == "bed.fall"

    @pytest.mark.parametrize(
        ("name", "fault"),
        [
            ("missing.toml", "there is no such file"), (".", "this is a folder"),
            ("job.toml/x", "is a file and no folder"), ("x" * 300, "the name is too long"),
            ("nul\0", "cannot be read"), ("loop", "leads back to itself"),
            ("pipe", "this is not a file"),
        ],
    )  # fmt: skip
    def test_what_is_no_file(self, tmp_path, name, fault):
        (tmp_path / "job.toml").write_text("format = 1\n")
        (tmp_path / "loop").symlink_to("loop")
        os.mkfifo(tmp_path / "pipe")
        with pytest.raises(FileError, match=fault):
            read_job(str(tmp_path / name))

    def test_a_file_that_may_not_be_read(self, tmp_path, monkeypatch):
        path = tmp_path / "job.toml"
        path.write_text("format = 1\n")

        def refuse(*_, **__):
            raise PermissionError(errno.EACCES, "denied")

        monkeypatch.setattr(Path, "open", refuse)
        with pytest.raises(FileError, match="may not be read"):
            read_job(path)

    def test_a_file_too_large_to_be_a_job(self, tmp_path):
        path = tmp_path / "job.toml"
        with path.open("wb") as file:
            file.truncate(9_000_000)
        with pytest.raises(FileError, match="too large"):
            read_job(path)


class TestWritingText:
    def test_the_job_comes_back(self):
        job = parse_job(WHOLE)
        assert parse_job(dump_job(job)) == job

    def test_what_was_typed_stays_typed(self):
        written = dump_job(parse_job(WHOLE))
        tables = tomllib.loads(WHOLE)
        del tables["job"]["notes"]  # empty is left out
        assert tomllib.loads(written) == tables
        assert 'at = { "A-B" = "18 in", "D-A" = "30 in" }' in written
        assert "drop = 21\n" in written

    def test_sections_stand_in_the_contracts_order(self):
        headers = [line.strip("[]") for line in dump_job(parse_job(WHOLE)).splitlines() if line.startswith("[")]
        assert list(dict.fromkeys(headers)) == [
            "job", "floor", "build", "outline", "curb", "drains", "readings", "bed", "strips", "mortar", "as_built",
        ]  # fmt: skip

    def test_an_empty_job_says_only_what_it_must(self):
        assert dump_job(Job()) == 'format = 1\n\n[job]\nname = ""\nunits = "in"\nrulebook = "us-model"\n'

    def test_half_a_rectangle_is_not_lost(self):
        job = parse_job('format = 1\n[outline]\nrectangle = ["", "36 in"]\n')
        assert 'rectangle = ["", "36 in"]' in dump_job(job)
        assert parse_job(dump_job(job)) == job

    @pytest.mark.parametrize(
        "notes", ["a\nb", "\n", "a\r\nb", 'say "hi"\n\\', "'''\n\"\"\"", "tab\t\x7f", "#\n# not one"]
    )
    def test_notes_of_any_kind_come_back(self, notes):
        assert parse_job(dump_job(Job(notes=notes))).notes == notes

    def test_comments_stay_where_they_stand(self):
        text = (
            "# above all\nformat = 1  # beside\n\n[job]\n# above the name\nname = 'a # b'  # who\n\n"
            "# about the outline\n[outline]\nwalls = [ # open\n  {length = 60}, # first\n  {length = 36},\n]\n\n"
            "[[readings]]\nat = 'A'\ndrop = 21  # twice\n\n[[readings]]  # second\nat = 'B'\ndrop = 20\n# the end\n"
        )
        written = dump_job(parse_job(text))
        for line in (
            "# above all\nformat = 1  # beside\n",
            '# above the name\nname = "a # b"  # who\n', "# about the outline\n[outline]\n",
            "# open\n# first\nwalls = [", "drop = 21  # twice\n", "[[readings]]  # second\n", "drop = 20\n# the end\n",
        ):  # fmt: skip
            assert line in written
        assert dump_job(parse_job(written)) == written

    def test_a_comment_whose_line_is_gone_stays_near(self):
        job = parse_job("format = 1\n[curb]\n# measured twice\ndrop = 14\n[bed]\nfall = '2 %'\n")
        changed = parse_job(dump_job(job).replace("drop = 14\n", "").replace("[curb]\n", ""))
        assert "# measured twice\n[bed]" in dump_job(changed)


class TestWritingFiles:
    @pytest.fixture
    def old(self, tmp_path):
        path = tmp_path / "job.toml"
        path.write_text('format = 1\n[job]\nname = "old"\n')
        return path

    def test_a_new_file(self, tmp_path):
        write_job(Job(name="new"), tmp_path / "job.toml")
        assert read_job(tmp_path / "job.toml") == Job(name="new")
        assert listed(tmp_path) == ["job.toml"]

    def test_keeps_the_permissions(self, old):
        old.chmod(0o640)
        write_job(Job(name="new"), old)
        assert stat.S_IMODE(old.stat().st_mode) == 0o640
        assert read_job(old).name == "new"

    def test_a_link_stays_a_link(self, old, tmp_path):
        link = tmp_path / "sub" / "link.toml"
        link.parent.mkdir()
        link.symlink_to(old)
        write_job(Job(name="new"), link)
        assert link.is_symlink()
        assert read_job(old).name == "new"
        assert listed(link.parent) == ["link.toml"]

    @pytest.mark.parametrize("broken", ["write", "fsync", "replace", "chmod", "open"])
    @pytest.mark.parametrize("code", [errno.ENOSPC, errno.EROFS, errno.EACCES, errno.EIO])
    def test_any_failure_leaves_the_old_file_and_nothing_else(self, old, monkeypatch, broken, code):
        def fail(*_, **__):
            raise OSError(code, os.strerror(code))

        before = old.read_bytes()
        match broken:
            case "write":
                real = os.fdopen
                monkeypatch.setattr(os, "fdopen", lambda *a, **k: FullDisk(real(*a, **k), fail))
            case "fsync" | "open":
                monkeypatch.setattr(os, broken, fail)
            case _:
                monkeypatch.setattr(Path, broken, fail)
        with pytest.raises(FileError) as caught:
            write_job(Job(name="new"), old)
        monkeypatch.undo()
        assert str(caught.value).count("; ") >= 1
        assert old.read_bytes() == before
        assert listed(old.parent) == ["job.toml"]

    def test_a_disk_that_is_really_full_is_told_in_words(self, old):
        code = (
            "import resource, sys; from engine.job.toml_file import *; from engine.job.model import Job\n"
            "from engine.errors import FileError\n"
            "resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))\n"
            "try:\n    write_job(Job(notes='x' * 5000), sys.argv[1])\n"
            "except FileError as error:\n    print(error)\n"
        )
        done = subprocess.run(
            [sys.executable, "-c", code, str(old)],
            capture_output=True,
            text=True,
            check=True,
        )
        assert "may not grow so large" in done.stdout
        assert "old file is untouched" in done.stdout
        assert read_job(old).name == "old"
        assert listed(old.parent) == ["job.toml"]

    @pytest.mark.parametrize(
        ("name", "fault"),
        [
            ("no/such/job.toml", "no such file or folder"),
            (".", "this is a folder"),
            ("pipe", "cannot be written"),
        ],
    )
    def test_where_no_file_can_be(self, tmp_path, name, fault):
        os.mkfifo(tmp_path / "pipe")
        with pytest.raises(FileError, match=fault):
            write_job(Job(), tmp_path / name)
        assert listed(tmp_path) == ["pipe"]

    def test_a_read_only_file_is_not_replaced(self, old, monkeypatch):
        monkeypatch.setattr(os, "access", lambda *_: False)
        with pytest.raises(FileError, match="may not be written"):
            write_job(Job(), old)
        assert read_job(old).name == "old"

    def test_a_character_that_no_file_can_hold(self, old):
        with pytest.raises(FileError, match="cannot be saved"):
            write_job(Job(name="\ud800"), old)
        assert read_job(old).name == "old"


class FullDisk:
    """A file that fails at its first write."""

    def __init__(self, file, fail):
        self._file, self._fail = file, fail

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self._file.close()

    def write(self, _):
        self._fail()


def listed(folder):
    return [path.name for path in folder.iterdir()]
