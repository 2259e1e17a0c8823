"""Saving, opening and quitting: told where it went, never over another's file unasked, and nothing lost on a fault."""

import os
import time
from pathlib import Path

import pytest

from engine import read_job
from tui.desk import Desk
from tui.dialogs.paths import file_name, listing, with_suffix


def write(path, text):
    Path(path).write_text(text, encoding="utf-8")
    return Path(path)


def read(path):
    return path.read_text(encoding="utf-8")


class TestSaving:
    async def test_saves_to_its_own_file_and_says_where(self, wizard, tmp_path):
        path = tmp_path / "mine.toml"
        path.write_text('format = 1\n[job]\nname = "Mine"\n', encoding="utf-8")
        async with wizard(path) as hand:
            await hand.press("up")
            await hand.type("!")
            await hand.press("f2")
            await hand.until(lambda: "Saved to" in hand.screen)
            assert read_job(path).name == "Mine!"
            assert not hand.desk.session.is_unsaved

    async def test_another_file_is_replaced_only_after_a_second_enter(self, wizard):
        other = write("worked-sample-ferry-street-flat-2.toml", "theirs")
        async with wizard(None) as hand:
            await hand.until(lambda: "worked sample" in hand.screen)
            await hand.press("w")
            await hand.until_ready()
            await hand.press("f2")
            await hand.until(lambda: "Save the job" in hand.screen)
            await hand.press("enter")
            assert "there already" in hand.screen
            assert "theirs" in read(other)
            await hand.press("enter")
            await hand.until(lambda: "Saved to" in hand.screen)
            assert read_job(other).name.startswith("Worked sample")

    async def test_a_file_that_someone_else_changed_is_not_replaced_unasked(self, wizard, tmp_path):
        path = tmp_path / "mine.toml"
        path.write_text('format = 1\n[job]\nname = "Mine"\n', encoding="utf-8")
        async with wizard(path) as hand:
            path.write_text('format = 1\n[job]\nname = "Theirs, longer"\n', encoding="utf-8")
            await hand.press("up")
            await hand.type("!")
            await hand.press("f2")
            await hand.until(lambda: "someone changed this file" in hand.screen)
            await hand.press("escape")
            assert read_job(path).name == "Theirs, longer"

    async def test_nor_is_one_that_was_changed_after_the_draft_that_is_gone_on_with(self, wizard, tmp_path):
        path = tmp_path / "mine.toml"
        path.write_text('format = 1\n[job]\nname = "Mine"\n', encoding="utf-8")
        desk = Desk.opened(path)
        desk.session.enter("job.name", "Mine, half done")
        desk.keep_draft()
        desk.let_go()
        path.write_text('format = 1\n[job]\nname = "Theirs"\n', encoding="utf-8")
        later = time.time() + 60
        os.utime(path, (later, later))
        async with wizard(None) as hand:
            await hand.go_on_with_the_draft()
            await hand.press("f2")
            await hand.until(lambda: "someone changed this file" in hand.screen)
            await hand.press("escape")
            assert read_job(path).name == "Theirs"

    async def test_a_place_that_cannot_be_written_is_told_and_the_job_stays(self, wizard):
        async with wizard(None) as hand:
            await hand.until(lambda: "worked sample" in hand.screen)
            await hand.press("w")
            await hand.until_ready()
            await hand.press("f2")
            await hand.until(lambda: "Save the job" in hand.screen)
            await hand.type("no/such/folder/job")
            await hand.press("enter")
            await hand.until(lambda: "is not saved" in hand.screen)
            await hand.press("escape")
            assert hand.desk.session.path is None
            assert hand.desk.session.job.name.startswith("Worked sample")

    async def test_half_typed_texts_are_named_when_they_are_left_out(self, wizard, tmp_path):
        path = tmp_path / "mine.toml"
        path.write_text('format = 1\n[job]\nname = "Mine"\n', encoding="utf-8")
        async with wizard(path) as hand:
            await hand.press("pagedown")
            await hand.type("4 f")
            await hand.press("f2")
            await hand.until(lambda: "without the half-typed 4 f" in hand.screen)
            assert hand.desk.session.is_unsaved

    async def test_a_corner_chosen_for_a_diagonal_that_is_not_taped_is_nothing_half_typed(self, wizard, tmp_path):
        path = tmp_path / "mine.toml"
        path.write_text('format = 1\n[outline]\nrectangle = ["60", "36"]\n', encoding="utf-8")
        async with wizard(path) as hand:
            await hand.press("pagedown")
            hand.app.wizard.step.go_to("outline.tape[0].to")
            await hand.press("d", "f2")
            await hand.until(lambda: "Saved to mine.toml" in hand.screen)
            assert not hand.desk.session.is_unsaved
            hand.app.wizard.step.go_to("outline.tape[0].length")
            await hand.type("7 f")
            assert hand.desk.session.half_typed == ["7 f"]


