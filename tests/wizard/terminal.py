"""A terminal with the wizard in it, to be typed into, read, and killed."""

import os
import signal
import sys
import time
from contextlib import suppress

import pytest

from tui.drafts import state_folder

NEXT_STEP = "\x1b[6~"
PATIENCE = 30.0  # [s]


class Terminal:
    """The program in a terminal of its own, with a hand that types and an eye that has seen all it wrote."""

    def __init__(self, *arguments):
        pty = pytest.importorskip("pty", reason="a terminal to kill the wizard in")
        self.seen = ""
        self.process, self.port = pty.fork()
        if self.process == 0:
            command = [sys.executable, *(arguments or ("-m", "tui"))]
            os.execve(command[0], command, os.environ | {"COLUMNS": "80", "LINES": "24"})  # noqa: S606 - our own
        os.set_blocking(self.port, False)

    def __enter__(self):
        return self

    def __exit__(self, *_):
        with suppress(ProcessLookupError):
            os.kill(self.process, signal.SIGKILL)
        os.waitpid(self.process, 0)
        os.close(self.port)

    def keys(self, *texts):
        """Types; what is seen is what comes after."""
        self.seen = ""
        os.write(self.port, "".join(texts).encode())

    def until(self, words):
        """Waits until these words were painted."""
        self._until(lambda: words in self.seen)

    def until_kept(self, words):
        """Waits until a draft on disk holds these words."""
        self._until(lambda: any(words in f.read_text(encoding="utf-8") for f in state_folder().glob("draft-*.json")))

    def end(self, number):
        """Ends it the hard way, and waits until it is over."""
        os.kill(self.process, number)
        self._until(lambda: os.waitid(os.P_PID, self.process, os.WEXITED | os.WNOHANG | os.WNOWAIT))

    def end_code(self):
        """How the process ended, once it has."""
        self._until(lambda: os.waitid(os.P_PID, self.process, os.WEXITED | os.WNOHANG | os.WNOWAIT))
        return os.waitid(os.P_PID, self.process, os.WEXITED | os.WNOWAIT).si_status

    def _until(self, condition):
        end = time.monotonic() + PATIENCE
        while not condition():
            assert time.monotonic() < end, self.seen
            time.sleep(0.01)
            with suppress(OSError):  # nothing to read yet, or nobody there any more
                self.seen += os.read(self.port, 65536).decode(errors="replace")
