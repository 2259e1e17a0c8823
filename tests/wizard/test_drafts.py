"""Drafts: kept as the person goes, offered after a kill, gone after a proper quit."""

import os
import signal
import subprocess
import sys

import pytest

from engine.errors import FileError
from tests.wizard.terminal import NEXT_STEP, Terminal
from tui.desk import Desk
from tui.drafts import Draft, DraftFile, left_behind, state_folder
from tui.entries import RECTANGLE

DRAFT = Draft("a job", "format = 1\n", {"bed.fall": "1/"}, {"bed.fall": "not a fall"})


class TestDraftFile:
    def test_a_draft_of_a_living_wizard_is_not_offered(self):
        file = DraftFile()
        file.write(DRAFT)
        assert left_behind() == []
        file.release()
        assert [found.draft for found in left_behind()] == [DRAFT]

    def test_a_later_writing_replaces_the_earlier_and_leaves_nothing_else(self):
        file = DraftFile()
        file.write(DRAFT)
        file.write(Draft("another", "format = 1\n"))
        file.release()
        assert [found.draft.name for found in left_behind()] == ["another"]
        assert len(list(state_folder().iterdir())) == 2

    def test_a_removed_draft_leaves_nothing(self):
        file = DraftFile()
        file.write(DRAFT)
        file.remove()
        assert list(state_folder().iterdir()) == []

    @pytest.mark.parametrize("text", ["", "{", "[]", '{"format": 2}', '{"format": 1, "name": "x"}'])
    def test_a_broken_draft_is_told_and_not_lost(self, text):
        state_folder().mkdir(parents=True)
        broken = state_folder() / "draft-0.json"
        broken.write_text(text, encoding="utf-8")
        assert [(found.file, found.draft) for found in left_behind()] == [(broken, None)]
        with pytest.raises(FileError):
            Desk.recovered(left_behind()[0])
        assert broken.exists()

    def test_a_folder_that_cannot_be_written_is_told(self, monkeypatch, tmp_path):
        (tmp_path / "file").write_text("", encoding="utf-8")
        monkeypatch.setenv("FALLMARK_STATE", str(tmp_path / "file"))
        with pytest.raises(FileError, match="the draft cannot be written"):
            DraftFile().write(DRAFT)

    def test_the_folder_follows_the_platform_and_the_person(self, monkeypatch, tmp_path):
        monkeypatch.delenv("FALLMARK_STATE")
        monkeypatch.setattr(sys, "platform", "linux")
        monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
        assert state_folder() == tmp_path / "fallmark"


class TestRecovery:
    def test_half_typed_texts_come_back(self):
        desk = Desk.sample()
        desk.session.enter("bed.fall", "1/")
        desk.session.enter("outline.form", "walls")
        desk.add_row("outline.walls[0].length")
        desk.keep_draft()
        desk.let_go()
        back = Desk.recovered(left_behind()[0])
        assert back.session.job == desk.session.job
        assert back.session.text("bed.fall") == "1/"
        assert back.session.pending == desk.session.pending
        assert back.session.is_unsaved

    def test_half_a_rectangle_comes_back(self):
        desk = Desk.blank()
        desk.session.enter("outline.rectangle[0]", "4ft")
        desk.keep_draft()
        desk.let_go()
        back = Desk.recovered(left_behind()[0])
        assert back.session.text("outline.rectangle[0]") == "4ft"
        assert back.session.text("outline.form") == RECTANGLE

    async def test_the_next_start_offers_the_draft_and_a_proper_quit_takes_it_away(self, wizard):
        desk = Desk.sample()
        desk.session.enter("job.name", "Left behind")
        desk.keep_draft()
        desk.let_go()
        async with wizard(None) as hand:
            await hand.go_on_with_the_draft()
            assert "Left behind" in hand.screen
            await hand.press("f10")
            await hand.until(lambda: "not saved" in hand.screen)
            await hand.press("d")
            await hand.until(lambda: hand.app.return_code is not None)
        assert left_behind() == []

    async def test_it_comes_back_at_the_field_that_was_typed_into_last(self, wizard):
        desk = Desk.sample()
        desk.session.enter("readings@C", "21 1/")
        desk.keep_draft()
        desk.let_go()
        async with wizard(None) as hand:
            await hand.go_on_with_the_draft()
            assert "21 1/" in hand.line
            await hand.type("4")
            assert "21 1/4" in hand.line

    async def test_a_terminal_that_is_gone_is_not_waited_for(self, wizard, monkeypatch):
        """What an orderly end writes to it is never taken: the process would stay for ever."""
        ended = []
        monkeypatch.setattr("os._exit", ended.append)
        async with wizard() as hand:
            hand.desk.session.enter("bed.fall", "1/")
            os.kill(os.getpid(), signal.SIGHUP)
            await hand.until(lambda: ended)
            assert '"1/"' in hand.desk.draft_file.read_text(encoding="utf-8")
        assert ended == [128 + signal.SIGHUP]

    def test_a_kill_and_a_closed_terminal_lose_nothing(self):
        with Terminal() as first:
            first.until("blank job")
            first.keys("b")
            first.until("Job name")
            first.keys("Kept\r\r", NEXT_STEP)
            first.until("Side A-B")
            first.keys("4ft\r3 1/")
            first.until_kept("3 1/")
            first.end(signal.SIGKILL)
        with Terminal() as second:
            second.until("go on with the draft")
            second.keys("\r")
            second.until("it is not saved yet")
            second.until("3 1/")
            assert "4ft" in second.seen
            second.keys("8")
            second.until_kept("3 1/8")
            second.end(signal.SIGHUP)
        (found,) = left_behind()
        assert found.draft.name == "Kept"
        assert Desk.recovered(found).session.text("outline.rectangle[1]") == "3 1/8"


class TestImports:
    def test_nothing_heavy_is_loaded_before_the_first_paint(self):
        heavy = "'numpy', 'shapely', 'pint', 'engine.plan'"
        code = f"import sys, tui.app; print([m for m in ({heavy}) if m in sys.modules])"
        done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
        assert done.stdout.strip() == "[]"