class TestOpening:
    async def test_a_broken_file_is_told_and_the_job_stays(self, wizard):
        write("broken.toml", "format = 1\n[job]\nunits = 'feet'\n")
        async with wizard() as hand:
            await hand.press("f3")
            await hand.until(lambda: "broken.toml" in hand.screen)
            await hand.press("down", "enter")
            await hand.until(lambda: "cannot be opened" in hand.screen)
            assert "job.units" in hand.screen
            await hand.press("escape")
            await hand.press("escape")
            assert hand.desk.session.job.name.startswith("Worked sample")

    async def test_a_file_that_is_not_there_yet_begins_a_blank_job(self, wizard, tmp_path):
        async with wizard(tmp_path / "new.toml") as hand:
            await hand.type("New")
            await hand.press("f2")
            await hand.until((tmp_path / "new.toml").exists)
            assert read_job(tmp_path / "new.toml").name == "New"

    def test_a_file_that_cannot_be_read_ends_with_one_line(self, tmp_path):
        from tui.app import FallmarkApp

        path = tmp_path / "broken.toml"
        path.write_text("format = 1\nnonsense = 2\n", encoding="utf-8")
        app = FallmarkApp(str(path))
        app.run(headless=True)
        assert app.return_code == 2


class TestQuitting:
    async def test_nothing_to_lose_is_not_asked_about(self, wizard):
        async with wizard() as hand:
            await hand.press("f10")
            await hand.until(lambda: hand.app.return_code == 0)

    async def test_escape_always_asks(self, wizard):
        async with wizard() as hand:
            await hand.press("escape")
            await hand.until(lambda: "Quit?" in hand.screen)
            await hand.press("escape")
            assert "Job name" in hand.line

    async def test_save_then_quit(self, wizard, tmp_path):
        path = tmp_path / "mine.toml"
        path.write_text('format = 1\n[job]\nname = "Mine"\n', encoding="utf-8")
        async with wizard(path) as hand:
            await hand.press("up")
            await hand.type("!")
            await hand.press("ctrl+q")
            await hand.until(lambda: "not saved" in hand.screen)
            await hand.press("s")
            await hand.until(lambda: hand.app.return_code == 0)
        assert read_job(path).name == "Mine!"

    async def test_quit_is_in_reach_inside_a_dialog(self, wizard):
        async with wizard() as hand:
            await hand.press("f1")
            await hand.until(lambda: "Esc closes" in hand.screen)
            await hand.press("f10")
            await hand.until(lambda: hand.app.return_code == 0)


class TestPaths:
    @pytest.mark.parametrize(
        ("name", "file"),
        [("Ferry Street, flat 2", "ferry-street-flat-2.toml"), ("", "shower-floor.toml"), ("../x", "x.toml")],
    )
    def test_a_file_is_named_after_the_job(self, name, file):
        assert file_name(name) == file

    def test_an_ending_is_added_where_there_is_none(self):
        assert with_suffix("a/b") == Path("a/b.toml")
        assert with_suffix("b.txt") == Path("b.txt")

    def test_a_listing_shows_folders_and_job_files_that_begin_so(self):
        for name in ("one.toml", "other.txt", "two.toml", ".hidden.toml"):
            Path(name).write_text("", encoding="utf-8")
        Path("old").mkdir()
        assert listing("", ".toml").names == ("one.toml", "two.toml", "old/")
        assert listing("o", ".toml").names == ("one.toml", "old/")
        assert listing("nowhere/", ".toml").fault

    async def test_where_a_page_is_written_pages_are_listed_and_no_jobs(self, wizard):
        write("job.toml", "")
        write("page.html", "")
        async with wizard() as hand:
            await hand.press("ctrl+p")
            await hand.until(lambda: "page.html" in hand.screen)
            assert "job.toml" not in hand.screen
