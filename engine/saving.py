"""Files: written with the old one whole until the new one is, and every fault told in words."""

import contextlib
import errno
import os
import stat
from pathlib import Path
from typing import NoReturn

from .errors import FileError
from .phrases import joined, phrase


def replace_file(path: str | Path, data: bytes) -> None:
    """Writes the data beside the file and then puts it in the file's place, in one step.

    The file keeps its permissions; of a link, what it points to is replaced. Raises FileError, the old file untouched
    and nothing left behind.
    """
    name = str(path)
    try:
        _replace(Path(os.path.realpath(name)), data)
    except (OSError, ValueError) as error:
        cannot("write", name, error)


def _replace(target: Path, data: bytes) -> None:
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
    """Some systems cannot, and the file is whole either way."""
    with contextlib.suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


_ELSEWHERE = phrase("choose another folder; the old file is untouched")
_MAKE_ROOM = phrase("make room, or {elsewhere}", elsewhere=_ELSEWHERE)
_FAULTS: dict[int, tuple[str, str]] = {
    errno.ENOENT: (phrase("there is no such file or folder"), phrase("check the path")),
    errno.ENOTDIR: (phrase("part of the path is a file and no folder"), phrase("check the path")),
    errno.EISDIR: (phrase("this is a folder"), phrase("name a file")),
    errno.EROFS: (phrase("the disk is read-only"), phrase("choose another folder")),
    errno.ENOSPC: (phrase("the disk is full"), _MAKE_ROOM),
    errno.EDQUOT: (phrase("your share of the disk is full"), _MAKE_ROOM),
    errno.EFBIG: (phrase("the file may not grow so large"), _ELSEWHERE),
    errno.ENAMETOOLONG: (phrase("the name is too long"), phrase("choose a shorter one")),
    errno.ELOOP: (phrase("the link leads back to itself"), phrase("name the file itself")),
}
_NOT_ALLOWED = (errno.EACCES, errno.EPERM)


def cannot(act: str, name: str, error: OSError | ValueError) -> NoReturn:
    """Raises FileError for a file that cannot be read or written (`act`), with the system's reason."""
    fault: str = phrase("this cannot be read" if act == "read" else "this cannot be written")
    remedy: str = phrase("check the path and the disk")
    if isinstance(error, OSError) and error.errno in _NOT_ALLOWED:
        fault = phrase("this may not be read" if act == "read" else "this may not be written")
        remedy = phrase("choose another folder, or change its permissions")
    elif isinstance(error, OSError):
        unknown = joined(" ", (fault, f"({error.strerror})"))
        fault, remedy = _FAULTS.get(error.errno or 0, (unknown, remedy))
    raise FileError(name, fault, remedy) from None
