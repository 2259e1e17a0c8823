"""Drafts: what is being entered, kept on disk meanwhile, and offered again after a crash.

A draft lies in a folder of the person's own, beside a lock file that the running wizard holds. However that dies, the
system frees the lock: a draft that none holds was left behind.
"""

import json
import os
import sys
from contextlib import suppress
from dataclasses import asdict, field
from pathlib import Path
from typing import IO, Any
from uuid import uuid4

from platformdirs import user_state_path

from engine.errors import FileError
from engine.phrases import phrase
from engine.records import record

_FORMAT = 1


@record
class Draft:
    """A job's text as for saving, the texts it cannot hold yet, and its file."""

    name: str
    job_text: str
    pending: dict[str, str] = field(default_factory=dict)
    faults: dict[str, str] = field(default_factory=dict)  # what is wrong with some of them, in words
    path: str | None = None
    at: str = ""  # the key of the field last typed into


@record
class LeftBehind:
    """A draft that no running wizard holds; `draft` is None if unreadable."""

    file: Path
    time: float  # seconds since the epoch
    draft: Draft | None

    def remove(self) -> None:
        """Takes the draft away for good."""
        for path in (self.file, _lock_path(self.file)):
            with suppress(OSError):
                path.unlink()


def state_folder() -> Path:
    """Where drafts are kept: FALLMARK_STATE, or the platform's place for them."""
    given = os.environ.get("FALLMARK_STATE")
    return Path(given) if given else user_state_path("fallmark", appauthor=False)


class DraftFile:
    """The running wizard's own draft on disk; nothing is written before `write`."""

    def __init__(self) -> None:
        self.file = state_folder() / f"draft-{uuid4().hex[:12]}.json"
        self._lock: IO[bytes] | None = None

    def write(self, draft: Draft) -> None:
        """Puts the draft on disk in one move; FileError where that fails, the older stays."""
        from engine.saving import replace_file  # not needed before the first paint

        try:
            if self._lock is None:
                self.file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
                self._lock = _take_lock(_lock_path(self.file))
        except OSError as error:
            raise FileError(
                str(self.file),
                phrase("the draft cannot be written ({why})", why=error.strerror),
                phrase("save the job to a file"),
            ) from error
        replace_file(self.file, json.dumps({"format": _FORMAT, **asdict(draft)}).encode())

    def remove(self) -> None:
        """Takes the draft away: all is saved, or given up on purpose."""
        with suppress(OSError):
            self.file.unlink()
        self.release()
        with suppress(OSError):
            _lock_path(self.file).unlink()

    def release(self) -> None:
        """Lets go of the draft, leaving it on disk for the next start."""
        if self._lock is not None:
            self._lock.close()
            self._lock = None


def left_behind() -> list[LeftBehind]:
    """The drafts that no running wizard holds, newest first."""
    try:
        files = list(state_folder().glob("draft-*.json"))
    except OSError:
        return []
    found = [_found(file) for file in files if not _is_held(_lock_path(file))]
    return sorted(filter(None, found), key=lambda one: -one.time)


def _found(file: Path) -> LeftBehind | None:
    try:
        time, text = file.stat().st_mtime, file.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return None
    return LeftBehind(file, time, _read(text))


def _read(text: str) -> Draft | None:
    try:
        kept = json.loads(text)
        if kept["format"] != _FORMAT:
            return None
        path = None if kept["path"] is None else str(kept["path"])
        pending, faults = _texts(kept["pending"]), _texts(kept["faults"])
        return Draft(str(kept["name"]), str(kept["job_text"]), pending, faults, path, str(kept.get("at", "")))
    except (ValueError, KeyError, TypeError, AttributeError):
        return None


def _texts(kept: Any) -> dict[str, str]:
    return {str(key): str(value) for key, value in kept.items()}


def _lock_path(file: Path) -> Path:
    return file.with_suffix(".lock")


def _take_lock(path: Path) -> IO[bytes]:
    handle = path.open("ab")
    try:
        if sys.platform == "win32":
            import msvcrt  # only there on Windows

            msvcrt.locking(handle.fileno(), msvcrt.LK_NBLCK, 1)
        else:
            import fcntl  # not there on Windows

            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        handle.close()
        raise
    return handle


def _is_held(path: Path) -> bool:
    if not path.exists():
        return False
    try:
        _take_lock(path).close()
    except OSError:
        return True
    return False
