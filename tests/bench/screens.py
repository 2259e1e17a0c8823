"""The wizard through a terminal of its own: its first paint, and how soon a key is answered."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import shutil
import signal
import struct
import sys
import tempfile
import termios
import time
from pathlib import Path
from typing import Self

ROOT = Path(__file__).parents[2]
SAMPLE = ROOT / "tui" / "samples" / "ferry_street.toml"
ONE_WIDGET = """
from textual.app import App
from textual.widgets import Static
class One(App):
    def compose(self):
        yield Static("hello there")
One().run()
"""
QUIET = 0.12  # [s] without output: the repaint is over
PATIENCE = 15.0  # [s]
ROWS, COLUMNS = 24, 80
NEXT_STEP, TAB, HOME, BACKSPACE = b"\x1b[6~", b"\t", b"\x1b[H", b"\x7f"


class Terminal:
    """A program in a pseudo-terminal with a home of its own."""

    def __init__(self, *arguments: str) -> None:
        self.home = tempfile.mkdtemp()
        self.begun = time.perf_counter()
        self.process, self.port = pty.fork()
        if self.process == 0:
            os.environ.update(TERM="xterm-256color", COLORTERM="truecolor", HOME=self.home)
            os.chdir(ROOT)
            os.execv(sys.executable, [sys.executable, *arguments])  # noqa: S606 - the project's own program
        fcntl.ioctl(self.port, termios.TIOCSWINSZ, struct.pack("HHHH", ROWS, COLUMNS, 0, 0))

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        os.kill(self.process, signal.SIGKILL)
        os.waitpid(self.process, 0)
        os.close(self.port)
        shutil.rmtree(self.home, ignore_errors=True)

    def _read(self, patience: float) -> bytes:
        ready, _, _ = select.select([self.port], [], [], patience)
        return os.read(self.port, 1 << 16) if ready else b""

    def until(self, words: bytes) -> float:
        """The time from the start to the output of these words [s]."""
        out, end = b"", time.perf_counter() + PATIENCE
        while words not in out and time.perf_counter() < end:
            out += self._read(PATIENCE)
        return time.perf_counter() - self.begun

    def until_quiet(self) -> float | None:
        """When the last output before a pause came; None where there was none."""
        last = None
        while self._read(QUIET):
            last = time.perf_counter()
        return last

    def key(self, text: bytes) -> float | None:
        """The time from a key to the last of what it repaints [s]; None where it repaints nothing."""
        pressed = time.perf_counter()
        os.write(self.port, text)
        last = self.until_quiet()
        return None if last is None else last - pressed


def first_paint(words: bytes, *arguments: str) -> float:
    """The time to the first paint of these words [s]."""
    with Terminal(*arguments) as terminal:
        return terminal.until(words)


def wizard_paint() -> float:
    """The wizard's first paint [s]."""
    return first_paint(b"Outline", "-m", "tui")


def one_widget_paint() -> float:
    """A one-widget app's first paint [s]."""
    return first_paint(b"hello there", "-c", ONE_WIDGET)


def key_times(count: int) -> list[float]:
    """Times from keys in the outline's fields to the end of their repaints [s], sorted; a sample job is open."""
    job = Path(tempfile.mkdtemp()) / "job.toml"
    shutil.copyfile(SAMPLE, job)
    with Terminal("-m", "tui", str(job)) as terminal:
        terminal.until(b"Outline")
        time.sleep(2.0)
        terminal.until_quiet()
        for key in (NEXT_STEP, TAB, TAB, HOME):
            terminal.key(key)
        # A digit before a side's length and its removal: each a replan of a changed room.
        times = [terminal.key(b"1" if i % 2 == 0 else BACKSPACE) for i in range(count)]
    shutil.rmtree(job.parent, ignore_errors=True)
    return sorted(seconds for seconds in times if seconds is not None)
