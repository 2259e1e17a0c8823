"""A fault of the program's own ends the wizard with one plain line: what, where the job is, how to report it."""

from tests.wizard.terminal import Terminal
from tui.drafts import left_behind, state_folder

FAULTY = """
import sys
from tui.cli import main
from tui.wizard import WizardScreen

def fail(self):
    raise ZeroDivisionError("[bold]no such luck\x1b[2J")

async def fail_beside(self, step):
    fail(self)

WizardScreen.action_next_layer = fail
import tui.filing
tui.filing.Filing.explain = fail_beside
sys.exit(main([]))
"""
LAYER, EXPLAIN = "\x0c", "\x18"


def last_words(key, *typed):
    """What stands on the terminal after a fault behind a key, the wizard's own screen left out."""
    with Terminal("-c", FAULTY) as terminal:
        terminal.until("blank job")
        terminal.keys("b")
        terminal.until("Job name")
        if typed:
            terminal.keys(*typed)
            terminal.until_kept(typed[-1])
        terminal.keys(key)
        terminal.until("where it happened")
        code = terminal.end_code()
    return terminal.seen.rsplit("\x1b[?1049l", 1)[1], code


def test_one_line_tells_what_happened_where_the_job_is_and_how_to_report_it():
    said, code = last_words(LAYER, "Kept half")
    words = said.split("fallmark:", 1)[1]
    assert code == 1
    assert words.count("\n") == 1
    assert "Traceback" not in said
    assert "ZeroDivisionError: [bold]no such luck\\x1b[2J" in words
    (found,) = left_behind()
    assert str(found.file) in words
    assert found.draft.name == "Kept half"
    trace = state_folder() / "fault.txt"
    assert str(trace) in words
    assert "in fail" in trace.read_text(encoding="utf-8")


def test_a_fault_beside_the_screen_is_told_by_its_own_name():
    said, _ = last_words(EXPLAIN)
    assert "Worker" not in said
    assert "(ZeroDivisionError:" in said
    assert "Nothing that was entered is lost." in said
