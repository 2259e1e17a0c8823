"""Files: written so that the old one is whole until the new one is, and every fault told in words."""

from __future__ import annotations

import contextlib
import errno
import os
import stat
from pathlib import Path
from typing import NoReturn

from engine.errors import FileError


def replace_file(path: str | Path, data: bytes) -> None:
    """Writes the data beside the file and then puts it in the file's place, in one step.

    The file keeps its permissions; a link stays a link, and what it points to is replaced. Raises FileError;
    then the old file is untouched and nothing is left behind.
    """
    name = str(path)
    try:
        _replace(Path(os.path.realpath(name)), data)
    except (OSError, ValueError) as error:
        cannot("write", name, error)


def _replace(target: Path, data: bytes) -> None:
    """Puts the data in the target's place; the target is the old one or the new one at any moment."""
    mode = _mode_of(target)
    beside = target.with_name(f".fallmark-{os.urandom(4).hex()}.tmp")
    try:
        _write_synced(beside, data, mode)
        beside.replace(target)
    except BaseException:
        with contextlib.suppress(OSError):
            beside.unlink()
        raise
    _sync_folder(target.parent)


def _mode_of(target: Path) -> int | None:
    """The permissions of the file that is to be replaced; None where there is none yet."""
    try:
        mode = target.stat().st_mode
    except FileNotFoundError:
        return None
    if stat.S_ISDIR(mode):
        raise IsADirectoryError(errno.EISDIR, "folder")
    if not stat.S_ISREG(mode):
        raise OSError(errno.EINVAL, "not a file")
    if not os.access(target, os.W_OK):
        raise PermissionError(errno.EACCES, "read-only")
    return stat.S_IMODE(mode)


def _write_synced(path: Path, data: bytes, mode: int | None) -> None:
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
    with os.fdopen(descriptor, "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    if mode is not None:
        path.chmod(mode)


def _sync_folder(folder: Path) -> None:
    """Makes the rename itself last; some systems cannot, and the file is whole either way."""
    with contextlib.suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


# ------------------------------------------------------------------ refusals

_FAULTS = {
    errno.ENOENT: ("there is no such file or folder", "check the path"),
    errno.ENOTDIR: ("part of the path is a file and no folder", "check the path"),
    errno.EISDIR: ("this is a folder", "name a file"),
    errno.EACCES: ("this may not be {}", "choose another folder, or change its permissions"),
    errno.EPERM: ("this may not be {}", "choose another folder, or change its permissions"),
    errno.EROFS: ("the disk is read-only", "choose another folder"),
    errno.ENOSPC: ("the disk is full", "make room, or choose another folder; the old file is untouched"),
    errno.EDQUOT: (
        "your share of the disk is full",
        "make room, or choose another folder; the old file is untouched",
    ),
    errno.EFBIG: ("the file may not grow so large", "choose another folder; the old file is untouched"),
    errno.ENAMETOOLONG: ("the name is too long", "choose a shorter one"),
    errno.ELOOP: ("the link leads back to itself", "name the file itself"),
}
_DONE = {"read": "read", "write": "written"}


def cannot(act: str, name: str, error: OSError | ValueError) -> NoReturn:
    """Raises FileError for a file that cannot be read or written (`act`), with the system's reason in words."""
    fault, remedy = f"this cannot be {_DONE[act]}", "check the path and the disk"
    if isinstance(error, OSError):
        fault, remedy = _FAULTS.get(error.errno or 0, (f"{fault} ({error.strerror})", remedy))
    raise FileError(name, fault.format(_DONE[act]), remedy) from None
